package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"time"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/record"
	"jobsheaf/internal/source"

	"github.com/spf13/cobra"
)

// making is what the make command was asked for.
type making struct {
	site, out, list      string
	unit, procedure, job string
	day, crew            string
	blank, annex, all    bool
	asJSON               bool
	register             entering
}

func makeCommand(s Streams) *cobra.Command {
	var m making
	c := &cobra.Command{
		Use:   "make [JOB...]",
		Short: "Print packets",
		Long: `make prints a packet for each job named, or for all jobs of a list, or for one
unit and procedure, into the output folder: JOB.pdf, and JOB.json with the place of
every box on its pages. A job that cannot be printed is named with its reasons;
the others are printed.

With --annex there is JOB-annex.pdf too, for whoever checks the packet: formula,
inputs and sources of every number, trends, and what was left out and why. Its pages
count by themselves. Each packet carries the same file as an attachment, annex.pdf.

With --blank the packets are empty forms, with a gap to write in for each number;
the unit's records are not used. A form needs only its --procedure; without --unit
it is for any unit, and without --job it is named FORM.`,
		Example: `  jobsheaf make --site works --list week-49
  jobsheaf make --site works K-24817 K-24818
  jobsheaf make --site works --unit P-214 --procedure reset-end-clearance --job K-30001 --day 2026-12-07
  jobsheaf make --site works K-24817 --annex
  jobsheaf make --site works --blank --procedure reset-end-clearance`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runMake(cmd.Context(), s, m, args)
		},
	}
	f := c.Flags()
	f.StringVar(&m.site, "site", ".", "the site's folder")
	f.StringVar(&m.out, "out", "out", "the folder to print into")
	f.StringVar(&m.list, "list", "", "print all jobs of this list")
	f.StringVar(&m.unit, "unit", "", "print one job on this unit")
	f.StringVar(&m.procedure, "procedure", "", "the procedure of that job")
	f.StringVar(&m.job, "job", "", "the ID of that job")
	f.StringVar(&m.day, "day", "", "the day of that job, year-month-day; by default today")
	f.StringVar(&m.crew, "crew", "", "the crew of that job")
	f.BoolVar(&m.blank, "blank", false, "print empty forms")
	f.BoolVar(&m.annex, "annex", false, "print each annex as a file too")
	f.BoolVar(&m.all, "all", false, "name every value that is not on record")
	f.BoolVar(&m.asJSON, "json", false, "print what was made as JSON")
	m.register.flags(c)
	c.ValidArgsFunction = from(jobIDs, cobra.ShellCompDirectiveNoFileComp)
	completeFlags(c, map[string]completer{"site": folders, "out": folders, "list": from(listNames, cobra.ShellCompDirectiveNoFileComp), "unit": from(unitTags, cobra.ShellCompDirectiveNoFileComp),
		"procedure": procedures, "crew": from(crewNames, cobra.ShellCompDirectiveNoFileComp)})
	return c
}

func runMake(ctx context.Context, s Streams, m making, args []string) error {
	defer boundMemory()()
	st, err := openSite(m.site)
	if err != nil {
		return err
	}
	jobs, err := st.pick(m, args)
	if err == nil && !m.register.no && !m.blank {
		if st, err = st.knowing(ctx, m.site, unitsOf(jobs)); err != nil {
			return err
		}
		jobs, err = st.pick(m, args)
	}
	if err != nil {
		if lists := st.listFaults(); lists.HasErrors() { // what was asked for may be in a list that could not be read
			if terr := tell(s.Err, st.excerpts, lists, false); terr != nil {
				return terr
			}
			fmt.Fprintf(s.Err, "jobsheaf: %s\n", err)
			return errRefused
		}
		return err
	}
	ctx, stop, err := readyToWrite(ctx, m.out)
	if err != nil {
		return err
	}
	defer stop()
	lock, err := lockRun(m.out)
	if err != nil {
		return err
	}
	defer lock.release()
	roomForSite()
	began := time.Now()
	if m.blank {
		st.composer = st.composer.Forms()
	}
	to := folder{m.out, lock}
	maker := &printjob.Maker{Composer: st.composer, Annex: m.annex}
	if !m.blank {
		if err := m.register.number(ctx, m.site, maker, jobs); err != nil {
			return err
		}
	}
	report := madeReport{Made: []madeJob{}, Problems: append(diag.List{}, st.problems...)}
	tasks := make([]printjob.Task, len(jobs))
	for i, j := range jobs {
		tasks[i].Job = j
	}
	err = maker.Run(ctx, tasks, func(got printjob.Made) error {
		report.Problems = append(report.Problems, got.Problems...)
		if got.Packet == nil {
			report.refused(got.Job, m.out)
			return nil
		}
		var obstacle *printjob.Obstacle
		switch err := to.Put(got.Files...); {
		case errors.As(err, &obstacle):
			report.Problems = append(report.Problems, inTheWay(m.out, *obstacle))
			return nil
		case err != nil:
			return err
		}
		report.made(got, m.out)
		return nil
	})
	if l := st.book.Lists[m.list]; l != nil && l.Broken() && len(l.Jobs) == 0 {
		report.Refused = append(report.Refused, "list "+m.list)
	}
	report.Problems = report.Problems.Sorted()
	if terr := report.tell(s, st.excerpts, m, len(jobs), time.Since(began)); terr != nil {
		return terr
	}
	switch {
	case errors.Is(err, context.Canceled):
		return interrupted{"every file that was written is whole", context.Cause(ctx)}
	case err != nil:
		return err
	}
	if !m.blank { // a form is of no job
		if err := m.register.enter(ctx, m.site, m.out, report.printings()); err != nil {
			return err
		}
	}
	if len(report.Refused) > 0 || report.Problems.HasErrors() {
		return errRefused
	}
	return nil
}

