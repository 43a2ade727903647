package cli

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/record"

	"github.com/spf13/cobra"
)

func checkCommand(s Streams) *cobra.Command {
	var all, asJSON bool
	c := &cobra.Command{
		Use:   "check [SITE]",
		Short: "Report everything that is wrong or missing in the records and procedures",
		Long: `check reads a site, by default the current folder, compiles its procedures, and
makes every job of its lists without printing. It reports each fault with its place,
and each record that lacks values which a sheet would print as NOT ON RECORD; with
--all, each of these values.`,
		Example: "  jobsheaf check\n  jobsheaf check works --json",
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 {
				return errors.New("name one site's folder, such as `jobsheaf check works`")
			}
			dir := "."
			if len(args) > 0 {
				dir = args[0]
			}
			return runCheck(cmd.Context(), s, dir, all, asJSON)
		},
	}
	c.Flags().BoolVar(&all, "all", false, "name every value that is not on record")
	c.Flags().BoolVar(&asJSON, "json", false, "print the problems as JSON")
	c.ValidArgsFunction = first(folders)
	return c
}

func runCheck(ctx context.Context, s Streams, dir string, all, asJSON bool) error {
	st, err := openSite(dir)
	if err != nil {
		return err
	}
	if st, err = st.knowing(ctx, dir, nil); err != nil {
		return err
	}
	defer boundMemory()()
	problems, err := st.allProblems(ctx)
	if err != nil {
		return err
	}
	if asJSON { // a program gathers for itself
		if err := tell(s.Out, st.excerpts, problems, true); err != nil {
			return err
		}
	} else {
		if err := tellGathered(s.Out, s.Err, st.excerpts, problems, all, dir); err != nil {
			return err
		}
		fmt.Fprintf(s.Err, "%s, %s, %s: %s\n", plural(len(st.book.Units), "unit"), plural(len(st.book.Designs), "design"), plural(len(st.jobs()), "job"), count(problems))
	}
	if problems.HasErrors() {
		return errRefused
	}
	return nil
}

// allProblems gives all that is wrong or missing, for which every job is made without
// printing.
func (st *site) allProblems(ctx context.Context) (diag.List, error) {
	problems := slices.Clone(st.problems)
	maker := &printjob.Maker{Composer: st.composer}
	err := maker.Rehearse(ctx, st.rehearsal(), func(list diag.List) { problems = append(problems, list...) })
	return dropEchoes(problems).Sorted(), err
}

// jobs gives every job of every list, in the order of the lists' names.
func (st *site) jobs() []*record.Job {
	var out []*record.Job
	for _, name := range slices.Sorted(maps.Keys(st.book.Lists)) {
		out = append(out, st.book.Lists[name].Jobs...)
	}
	return out
}

// rehearsal gives every job on record, and for each unit that no list names a job
// with every procedure that is for it, so that gaps are found before the unit is
// planned.
func (st *site) rehearsal() []*record.Job {
	out := st.jobs()
	listed := map[string]bool{}
	for _, j := range out {
		listed[j.Unit.S] = true
	}
	for _, id := range slices.Sorted(maps.Keys(st.book.Units)) {
		if listed[id] {
			continue
		}
		u := st.book.Units[id]
		for _, p := range st.fitting(u) {
			out = append(out, &record.Job{
				ID: record.Text{S: "check", At: u.At}, Unit: record.Text{S: id, At: u.At}, Procedure: record.Text{S: p, At: u.At}, Day: record.Text{S: "2000-01-01", At: u.At}, At: u.At,
			})
		}
	}
	return out
}

// dropEchoes leaves out refusals whose cause is in the list already.
func dropEchoes(list diag.List) diag.List {
	told := map[diag.Pos]bool{}
	for _, p := range list {
		if p.Rule != "refused" && p.Severity == diag.Error {
			told[p.Pos] = true
			if p.Rule == "twice" { // it speaks of both places
				for _, at := range p.Related {
					told[at] = true
				}
			}
		}
	}
	return slices.DeleteFunc(slices.Clone(list), func(p diag.Problem) bool {
		return p.Rule == "refused" && len(p.Related) > 0 && !slices.ContainsFunc(p.Related, func(at diag.Pos) bool { return !told[at] })
	})
}
