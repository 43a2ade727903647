package cli

import (
	"context"
	"fmt"
	"hash/fnv"
	"io/fs"
	"path"
	"strings"
	"sync"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/desk"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
	"jobsheaf/internal/register"
	"jobsheaf/internal/source"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

// deskReads gives what reads a site's folder for its desk.
func deskReads(dir string) func() (*desk.Site, error) {
	return func() (*desk.Site, error) {
		st, err := openSite(dir)
		if err != nil {
			return nil, err
		}
		return st.forDesk(dir)
	}
}

// deskLanguages are the languages that a desk can be read in, beside that of its site.
var deskLanguages = []string{source.English, "es"}

// forDesk gives a site, which was read from a folder, as its desk takes it.
func (st *site) forDesk(dir string) (*desk.Site, error) {
	out := &desk.Site{Book: st.book, Language: source.English, Problems: st.problems, Words: map[string]words.Catalogue{}}
	out.Check = func(ctx context.Context) (diag.List, error) {
		// Of units on no list, what the register knows is not looked at: of 100,000 jobs it is much.
		knows, err := st.knowing(ctx, dir, unitsOf(st.jobs()))
		if err != nil {
			return nil, err
		}
		return knows.allProblems(ctx)
	}
	for _, lang := range deskLanguages {
		c, problems := words.Load(nil, templates.FS, lang, nil)
		if problems.HasErrors() {
			return nil, fmt.Errorf("the words of the desk: %s", problems[0])
		}
		out.Words[lang] = c
	}
	if !st.words.Empty() {
		out.Language = st.words.Language
		out.Words[st.words.Language] = st.words
	}
	var mu sync.Mutex // excerpts keep what they read
	out.Line = func(at diag.Pos) string {
		mu.Lock()
		defer mu.Unlock()
		return st.excerpts.of(diag.Problem{Pos: at, Severity: diag.Error})
	}
	out.Translate = func(text string) string {
		if s, ok := st.library.Texts().In(text); ok {
			return s
		}
		return text
	}
	called := titles(st.library)
	out.Title = func(procedure string) string { return called[procedure] }
	out.WorkOut = st.summed
	out.Histories = desk.Histories{Explain: st.workingOf, Worn: st.wornOf}
	out.Since = func(ctx context.Context, units []string) (desk.Histories, error) {
		of := map[string]bool{}
		for _, u := range units {
			of[u] = true
		}
		knows, err := st.knowing(ctx, dir, of)
		if err != nil {
			return desk.Histories{}, err
		}
		return desk.Histories{Explain: knows.workingOf, Worn: knows.wornOf}, nil
	}
	return out, nil
}

// wornOf gives what a unit's history tells of its wear, nothing where no procedure is for it.
func (st *site) wornOf(unit string) []compose.Worn {
	job, err := st.asked(unit, "", "")
	if err != nil {
		return nil
	}
	job.Day = record.Text{}        // all of the history counts
	is, _ := st.composer.Worn(job) // what is wrong with the records is told elsewhere
	return is
}

// summed works out what can be from readings that were typed in, as explain does.
func (st *site) summed(unit, proc string, readings [][2]string) (out []desk.Summed, err error) {
	job, err := st.asked(unit, proc, "")
	if err != nil {
		return nil, err
	}
	got, problems, err := st.composer.WorkOut(job, readings, nil)
	if err != nil {
		return nil, err
	}
	if got == nil || problems.HasErrors() {
		return nil, errRefused
	}
	for _, e := range got.Entries {
		out = append(out, desk.Summed{Name: e.Name, Printed: e.Printed})
	}
	return out, nil
}

// workingOf gives the working of a unit's numbers, as explain does.
func (st *site) workingOf(unit, proc string) (out desk.Explained, err error) {
	job, err := st.asked(unit, proc, "")
	if err != nil {
		return out, err
	}
	pk, problems := st.composer.Make(job)
	if pk == nil {
		for _, p := range problems {
			if p.Severity == diag.Error {
				return out, fmt.Errorf("%s: %s", p.Pos, p.Message)
			}
		}
		return out, errRefused
	}
	return desk.Explained{Procedure: job.Procedure.S, Procedures: st.fitting(st.book.Units[unit]), Values: pk.Working}, nil
}

// stampOf gives a text that is another once a file of records was changed, added or
// removed. Folders of scans, and what begins with a full stop, have none.
func stampOf(site fs.FS) string {
	sum := fnv.New128a()
	err := fs.WalkDir(site, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return nil // what cannot be read now is told when it is read as a record
		}
		base := path.Base(name)
		switch {
		case d.IsDir() && name != "." && (base == register.PicturesFolder || strings.HasPrefix(base, ".")):
			return fs.SkipDir
		case d.IsDir() || !strings.HasSuffix(base, ".yaml") && !strings.HasSuffix(base, ".yml"):
			return nil
		}
		info, err := d.Info()
		if err == nil {
			fmt.Fprintf(sum, "%s\x00%d\x00%d\x00", name, info.Size(), info.ModTime().UnixNano())
		}
		return nil
	})
	return fmt.Sprintf("%x %v", sum.Sum(nil), err)
}
