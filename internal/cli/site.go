package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"
	"unicode/utf8"

	"jobsheaf/internal/check"
	"jobsheaf/internal/compose"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/figure"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/layout"
	"jobsheaf/internal/page"
	"jobsheaf/internal/pagecode"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/source"
	"jobsheaf/internal/typeface"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

// site is a site's folder, read and compiled.
type site struct {
	book     *record.Book
	library  *procedure.Library
	composer *compose.Composer
	words    words.Catalogue // of the site's language
	problems diag.List
	excerpts *excerpts
}

// openSite reads a site's folder. The error is of the machine; what is wrong with
// the records is in the site's problems.
func openSite(dir string) (*site, error) {
	if dir == "" {
		return nil, errors.New("the site's folder has no name; name one, such as works, or . for the current folder")
	}
	info, err := os.Stat(dir)
	if err != nil {
		return nil, fmt.Errorf("the site's folder cannot be read: %w", err)
	}
	if !info.IsDir() {
		return nil, fmt.Errorf("%s is a file; name a site's folder, such as one that `jobsheaf start` makes", dir)
	}
	return readSite(os.DirFS(dir)), nil
}

// readSite reads a site from a file system.
func readSite(fsys fs.FS) *site {
	s := &site{excerpts: &excerpts{site: fsys}}
	s.book, s.problems = record.Load(fsys, templates.FS, record.Options{Missing: missingGlyphs})
	language := source.English
	if site := s.book.Site; site != nil && site.Language != "" {
		language = site.Language
	}
	var list diag.List
	s.library, list = procedure.Load(fsys, templates.FS, procedure.Options{Instruments: slices.Sorted(maps.Keys(s.book.Instruments)), Machines: slices.Sorted(maps.Keys(s.book.Machines)), Figures: figure.Names(), Drawn: drawings(s.book), Signs: figure.Signs(), Missing: missingGlyphs, Language: language})
	s.problems = append(s.problems, list...)
	s.words, list = words.Load(fsys, templates.FS, language, missingGlyphs)
	if site := s.book.Site; site != nil {
		s.words = s.words.Map(site.Units.InText)
	}
	s.problems = append(s.problems, list...)
	found := check.Run(s.book, s.library, s.known())
	s.book.Attach(found)
	s.problems = append(s.problems, found...)
	s.composer, list = compose.New(s.book, s.library, s.words, program)
	s.problems = append(s.problems, list...)
	texts := s.library.Texts()
	for _, f := range formula.Functions() { // a catalogue has those too that no template calls yet
		texts.Want(f.Formula)
		texts.Want(f.Source)
	}
	for _, p := range texts.Unused() {
		if !strings.HasPrefix(p.Pos.File, source.BuiltIn) { // what is built in is for other sites too
			s.problems.Add(p)
		}
	}
	s.problems = s.problems.Sorted()
	return s
}

// missingGlyphs gives the characters of a text that the pages' plain face lacks.
func missingGlyphs(text string) []rune { return typeface.Missing(page.Regular, text) }

// wearParts are the parts of which there is a drawing of where to measure.
func wearParts() []string {
	needs, err := figure.Needs("wear-points")
	if err != nil {
		return nil
	}
	return needs[0].OneOf
}

// drawings says what each figure is drawn from, and what of it the records give.
func drawings(book *record.Book) map[string]procedure.Drawn {
	out := map[string]procedure.Drawn{}
	for _, name := range figure.Names() {
		out[name] = drawn(book, name)
	}
	return out
}

func drawn(book *record.Book, name string) procedure.Drawn {
	var d procedure.Drawn
	needs, err := figure.Needs(name)
	if err != nil {
		return d // another rule reports an unknown figure
	}
	gives, of := compose.FromRecords(book, name)
	d.Of = of
	for _, n := range needs {
		if n.Kind == figure.Number || n.Kind == figure.Text {
			d.Entries = append(d.Entries, procedure.Entry{Name: n.Name, What: n.What, Text: n.Kind == figure.Text, OneOf: n.OneOf,
				Wanted: !n.Optional && !slices.Contains(gives, n.Name)})
		}
	}
	return d
}

// places are where check asks for room, as the layout knows them.
var places = map[check.Place]layout.Place{
	check.JobID: layout.JobID, check.UnitTag: layout.UnitTag, check.UnitName: layout.UnitName,
	check.ProcedureTitle: layout.ProcedureTitle, check.SiteName: layout.PrintedBy,
}

// known lets the check of records ask the rooms of the pages about links and what has
// room there.
func (s *site) known() check.Known {
	return check.Known{
		Room: func(at check.Place, paper, text string) (int, bool) {
			around := ""
			if at == check.SiteName {
				around = s.words.For("layout", new(diag.List)).Say("printed_by", "program", program, "site", "")
			}
			most, ok := layout.Room(places[at], paper, around+text)
			return max(0, most-utf8.RuneCountInString(around)), ok
		},
		Drawn: func(drawing, entry string) (int, int) {
			entries, characters, err := figure.Takes(drawing, entry)
			if err != nil {
				panic(err) // check asks for what there is
			}
			return entries, characters
		},
		Link: func(link string) error {
			_, err := pagecode.Ref{Link: link, Job: "J", Page: 1, Pages: 1, Fingerprint: "00000000"}.Text()
			return err
		},
		Signs:    figure.Signs(),
		Drawings: wearParts(),
		Roles:    compose.Roles(s.words),
	}
}

// tell prints problems for a person, errors with the line that they are in, or as JSON.
func tell(w io.Writer, from *excerpts, problems diag.List, asJSON bool) error {
	if !asJSON {
		for _, p := range problems {
			if _, err := fmt.Fprintln(w, p.Beside(from.of(p))); err != nil {
				return err
			}
		}
		return nil
	}
	return writeJSON(w, struct {
		Problems diag.List `json:"problems"`
	}{append(diag.List{}, problems...)})
}

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// count says how many problems of each weight there are.
func count(list diag.List) string {
	errs, warns := 0, 0
	for _, p := range list {
		if p.Severity == diag.Error {
			errs++
		} else {
			warns++
		}
	}
	return plural(errs, "error") + ", " + plural(warns, "warning")
}

func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// link is under what the site serves its jobs, "" where it does not.
func (s *site) link() string {
	if s.book.Site == nil {
		return ""
	}
	return s.book.Site.Link.S
}
