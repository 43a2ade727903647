package cli

import (
	"fmt"
	"strings"

	"jobsheaf/internal/record"
)

// workOut prints what comes of readings: the working of each value, and how readings and
// values stand to their limits.
func workOut(s Streams, st *site, job *record.Job, values, readings []string, asJSON bool) error {
	pairs := make([][2]string, 0, len(readings))
	for _, r := range readings {
		name, text, ok := strings.Cut(r, "=")
		if !ok || name == "" || strings.TrimSpace(text) == "" {
			return fmt.Errorf("--reading %s: write name=value with its unit, such as rim_bottom=0.14mm", r)
		}
		pairs = append(pairs, [2]string{strings.TrimSpace(name), strings.TrimSpace(text)})
	}
	got, problems, err := st.composer.WorkOut(job, pairs, values)
	if err != nil {
		return err
	}
	if got == nil || problems.HasErrors() {
		if err := tell(s.Err, st.excerpts, append(st.problems, problems...).Sorted(), asJSON); err != nil {
			return err
		}
		return errRefused
	}
	if asJSON {
		return writeJSON(s.Out, explained{job.Unit.S, job.Procedure.S, got.Entries, got.Verdicts})
	}
	printEntries(s.Out, got.Entries)
	for i, v := range got.Verdicts {
		if i == 0 && len(got.Entries) > 0 {
			fmt.Fprintln(s.Out)
		}
		says := "within its limits"
		if !v.Within {
			says = "OUTSIDE its limits"
		}
		fmt.Fprintf(s.Out, "%s = %s: %s, %s\n", v.Name, v.Value, says, v.Limits)
	}
	return nil
}
