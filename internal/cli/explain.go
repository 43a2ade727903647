package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"time"

	"jobsheaf/internal/compute"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/record"

	"github.com/spf13/cobra"
)

func explainCommand(s Streams) *cobra.Command {
	var dir, proc, day string
	var functions, terms, asJSON bool
	var readings []string
	c := &cobra.Command{
		Use:   "explain UNIT [VALUE...]",
		Short: "Show the working of a unit's numbers",
		Long: `explain shows on the terminal what the annex of a packet prints: for each number its
formula, its inputs with the line of the record, its source, the unrounded and the
printed value. Name values to see only those. With readings as they were taken, it works
out what a worksheet of the packet leaves to be worked out by hand, and holds readings
and results to their limits.`,
		Example: `  jobsheaf explain P-214 --site works
  jobsheaf explain P-214 travel joints.head.torque --site works
  jobsheaf explain M-11 shim_front --site works --reading rim_bottom=0.14mm --reading face_bottom=0.05mm
  jobsheaf explain --functions
  jobsheaf explain --terms gear-pump`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if functions {
				return listFunctions(s.Out, asJSON)
			}
			if terms {
				return listTerms(s.Out, dir, args, asJSON)
			}
			if len(args) == 0 {
				return errors.New("name a unit, such as `jobsheaf explain P-214`, or ask for --functions or --terms")
			}
			return explain(cmd.Context(), s, dir, proc, day, args[0], args[1:], readings, asJSON)
		},
	}
	f := c.Flags()
	f.StringVar(&dir, "site", ".", "the site's folder")
	f.StringVar(&proc, "procedure", "", "the procedure whose numbers are shown; by default the first that fits the unit")
	f.StringVar(&day, "day", "", "the day up to which the unit's history counts, year-month-day; by default the day of its job on a list, else today")
	f.StringArrayVar(&readings, "reading", nil, "a reading as it was taken, name=value with its unit, such as rim_bottom=0.14mm; once for each")
	f.BoolVar(&functions, "functions", false, "list the functions that templates may call, with units and sources")
	f.BoolVar(&terms, "terms", false, "list what records may hold of a kind of machine, or of all: terms, instruments, signs, kinds of quantity")
	f.BoolVar(&asJSON, "json", false, "print as JSON")
	c.ValidArgsFunction = first(from(unitTags, cobra.ShellCompDirectiveNoFileComp))
	completeFlags(c, map[string]completer{"site": folders, "procedure": procedures})
	return c
}

func explain(ctx context.Context, s Streams, dir, proc, day, unit string, values, readings []string, asJSON bool) error {
	st, err := openSite(dir)
	if err != nil {
		return err
	}
	if st, err = st.knowing(ctx, dir, map[string]bool{unit: true}); err != nil {
		return err
	}
	job, err := st.asked(unit, proc, day)
	if err != nil {
		return err
	}
	if len(readings) > 0 {
		return workOut(s, st, job, values, readings, asJSON)
	}
	pk, problems := st.composer.Make(job)
	if pk == nil {
		if err := tell(s.Err, st.excerpts, append(st.problems, problems...).Sorted(), asJSON); err != nil {
			return err
		}
		return errRefused
	}
	entries := pk.Working
	if len(values) > 0 {
		entries, err = choose(pk.Working, values)
		if err != nil {
			return err
		}
	}
	if asJSON {
		return writeJSON(s.Out, explained{Unit: unit, Procedure: job.Procedure.S, Values: entries})
	}
	printEntries(s.Out, entries)
	return nil
}

// asked makes a job that no list has, on a unit, by a procedure, else by the first that fits
// it, and for a day, else as dayOf says.
func (st *site) asked(unit, proc, day string) (*record.Job, error) {
	u := st.book.Units[unit]
	if u == nil {
		return nil, fmt.Errorf("there is no unit %q on record%s", unit, orKnown(unit, slices.Sorted(maps.Keys(st.book.Units)), "units"))
	}
	if proc == "" {
		fit := st.fitting(u)
		if len(fit) == 0 {
			return nil, fmt.Errorf("no procedure on record fits unit %s", unit)
		}
		proc = fit[0]
	}
	day, err := st.dayOf(day, unit, proc)
	if err != nil {
		return nil, err
	}
	return &record.Job{ID: typed("explain"), Unit: typed(unit), Procedure: typed(proc), Day: typed(day), At: atTerminal}, nil
}

