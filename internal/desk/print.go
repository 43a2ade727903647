package desk

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"time"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
	"jobsheaf/internal/week"
)

// This file prints weeks.

// Printing is what printing a week takes.
type Printing struct {
	// Look reads a list that somebody sent, and holds it against the records. The list is nil
	// where nothing of it could be read. The error is of the machine.
	Look func(context.Context, Asked) (*record.Book, *record.List, diag.List, error)
	// Print prints a list into the output folder and enters it in the register; tell hears
	// how far it is. The error is of the machine, ErrBusy, or that of the context; every file
	// is whole then.
	Print func(ctx context.Context, is Asked, tell func(week.Progress)) (Printout, error)
}

// Asked is what is to be printed.
type Asked struct {
	List          string // its name on record, or that of the file
	Data          []byte // of the file; nil of a list on record
	Sheet         string // of a workbook
	Duplex, Annex bool
	Who           string // prints it, for the register
}

// Printout is what printing came to.
type Printout struct {
	Nothing       bool // nothing could be printed of the list: its problems say why
	Of            int  // jobs of the list
	Printed, Kept int  // jobs; kept ones were there already
	Pages         int
	Refused       []string // jobs, or the places of rows, that were not printed; the problems say why
	Problems      diag.List
}

// ErrBusy says that another program prints into the output folder.
var ErrBusy = errors.New("another run prints into the output folder")

// printing is a week that is printed. It is changed under the lock of its work.
type printing struct {
	asked  Asked
	at     week.Progress
	rounds []week.RoundDone
	out    Printout
}

// printGlance is it as it is at a moment.
type printGlance struct {
	glance
	List, From string // From is the path of the page of its list
	Jobs, Of   int
	Rounds     []week.RoundDone
	Out        Printout
	Errors     []problem
	Warnings   []problem
	More       int // further problems, which are not shown
	Took       string
}

// mostProblems is how many problems of a run are shown.
const mostProblems = 300

func (w *work) printGlance() printGlance {
	w.mu.Lock()
	defer w.mu.Unlock()
	g := printGlance{glance: w.glance(), List: w.print.asked.List, Jobs: w.print.at.Jobs, Of: w.print.at.Of, Rounds: slices.Clone(w.print.rounds), Out: w.print.out}
	if !w.ended.IsZero() {
		g.Took = strconv.FormatFloat(w.ended.Sub(w.asked).Round(100*time.Millisecond).Seconds(), 'f', -1, 64)
	}
	for i, p := range g.Out.Problems {
		switch {
		case i >= mostProblems:
			g.More++
		case p.Severity == diag.Error:
			g.Errors = append(g.Errors, problem{Problem: p})
		default:
			g.Warnings = append(g.Warnings, problem{Problem: p})
		}
	}
	return g
}

// MayPrint reports whether whoever asks may print a week.
func (v *visit) MayPrint() bool { return v.role >= planner }

// Prints reports whether weeks can be printed here.
func (v *visit) Prints() bool { return v.Print != nil }

// Printing gives the week that is being printed, nil where none is.
func (v *visit) Printing() *printGlance {
	for _, w := range v.works.list(func(w *work) bool { return w.print != nil && !w.over() }) {
		g := w.printGlance()
		return &g
	}
	return nil
}

// printWeek prints a list on record.
func (v *visit) printWeek() error {
	site, err := v.read()
	if err != nil {
		return err
	}
	name := v.r.PathValue("list")
	if site.Book.Lists[name] == nil {
		return refuse(http.StatusNotFound, "fault.list", "list", name)
	}
	return v.begin(Asked{List: name})
}

// begin has a week printed.
func (v *visit) begin(is Asked) error {
	if v.Print == nil {
		return refuse(http.StatusConflict, "print.no_folder")
	}
	is.Duplex, is.Annex, is.Who = v.field("duplex", 3) != "", v.field("annex", 3) != "", v.Who()
	w := v.works.newWork(v.Who())
	w.print = &printing{asked: is}
	d := v.Desk
	err := d.works.begin(w, func(ctx context.Context) error {
		out, err := d.Print.Print(ctx, is, func(at week.Progress) {
			w.mu.Lock()
			defer w.mu.Unlock()
			w.print.at = at
			if at.Round != nil {
				w.print.rounds = append(w.print.rounds, *at.Round)
			}
		})
		w.mu.Lock()
		defer w.mu.Unlock()
		w.print.out = out
		w.print.asked.Data = nil // it is not needed any more
		switch {
		case errors.Is(err, ErrBusy):
			return &fault{key: "print.other"}
		case err == nil && out.Nothing:
			return &fault{key: "print.nothing"}
		}
		return err
	})
	if busy, ok := errors.AsType[inTheWayOf](err); ok {
		g := busy.printGlance()
		return refuse(http.StatusConflict, "print.busy", "who", g.Who, "list", g.List, "at", v.Moment(g.Asked))
	}
	if err != nil {
		return err
	}
	v.Log("%s prints %s, from %s", v.Who(), is.List, v.from)
	return v.to("/print/" + w.id)
}

func (v *visit) workOfPrint() (*work, error) {
	w := v.works.find(v.r.PathValue("work"))
	if w == nil || w.print == nil {
		return nil, refuse(http.StatusNotFound, "fault.work")
	}
	return w, nil
}

// printRun shows how far a week is.
func (v *visit) printRun() error {
	w, err := v.workOfPrint()
	if err != nil {
		return err
	}
	site, err := v.read()
	if err != nil {
		return err
	}
	is := w.printGlance()
	for _, list := range [][]problem{is.Errors, is.Warnings} {
		for i := range list {
			list[i].Line = site.Line(list[i].Pos)
		}
	}
	v.follow(is.glance)
	return v.show("print-run", is)
}

func (v *visit) stopPrint() error {
	w, err := v.workOfPrint()
	if err != nil {
		return err
	}
	w.end(v.Who())
	v.Log("%s stopped the printing of %s", v.Who(), w.who)
	return v.to("/print/" + w.id)
}
