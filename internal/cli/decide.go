package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"jobsheaf/internal/register"
	"jobsheaf/internal/review"

	"github.com/spf13/cobra"
	"golang.org/x/term"
)

// deciding is how something was asked to be decided of a packet.
type deciding struct{ site, who, why string }

// decision makes a command that decides something of a packet: do does it.
func decision(s Streams, c *cobra.Command, needsWhy bool, do func(ctx context.Context, r *register.Register, j register.Job, by register.By, why string, args []string) error) *cobra.Command {
	var d deciding
	c.RunE = func(cmd *cobra.Command, args []string) error {
		if needsWhy && strings.TrimSpace(d.why) == "" {
			return errors.New("say why with --why: what is decided without a reason is worth nothing later")
		}
		return withRegister(cmd.Context(), d.site, false, func(r *register.Register) error {
			j, err := r.Job(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			who, err := whoDecides(s, d.who)
			if err != nil {
				return err
			}
			return do(cmd.Context(), r, j, register.By{Who: who, At: time.Now()}, d.why, args[1:])
		})
	}
	f := c.Flags()
	f.StringVar(&d.site, "site", ".", "the site's folder")
	f.StringVar(&d.who, "who", "", "who decides; on a terminal it is asked for")
	if needsWhy {
		f.StringVar(&d.why, "why", "", "why")
	}
	completeFlags(c, map[string]completer{"site": folders})
	c.ValidArgsFunction = first(from(jobIDs, cobra.ShellCompDirectiveNoFileComp))
	return c
}

// whoDecides gives the name of who decides. Nothing stands in for it: the name of the
// account may be that of a shared machine.
func whoDecides(s Streams, who string) (string, error) {
	if who = strings.TrimSpace(who); who != "" {
		return who, nil
	}
	f, ok := s.In.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return "", errors.New("say who decides with --who")
	}
	fmt.Fprint(s.Err, "Who decides? ")
	line, err := bufio.NewReader(f).ReadString('\n')
	if who = strings.TrimSpace(line); who == "" {
		return "", errors.Join(errors.New("nobody was named: nothing was decided"), err)
	}
	return who, nil
}

func closeCommand(s Streams) *cobra.Command {
	return decision(s, &cobra.Command{
		Use: "close JOB", Short: "File a packet that came back as complete", Args: cobra.ExactArgs(1),
		Long: `close files a packet as complete. While findings of its review stand it is refused: they
are mended on the paper and read in again, or accepted (jobsheaf accept).`,
		Example: `  jobsheaf close K-24817 --site works --who "Planner 1"`,
	}, false, func(ctx context.Context, r *register.Register, j register.Job, by register.By, _ string, _ []string) error {
		err := review.Close(ctx, r, by, j)
		if stand, ok := errors.AsType[*review.Standing](err); ok {
			fmt.Fprintf(s.Err, "job %s is not closed: %s; `jobsheaf review %s` says what\n", j.ID, stands(len(stand.Found)), j.ID)
			return errRefused
		}
		return tellDecided(s, j, "closed", err)
	})
}

func stands(n int) string {
	if n == 1 {
		return "1 finding stands"
	}
	return fmt.Sprintf("%d findings stand", n)
}

// tellDecided says what a job is now.
func tellDecided(s Streams, j register.Job, is string, err error) error {
	if err == nil {
		_, err = fmt.Fprintf(s.Out, "%s is %s\n", j.ID, is)
	}
	return err
}

func voidCommand(s Streams) *cobra.Command {
	return decision(s, &cobra.Command{
		Use: "void JOB", Short: "Say that a job was not done, or that its packet does not count", Args: cobra.ExactArgs(1),
		Long: `void says that a job was not done, or that its packet does not count. What was printed and
read stays in the register, and nothing of it goes into the unit's history.`,
		Example: `  jobsheaf void K-24817 --why "done on K-24902 instead" --site works`,
	}, true, onPrint(s, register.MakeVoid, "void"))
}