// fitting gives the procedures that are for a unit.
func (st *site) fitting(u *record.Unit) []string {
	return slices.DeleteFunc(st.library.Names(), func(p string) bool { return !st.composer.Fits(u, p) })
}

// explained is what explain gives as JSON.
type explained struct {
	Unit      string            `json:"unit"`
	Procedure string            `json:"procedure"`
	Values    []packet.Entry    `json:"values"`
	Verdicts  []compute.Verdict `json:"verdicts,omitempty"` // of readings that were given
}

func printEntries(w io.Writer, entries []packet.Entry) {
	for i, e := range entries {
		if i > 0 {
			fmt.Fprintln(w)
		}
		printEntry(w, e)
	}
}

// dayOf gives the day of a job that no list need hold: the one asked for, else that
// of the first job on a list for the unit and procedure, else today.
func (st *site) dayOf(asked, unit, proc string) (string, error) {
	if asked != "" {
		return asked, isDay("--day", asked)
	}
	for _, j := range st.jobs() {
		if j.Unit.S == unit && j.Procedure.S == proc && j.Day.Known() {
			return j.Day.S, nil
		}
	}
	return time.Now().Format(time.DateOnly), nil
}

// choose gives the entries of the values named, by name or by key.
func choose(all []packet.Entry, values []string) ([]packet.Entry, error) {
	var out []packet.Entry
	var known []string
	for _, e := range all {
		known = append(known, e.Name)
	}
	for _, v := range values {
		found := false
		for _, e := range all {
			if e.Name == v || strings.EqualFold(e.Key, v) {
				out, found = append(out, e), true
			}
		}
		if !found {
			return nil, fmt.Errorf("the packet has no value %q%s", v, orKnown(v, known, "values"))
		}
	}
	return out, nil
}

// orKnown adds to an error which name may have been meant, or some of those that there
// are: first those that hold a part of the word.
func orKnown(word string, known []string, what string) string {
	if near := orMeant(word, known); near != "" {
		return near
	}
	if len(known) == 0 {
		return "; there are no " + what
	}
	like := func(name string) bool {
		return slices.ContainsFunc(strings.FieldsFunc(strings.ToLower(word), func(r rune) bool { return r == '.' || r == '_' || r == '-' || r == ' ' }),
			func(part string) bool { return len(part) > 2 && strings.Contains(strings.ToLower(name), part) })
	}
	ordered := slices.Clone(known)
	slices.SortStableFunc(ordered, func(a, b string) int {
		switch {
		case like(a) == like(b):
			return 0
		case like(a):
			return -1
		}
		return 1
	})
	return "; there are " + diag.Some(ordered, 8)
}

func printEntry(w io.Writer, e packet.Entry) {
	fmt.Fprintf(w, "%s  %s: %s\n", e.Key, e.Name, e.What)
	line := func(label, text string) {
		if text != "" {
			text = strings.TrimPrefix(text, label+" ") // "rounded   to 0.5 mm": the word stands there already
			fmt.Fprintf(w, "    %-9s %s\n", label, text)
		}
	}
	line("printed", e.Printed)
	line("exactly", e.Exactly)
	line("rounded", e.Rounded)
	line("reads", e.Reads)
	line("formula", e.Formula)
	line("at", e.At.String())
	for _, in := range e.Inputs {
		where := in.At.String()
		switch {
		case in.Key != "":
			where = in.Key
		case in.Table != "":
			where = "by " + in.Table
		}
		if where != "" {
			where = "  (" + where + ")"
		}
		name := in.Name
		if in.Letter != "" {
			name = in.Letter + " " + name
		}
		line("from", name+" = "+in.Text+where)
	}
	for _, src := range e.Sources {
		line("source", src)
	}
	line("governed", e.Governed)
}

// listFunctions lists what templates may call.
func listFunctions(w io.Writer, asJSON bool) error {
	type function struct {
		Signature string `json:"signature"`
		What      string `json:"what"`
		Formula   string `json:"formula"`
		Range     string `json:"range"`
		Source    string `json:"source"`
	}
	var list []function
	for _, f := range formula.Functions() {
		list = append(list, function{formula.Signature(f), f.What, f.Formula, f.Range, f.Source})
	}
	if asJSON {
		return writeJSON(w, list)
	}
	for i, f := range list {
		if i > 0 {
			fmt.Fprintln(w)
		}
		fmt.Fprintf(w, "%s\n    %s\n    formula  %s\n    range    %s\n    source   %s\n", f.Signature, f.What, f.Formula, f.Range, f.Source)
	}
	return nil
}
