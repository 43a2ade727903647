package cli

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"time"

	"jobsheaf/internal/intake"
	"jobsheaf/internal/register"

	"github.com/spf13/cobra"
)

// placing is what the place command was asked for.
type placing struct {
	site, who, aside string
	print            int
	counts           bool
}

// mostToPlace is how many papers are listed.
const mostToPlace = 500

func placeCommand(s Streams) *cobra.Command {
	var p placing
	c := &cobra.Command{
		Use:   "place [PAPER [JOB PAGE]]",
		Short: "Say which page a scan shows that could not be placed",
		Long: `place lists the scanned papers that could not be placed, each with its picture, or
says of one which page of which job it is. Its boxes are then read, or settled by hand
where it cannot be squared up. Of a page that came twice, --counts says which counts.`,
		Example: `  jobsheaf place --site works
  jobsheaf place 4711 K-24817 3 --site works
  jobsheaf place 4712 --aside "a delivery note" --site works
  jobsheaf place 4713 --counts --site works`,
		Args: cobra.MaximumNArgs(3),
		RunE: func(cmd *cobra.Command, args []string) error {
			return withRegister(cmd.Context(), p.site, false, func(r *register.Register) error { return p.run(cmd.Context(), s, r, args) })
		},
	}
	f := c.Flags()
	f.StringVar(&p.site, "site", ".", "the site's folder")
	f.StringVar(&p.who, "who", "", "who says so, for the register; by default the name of the account")
	f.StringVar(&p.aside, "aside", "", "it is no page of a packet: what it is")
	f.BoolVar(&p.counts, "counts", false, "of a page that came more than once, this one counts")
	f.IntVar(&p.print, "print", 0, "which print of the job it is, from 1; by default the newest")
	completeFlags(c, map[string]completer{"site": folders})
	return c
}

func (p *placing) run(ctx context.Context, s Streams, r *register.Register, args []string) error {
	pictures := pictures{p.site}
	if len(args) == 0 {
		papers, err := r.ToPlace(ctx, mostToPlace)
		if err != nil {
			return err
		}
		for _, paper := range papers {
			fmt.Fprintf(s.Out, "%d  %s %d: %s; picture %s\n", paper.Event, paper.File, paper.At, paper.Why, pictures.path(paper.Picture))
		}
		return nil
	}
	n, err := strconv.ParseInt(args[0], 10, 64)
	if err != nil {
		return fmt.Errorf("%q is not the number of a paper; `jobsheaf place` lists them", args[0])
	}
	by := register.By{Who: account(p.who), At: time.Now()}
	in := &intake.Intake{Register: r, By: by, Keep: pictures.keep}
	switch {
	case p.counts && p.aside == "" && len(args) == 1:
		return r.Choose(ctx, by, n)
	case p.aside != "" && !p.counts && len(args) == 1:
		return in.Aside(ctx, n, p.aside)
	case len(args) != 3 || p.counts || p.aside != "":
		return errors.New("name a paper with a job and a page, or with --aside or --counts")
	}
	page, err := strconv.Atoi(args[2])
	if err != nil {
		return fmt.Errorf("%q is not the number of a page", args[2])
	}
	of, err := whichPrint(ctx, r, args[1], p.print)
	if err != nil {
		return err
	}
	paper, err := r.Paper(ctx, n)
	if err != nil {
		return err
	}
	picture, err := pictures.open(ctx, paper.Picture)
	if err != nil {
		return err
	}
	o, err := in.Place(ctx, n, picture, of, page)
	if err == nil {
		fmt.Fprintln(s.Out, says(o))
	}
	return err
}

// whichPrint gives a print of a job, the newest where n is 0.
func whichPrint(ctx context.Context, r *register.Register, job string, n int) (register.Printed, error) {
	prints, err := r.Prints(ctx, job)
	switch {
	case err != nil:
		return register.Printed{}, err
	case len(prints) == 0:
		return register.Printed{}, fmt.Errorf("job %s: %w", job, register.ErrUnknown)
	case n == 0:
		n = len(prints)
	case n < 1 || n > len(prints):
		return register.Printed{}, fmt.Errorf("job %s has %s", job, plural(len(prints), "print"))
	}
	return prints[n-1], nil
}
