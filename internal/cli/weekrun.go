package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"jobsheaf/internal/check"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/joblist"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/week"
)

// This file prints a week, for the command and for the desk.

// mostOfList is the most bytes of a planner's list: 50,000 rows have some 5 MB.
const mostOfList = 16 << 20

// weekRun is a week's list that was read, before and while it is printed.
type weekRun struct {
	weekly
	st       *site
	list     *record.List // nil where nothing of it could be read
	problems diag.List
	why      string // why nothing of it can be printed, "" where it can
}

// ready reads the site and the list, with what the register knows of its units. today must
// be set. The error is of the machine; what is wrong with the list is in its problems.
func (w weekly) ready(ctx context.Context) (*weekRun, error) {
	st, err := openSite(w.site)
	if err != nil {
		return nil, err
	}
	list, problems, err := st.weekList(w)
	if err != nil {
		return nil, err
	}
	if list != nil && !w.register.no {
		switch known, err := st.knowing(ctx, w.site, unitsOf(list.Jobs)); {
		case err != nil:
			return nil, err
		case known != st:
			st = known
			if list, problems, err = st.weekList(w); err != nil {
				return nil, err
			}
		}
	}
	run := &weekRun{weekly: w, st: st, list: list, problems: append(problems, st.problems...)}
	switch {
	case list == nil || list.Broken() && len(list.Jobs) == 0:
		run.why = "the list " + w.list + " cannot be read"
	case st.words.Empty(): // the front matter would have none either
		run.why = "the pages of list " + list.ID + " have no words in the site's language"
	default:
		run.problems = append(run.problems, week.Check(st.book, st.library, list.Jobs, w.today)...)
	}
	return run, nil
}

// errBusy says that another run prints into the output folder.
var errBusy = errors.New("another run prints into the output folder just now")

// print prints the list into the output folder and enters it in the register; tell hears
// how far it is. Where the result is nil nothing was printed. What was wrong by then is
// among the problems.
func (r *weekRun) print(ctx context.Context, tell func(week.Progress)) (*week.Result, error) {
	k, n := 1, 1
	if r.part != "" {
		var err error
		if k, n, err = week.ParsePart(r.part); err != nil {
			return nil, err
		}
	}
	before, err := readLedger(r.out, week.LedgerName)
	switch {
	case r.changed && err != nil:
		return nil, err
	case r.changed && before == nil:
		return nil, fmt.Errorf("%s: there is none from a previous run to compare with", filepath.Join(r.out, week.LedgerName))
	case errors.As(err, new(*printjob.Obstacle)): // it is named when this run's is written
	case err != nil: // such as one that a power cut left empty: this run writes it again
		r.problems.Warnf(diag.Pos{File: filepath.Join(r.out, week.LedgerName)}, "damaged", "", "what the previous run printed is not known: %s; every file that proves whole is kept", errors.Unwrap(err))
	}
	ctx, stop, err := readyToWrite(ctx, r.out)
	if err != nil {
		return nil, err
	}
	defer stop()
	lock, err := lockRun(r.out)
	if err != nil {
		return nil, err
	}
	defer lock.release()
	if !r.served {
		roomForSite()
	} else if lock.hasCompany() {
		return nil, errBusy
	}
	rounds := week.Share(week.Rounds(r.st.book, r.list.Jobs), k, n)
	maker := &printjob.Maker{Composer: r.st.composer, Workers: r.workers, Annex: r.annex}
	if err := r.register.number(ctx, r.site, maker, r.list.Jobs); err != nil {
		return nil, err
	}
	printer := &week.Printer{
		Maker: maker, Book: r.st.book, Library: r.st.library, Words: r.st.words, Program: program,
		Output: folder{r.out, lock}, Duplex: r.duplex, Before: before, Changed: r.changed, Cancelled: cancelled(r.list), Tell: tell,
	}
	result, err := printer.Print(ctx, r.list.ID, rounds, r.part)
	r.problems = append(r.problems, result.Problems...)
	switch {
	case errors.Is(err, context.Canceled):
		err = interrupted{"every file that was written is whole, and the same command goes on from here", context.Cause(ctx)}
	case err == nil:
		err = r.register.enter(ctx, r.site, r.out, printings(result))
	}
	return result, err
}

// weekList gives the list that was asked for: the one that was sent, else by name from the
// site, else from a file. It is nil where it could not be read.
func (st *site) weekList(w weekly) (*record.List, diag.List, error) {
	if w.data != nil {
		return st.listOf(w.list, w.data, w.sheet)
	}
	if li := st.book.Lists[w.list]; li != nil {
		return li, nil, nil
	}
	if w.served {
		return nil, nil, nil // no file is opened that a browser names
	}
	data, err := readWhole(w.list, mostOfList)
	if errors.Is(err, os.ErrNotExist) && !strings.ContainsAny(w.list, `/\.`) {
		if lists := st.listFaults(); lists.HasErrors() { // it may be in a file that could not be read
			return nil, nil, nil
		}
		return nil, nil, fmt.Errorf("there is no list %q on record, nor a file of that name; there are %s", w.list, names(st.book.Lists))
	}
	if err != nil {
		return nil, nil, err
	}
	defer roomForList(len(data))()
	return st.listOf(filepath.ToSlash(w.list), data, w.sheet)
}

// listOf reads the list that a file holds. It replaces those on record, and is checked
// against the records as they are.
func (st *site) listOf(name string, data []byte, sheet string) (*record.List, diag.List, error) {
	li, problems := joblist.Read(name, data, joblist.Options{Sheet: sheet, Site: st.book.Site, Titles: titles(st.library)})
	if li == nil {
		return nil, problems, nil
	}
	st.book.Only(li)
	found := check.Run(st.book, st.library, st.known())
	for _, p := range found {
		if p.Pos.File == li.Span.File {
			problems = append(problems, p)
		}
	}
	if p, junk := joblist.Junk(li, problems); junk {
		return nil, diag.List{p}, nil
	}
	st.book.Attach(problems)
	return li, problems, nil
}

// cancelled gives the IDs of the jobs that a list calls off.
func cancelled(li *record.List) []string {
	var ids []string
	for _, t := range li.Cancelled {
		ids = append(ids, t.S)
	}
	return ids
}

// titles gives the printed titles of the procedures, by name.
func titles(lib *procedure.Library) map[string]string {
	of := map[string]string{}
	for _, name := range lib.Names() {
		p, _ := lib.Procedure(name)
		for _, part := range p.Title.Parts {
			of[name] += part.Literal
		}
	}
	return of
}