// readyToWrite makes the output folder and gives a context that ends when the
// command is asked to stop.
func readyToWrite(ctx context.Context, out string) (ready context.Context, stop func(), err error) {
	tellOfFileLimit()
	if out == "" {
		return nil, nil, errors.New("the output folder has no name; name one, such as --out out")
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return nil, nil, err
	}
	ready, stop = untilStopped(ctx)
	return ready, stop, nil
}

// pick gives the jobs that were asked for.
func (st *site) pick(m making, args []string) ([]*record.Job, error) {
	single := m.unit != "" || m.procedure != "" || m.job != ""
	switch {
	case single && (len(args) > 0 || m.list != ""):
		return nil, errors.New("name jobs, or a --list, or one --unit with --procedure and --job, not several of these")
	case single:
		return st.single(m)
	}
	jobs, of := st.jobs(), "the lists"
	if m.list != "" {
		l := st.book.Lists[m.list]
		if l == nil {
			return nil, fmt.Errorf("there is no list %q on record; there are %s", m.list, names(st.book.Lists))
		}
		if len(args) == 0 {
			return l.Jobs, nil
		}
		jobs, of = l.Jobs, "the list "+m.list
	}
	if len(args) == 0 {
		return nil, errors.New("name the jobs to print, or a --list, or one --unit with --procedure and --job (jobsheaf make --help)")
	}
	var out []*record.Job
	var ids []string
	for _, j := range jobs {
		ids = append(ids, j.ID.S)
	}
	for _, a := range args {
		i := slices.Index(ids, a)
		if i < 0 {
			return nil, fmt.Errorf("there is no job %q in %s%s", a, of, orMeant(a, ids))
		}
		if !slices.Contains(out, jobs[i]) { // named twice, it is printed once
			out = append(out, jobs[i])
		}
	}
	return out, nil
}

// listFaults gives what is wrong in the files of the lists.
func (st *site) listFaults() diag.List {
	return slices.DeleteFunc(slices.Clone(st.problems), func(p diag.Problem) bool { return !strings.HasPrefix(p.Pos.File, "lists/") })
}

// single makes the one job that the flags describe.
func (st *site) single(m making) ([]*record.Job, error) {
	if m.blank && m.procedure != "" {
		m.unit = cmp.Or(m.unit, compose.AnyUnit)
		m.job = cmp.Or(m.job, "FORM")
		if fault := source.NameFault(m.unit); fault != "" {
			return nil, fmt.Errorf("--unit %q: %s; write a tag such as P-214", m.unit, fault)
		}
	}
	if m.unit == "" || m.procedure == "" || m.job == "" {
		return nil, errors.New("one job needs all of --unit, --procedure and --job")
	}
	if fault := record.JobFault(m.job); fault != "" {
		return nil, fmt.Errorf("--job %q: %s; write an ID such as K-24817", m.job, fault)
	}
	if m.day == "" {
		m.day = time.Now().Format(time.DateOnly)
	}
	if err := isDay("--day", m.day); err != nil {
		return nil, err
	}
	return []*record.Job{{ID: typed(m.job), Unit: typed(m.unit), Procedure: typed(m.procedure), Day: typed(m.day), Crew: typed(m.crew), At: atTerminal}}, nil
}

// atTerminal is the place of what was typed with the command.
var atTerminal = diag.Pos{File: "command line", Line: 1}

// typed gives what was typed with the command as a record has it; "" is not on
// record.
func typed(s string) record.Text {
	if s == "" {
		return record.Text{}
	}
	return record.Text{S: s, At: atTerminal}
}

// isDay holds the text of a flag to be a day.
func isDay(flag, text string) error {
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		return fmt.Errorf("%s %q is not a date; write year-month-day, such as 2026-12-07", flag, text)
	}
	return nil
}

// orMeant adds to an error which of the names may have been meant.
func orMeant(name string, of []string) string {
	if hint := diag.DidYouMean(name, of); hint != "" {
		return "; " + hint
	}
	return ""
}

// names lists the names of records, for messages.
func names[V any](m map[string]V) string {
	return cmp.Or(strings.Join(slices.Sorted(maps.Keys(m)), ", "), "none")
}