func reopenCommand(s Streams) *cobra.Command {
	return decision(s, &cobra.Command{
		Use: "reopen JOB", Short: "Take back that a packet was closed or made void", Args: cobra.ExactArgs(1),
		Example: `  jobsheaf reopen K-24817 --why "page 12 was another job's" --site works`,
	}, true, onPrint(s, register.Reopen, "open"))
}

// onPrint decides something of a packet as a whole.
func onPrint(s Streams, kind register.DecisionKind, is string) func(context.Context, *register.Register, register.Job, register.By, string, []string) error {
	return func(ctx context.Context, r *register.Register, j register.Job, by register.By, why string, _ []string) error {
		return tellDecided(s, j, is, r.Decide(ctx, by, register.Decision{Kind: kind, Print: j.Print, Why: why}))
	}
}

func acceptCommand(s Streams) *cobra.Command {
	return decision(s, &cobra.Command{
		Use: "accept JOB FINDING...", Short: "Let findings of a review through, with who and why", Args: cobra.MinimumNArgs(2),
		Long: `accept lets findings through, each named by its key, which the review has in brackets. Of those
that are about proof or about the desk the first parts of a key are enough: untyped-6 is all that
is not typed in on page 6. A reading that is typed in anew is another finding.`,
		Example: `  jobsheaf accept K-24817 hold-10.4-undated --why "seen by the shift lead, date in the log" --site works`,
	}, true, func(ctx context.Context, r *register.Register, j register.Job, by register.By, why string, names []string) error {
		chosen, err := review.Accept(ctx, r, by, j, names, why)
		for _, f := range chosen {
			fmt.Fprintf(s.Out, "%s %s let through\n", j.ID, f.Key)
		}
		return err
	})
}

func settleCommand(s Streams) *cobra.Command {
	c := decision(s, &cobra.Command{
		Use: "settle JOB [BOX marked|blank]", Short: "Say whether a box is marked, where the scan leaves it open or is wrong",
		Long: `settle says of a box whether it is marked. With a job alone it lists the boxes that the scan
leaves open, each with the picture of its page.`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 && len(args) != 3 {
				return errors.New("name a job, to see which boxes are open, or a job, a box and marked or blank")
			}
			return nil
		},
		Example: `  jobsheaf settle K-24817 --site works
  jobsheaf settle K-24817 s10.4.done marked --site works`,
	}, false, func(ctx context.Context, r *register.Register, j register.Job, by register.By, _ string, args []string) error {
		if err := review.Settle(ctx, r, by, j, args[0], register.Mark(args[1])); err != nil {
			return err
		}
		_, err := fmt.Fprintf(s.Out, "%s %s is %s\n", j.ID, args[0], args[1])
		return err
	})
	settle := c.RunE
	c.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) == 3 {
			return settle(cmd, args)
		}
		site := cmd.Flag("site").Value.String()
		return withRegister(cmd.Context(), site, false, func(r *register.Register) error { return openBoxes(cmd.Context(), s, r, site, args[0]) })
	}
	return c
}

// openBoxes lists the boxes of a job that a person has to settle.
func openBoxes(ctx context.Context, s Streams, r *register.Register, site, job string) error {
	j, err := r.Job(ctx, job)
	if err != nil {
		return err
	}
	p, err := review.Of(ctx, r, j)
	if err != nil {
		return err
	}
	words, err := wordsOfReview()
	if err != nil {
		return err
	}
	for _, f := range p.Findings(review.When{}) {
		if !f.Is("unsure") {
			continue
		}
		said := review.Say([]review.Finding{f}, words)
		if _, err := fmt.Fprintf(s.Out, "%s  %s; picture %s\n", f.Box, said[0].Where, pictures{site}.path(f.Picture)); err != nil {
			return err
		}
	}
	return nil
}
