package cli

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/front"
	"jobsheaf/internal/week"
)

// weekReport is what week says at its end, for a person or as JSON.
type weekReport struct {
	List     string             `json:"list"`
	Part     string             `json:"part,omitempty"`
	Printed  int                `json:"printed"`
	Kept     int                `json:"kept"` // of those printed: were there already
	Pages    int                `json:"pages"`
	Files    []string           `json:"files"`
	Changed  []front.Change     `json:"changed,omitempty"`
	Stale    []string           `json:"stale,omitempty"`
	Restored []string           `json:"restored,omitempty"`
	Withdraw []front.Withdrawal `json:"withdraw,omitempty"`
	Refused  []front.Refused    `json:"refused"`
	Problems diag.List          `json:"problems"`
	Seconds  float64            `json:"seconds"`

	of int // jobs of the list
}

func reportOf(r *week.Result, out string, problems diag.List) weekReport {
	rep := weekReport{List: r.Ledger.List, Part: r.Ledger.Part, of: len(r.Ledger.Jobs) + len(r.Ledger.Refused), Withdraw: r.Ledger.Withdraw, Kept: r.Kept, Changed: r.Changed, Refused: append([]front.Refused{}, r.Ledger.Refused...)}
	rep.Printed, rep.Pages = r.Printed()
	for _, f := range r.Files {
		rep.Files = append(rep.Files, filepath.Join(out, filepath.FromSlash(f)))
	}
	for _, f := range r.Stale {
		name := filepath.Join(out, filepath.FromSlash(f))
		rep.Stale = append(rep.Stale, name)
		problems.Warnf(diag.Pos{File: name}, "old-print", "delete it", "this was printed in an earlier run and does not say what the records and the list say now")
	}
	for _, f := range r.Restored {
		name := filepath.Join(out, filepath.FromSlash(f))
		rep.Restored = append(rep.Restored, name)
		problems.Warnf(diag.Pos{File: name}, "damaged", "", "it was not as the previous run left it, and was made again")
	}
	problems = append(problems, obstacles(out, r.Obstacles)...)
	for _, w := range r.Ledger.Withdraw {
		problems.Add(toWithdraw(out, w))
	}
	rep.Problems = append(diag.List{}, dropEchoes(problems).Sorted()...)
	return rep
}

// tell prints the report: results to standard output, messages to standard error.
func (r weekReport) tell(s Streams, from *excerpts, w weekly) error {
	if w.asJSON {
		return writeJSON(s.Out, r)
	}
	told := r.Problems
	if w.quiet {
		told = slices.DeleteFunc(slices.Clone(told), func(p diag.Problem) bool { return p.Severity != diag.Error })
	}
	if err := tellGathered(s.Err, s.Err, from, told, w.all, w.site); err != nil {
		return err
	}
	if n := len(r.Problems) - len(told); n > 0 {
		fmt.Fprintf(s.Err, "%s not shown\n", plural(n, "warning"))
	}
	for _, f := range r.Files {
		if _, err := fmt.Fprintln(s.Out, f); err != nil {
			return err
		}
	}
	for _, c := range r.Changed {
		fmt.Fprintf(s.Err, "changed: %s: %s\n", c.Job, strings.Join(c.Why, "; "))
	}
	if w.changed && len(r.Changed) == 0 {
		fmt.Fprintln(s.Err, "nothing changed since the previous run")
	}
	for _, f := range r.Refused {
		fmt.Fprintf(s.Err, "refused: %s\n", cmp.Or(f.Job, f.At.String()))
	}
	if w.quiet {
		return nil
	}
	there := ""
	if r.Kept > 0 {
		there = fmt.Sprintf(" (%d were there already)", r.Kept)
	}
	_, err := fmt.Fprintf(s.Err, "%s of %d printed%s, %s, %s, %.1f s; %s\n", plural(r.Printed, "packet"), r.of, there,
		plural(r.Pages, "page"), plural(len(r.Files), "print file"), r.Seconds, count(r.Problems))
	return err
}

// toWithdraw says which paper of a job is to be fetched back, and which files are to be removed.
func toWithdraw(out string, w front.Withdrawal) diag.Problem {
	why := "is no longer on the list"
	if w.Cancelled {
		why = "is cancelled"
	}
	paper := "its packet"
	if w.Fingerprint != "" {
		paper += " of fingerprint " + w.Fingerprint
	}
	if w.Print != "" {
		paper += fmt.Sprintf(", and the sheets of %s of fingerprint %s", w.Print, w.PrintFingerprint)
	}
	var files []string
	for _, f := range w.Files {
		files = append(files, filepath.Join(out, filepath.FromSlash(f)))
	}
	who := strings.Join(strings.Fields(strings.Join([]string{w.Unit, w.Day, w.Crew}, " ")), ", ")
	if who != "" {
		who = " (" + who + ")"
	}
	return diag.Problem{Pos: diag.Pos{File: files[0]}, Severity: diag.Warning, Rule: "withdraw", Message: fmt.Sprintf("job %s%s %s: fetch back %s", w.Job, who, why, paper),
		Hint: "then remove " + strings.Join(files, ", ")}
}
