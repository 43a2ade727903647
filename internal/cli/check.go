package cli

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
	"jobsheaf/internal/week"

	"github.com/spf13/cobra"
)

func checkCommand(s Streams) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "check [SITE]",
		Short: "Say everything that is wrong or missing in the records and procedures",
		Long: `check reads a site (the folder at hand where none is named), compiles its
procedures, and makes every job of its lists without printing. It names each fault
with its place, and each value that a sheet would have to print as NOT ON RECORD.`,
		Example: "  jobsheaf check\n  jobsheaf check works --json",
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 {
				return errors.New("name one site's folder, such as `jobsheaf check works`")
			}
			dir := "."
			if len(args) > 0 {
				dir = args[0]
			}
			return runCheck(cmd.Context(), s, dir, asJSON)
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print the problems as JSON")
	c.ValidArgsFunction = first(folders)
	return c
}

func runCheck(ctx context.Context, s Streams, dir string, asJSON bool) error {
	st, err := openSite(dir)
	if err != nil {
		return err
	}
	problems := st.problems
	defer boundMemory()()
	press := &week.Press{Composer: st.composer}
	if err := press.Rehearse(ctx, st.rehearsal(), func(list diag.List) { problems = append(problems, list...) }); err != nil {
		return err
	}
	problems = dropEchoes(problems).Sorted()
	told, gaps := problems, 0
	if !asJSON { // a program gathers for itself
		told, gaps = gatherGaps(problems)
	}
	if err := tell(s.Out, st.excerpts, told, asJSON); err != nil {
		return err
	}
	if !asJSON {
		if gaps > 0 {
			fmt.Fprintf(s.Err, "%s not on record: put them on record, or the sheets print NOT ON RECORD and the places are left to be filled by hand\n", plural(gaps, "value"))
		}
		fmt.Fprintf(s.Err, "%s, %s, %s: %s\n", plural(len(st.book.Units), "unit"), plural(len(st.book.Designs), "design"), plural(len(st.jobs()), "job"), count(problems))
	}
	if problems.HasErrors() {
		return errRefused
	}
	return nil
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
		for _, p := range st.library.Names() {
			if st.composer.Fits(u, p) {
				out = append(out, &record.Job{
					ID: record.Text{S: "check", At: u.At}, Unit: record.Text{S: id, At: u.At}, Procedure: record.Text{S: p, At: u.At}, Day: record.Text{S: "2000-01-01", At: u.At}, At: u.At,
				})
			}
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
		}
	}
	return slices.DeleteFunc(slices.Clone(list), func(p diag.Problem) bool {
		return p.Rule == "refused" && len(p.Related) > 0 && !slices.ContainsFunc(p.Related, func(at diag.Pos) bool { return !told[at] })
	})
}

// gatherGaps makes one problem of all that say of one record that it lacks one
// value: each unit of a size and each procedure asks for the same. The hint, alike
// for all, is left to be said once.
func gatherGaps(list diag.List) (out diag.List, gaps int) {
	type gap struct {
		at   diag.Pos
		what string
	}
	first, wants := map[gap]int{}, map[int][]string{} // by the place in out
	for _, p := range list {
		what, who, found := strings.Cut(p.Message, "; ")
		if p.Rule != "not-on-record" || !found {
			out = append(out, p)
			continue
		}
		i, seen := first[gap{p.Pos, what}]
		if !seen {
			i = len(out)
			first[gap{p.Pos, what}] = i
			p.Message, p.Hint = what, ""
			out = append(out, p)
		}
		wants[i] = append(wants[i], who)
	}
	for i, who := range wants {
		more := ""
		if n := len(who) - 1; n > 0 {
			more = fmt.Sprintf(" (and %s)", plural(n, "more job"))
		}
		out[i].Message += "; " + who[0] + more
	}
	return out, len(wants)
}
