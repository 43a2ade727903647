package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"jobsheaf/internal/register"

	"github.com/spf13/cobra"
)

func registerShow(s Streams, site *string) *cobra.Command {
	var box string
	var asJSON bool
	c := &cobra.Command{
		Use: "show JOB", Short: "Show all that happened to a job, in order", Args: cobra.ExactArgs(1),
		Long: `show tells all that the register holds of a job, in order: its prints, the pages that came back,
what was settled and typed in, from which page and by whom, with what stood there before, and what
was decided. --box narrows it to a box, by its name or by the number of its step.`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return withRegister(cmd.Context(), *site, false, func(r *register.Register) error {
				j, err := r.Job(cmd.Context(), args[0])
				if err != nil {
					return err
				}
				all, err := r.Happened(cmd.Context(), j.ID)
				if err != nil {
					return err
				}
				return showJob(s.Out, all, box, asJSON)
			})
		},
	}
	c.Flags().StringVar(&box, "box", "", "only what was said of this box, or of the boxes of this step")
	c.Flags().BoolVar(&asJSON, "json", false, "print each event as a line of JSON")
	return c
}

// showJob tells the events of a job.
func showJob(w io.Writer, all []register.Happened, box string, asJSON bool) error {
	papers, prints := map[int64]*register.Paper{}, map[int64]int{}
	was := map[string]string{} // what was typed into a box, or settled of it, before
	encode := json.NewEncoder(w)
	for i := range all {
		h := &all[i]
		if h.Seen != nil {
			papers[h.Event] = h.Seen
		}
		if h.Printed != nil {
			prints[h.Event] = h.Printed.N
		}
		about, says := told(h, papers, prints, was)
		if box != "" && about != box && !strings.HasPrefix(about, box+".") && !strings.HasPrefix(about, "s"+box+".") {
			continue
		}
		var err error
		if asJSON {
			err = encode.Encode(h)
		} else {
			_, err = fmt.Fprintf(w, "%d  %s  %s  %s\n", h.Event, h.At, h.Who, says)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// told says of which box an event is, "" of none, and what it says.
func told(h *register.Happened, papers map[int64]*register.Paper, prints map[int64]int, was map[string]string) (box, says string) {
	said := func(what, box string, print, paper int64, page int, now string) (string, string) {
		line := fmt.Sprintf("%s %s, %s", what, box, now)
		if p := papers[paper]; p != nil {
			line += fmt.Sprintf("; from page %d, %s page %d, event %d", p.Page, p.File, p.At, p.Event)
		} else if page > 0 {
			line += fmt.Sprintf("; page %d, its picture not at hand", page)
		}
		if n := prints[print]; n > 1 {
			line += fmt.Sprintf(", print %d", n)
		}
		key := fmt.Sprint(what, print, box)
		if before := was[key]; before != "" {
			line += "; before: " + before
		}
		was[key] = now
		return box, line
	}
	switch {
	case h.Printed != nil:
		p := h.Printed
		return "", fmt.Sprintf("print %d, %s, %s", p.N, p.Fingerprint, plural(p.Pages, "page"))
	case h.Seen != nil:
		p := h.Seen
		line := fmt.Sprintf("came back: %s page %d, %s", p.File, p.At, p.State)
		if p.Page > 0 {
			line += fmt.Sprintf(", page %d of print %d", p.Page, prints[p.Print])
		}
		if p.Why != "" {
			line += ": " + p.Why
		}
		return "", line
	case h.Settled != nil:
		t := h.Settled
		return said("settled", t.Box, t.Print, t.Paper, t.Page, string(t.Is))
	case h.Typed != nil:
		t := h.Typed
		now := fmt.Sprintf("%q", t.Text)
		if t.Value != "" {
			now += " = " + strings.TrimSpace(t.Value+" "+t.Unit)
		}
		if t.Why != "" {
			now += ", let through: " + t.Why
		}
		return said("typed", t.Box, t.Print, t.Paper, t.Page, now)
	case h.Decision != nil:
		d := h.Decision
		line := map[register.DecisionKind]string{register.Accept: "accepted " + d.Finding, register.Close: "closed", register.MakeVoid: "made void", register.Reopen: "opened again"}[d.Kind]
		if d.Why != "" {
			line += ": " + d.Why
		}
		return "", line
	}
	return "", fmt.Sprintf("event %d counts of its page", h.Paper)
}
