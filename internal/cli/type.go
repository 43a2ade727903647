package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"time"

	"jobsheaf/internal/register"
	"jobsheaf/internal/typein"

	"github.com/spf13/cobra"
)

// typing is how readings were asked to be typed in.
type typing struct {
	site, who, again, csv string
	print                 int
	all, template, asJSON bool
}

func typeCommand(s Streams) *cobra.Command {
	var t typing
	c := &cobra.Command{
		Use:   "type [JOB]",
		Short: "Type in what stands on a packet that came back",
		Long: `type asks for one reading of a packet after the other: those first that are numbers, then
instruments, what was not done and the cause of a failure. Each is held to the limits that the
page prints, and is in the register as soon as it is said to be kept. The next run goes on with
what is missing. Either decimal sign and other units are understood.

Lines may come from a pipe too. There a line that cannot be kept ends the run, so that none lands
in the box of another; for more than a few, --csv reads a file, of which all or nothing is
entered: --template writes one to fill in.`,
		Example: `  jobsheaf type K-24817 --site works
  jobsheaf type K-24817 --site works --again 10.4
  jobsheaf type K-24817 --site works --template > K-24817.csv
  jobsheaf type --csv K-24817.csv --site works --who "Mechanic 1"`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if (t.csv != "") == (len(args) == 1) {
				return errors.New("name one job, such as `jobsheaf type K-24817`, or a file with --csv")
			}
			return withRegister(cmd.Context(), t.site, false, func(r *register.Register) error {
				if t.csv != "" {
					return t.file(cmd.Context(), s, r)
				}
				p, err := typein.Load(cmd.Context(), r, args[0], t.print, t.all || t.again != "")
				switch {
				case err != nil:
					return err
				case len(p.Boxes) == 0:
					return fmt.Errorf("print %d of job %s does not say what its boxes ask for; only packets that were printed by this version or a later one can be typed in", p.Print.N, p.Job.ID)
				case t.template:
					return p.Template(s.Out)
				case p.Job.State != register.JobOpen:
					return fmt.Errorf("job %s is %s; open it again first, with a reason", p.Job.ID, p.Job.State)
				}
				return t.keyboard(s, r, p).run(cmd.Context())
			})
		},
	}
	f := c.Flags()
	f.StringVar(&t.site, "site", ".", "the site's folder")
	f.StringVar(&t.who, "who", "", "who types, for the register")
	f.IntVar(&t.print, "print", 0, "which print of the job; by default the newest of which paper came back, else the newest")
	f.BoolVar(&t.all, "all", false, "ask for names, signatures, locks and all other words too")
	f.StringVar(&t.again, "again", "", "ask again for the box of this name, or for the boxes of this step")
	f.BoolVar(&t.template, "template", false, "write a CSV file to fill in")
	f.StringVar(&t.csv, "csv", "", "enter the readings of this CSV file")
	f.BoolVar(&t.asJSON, "json", false, "print each reading as a line of JSON")
	completeFlags(c, map[string]completer{"site": folders})
	c.ValidArgsFunction = first(from(jobIDs, cobra.ShellCompDirectiveNoFileComp))
	return c
}

// file enters the readings of a CSV file, all or none.
func (t *typing) file(ctx context.Context, s Streams, r *register.Register) error {
	if t.who == "" {
		return errors.New("say who types with --who")
	}
	f, err := os.Open(t.csv)
	if err != nil {
		return err
	}
	defer f.Close()
	readings, faults, err := typein.FromCSV(ctx, r, f)
	if err != nil {
		return fmt.Errorf("%s: %w", t.csv, err)
	}
	for _, fault := range faults {
		at := t.csv
		for _, n := range []int{fault.Line, fault.Cell} {
			if n > 0 {
				at += fmt.Sprintf(":%d", n)
			}
		}
		fmt.Fprintf(s.Err, "%s: %s\n", at, fault.Text)
	}
	if len(faults) > 0 {
		fmt.Fprintf(s.Err, "%s; nothing is entered\n", plural(len(faults), "fault"))
		return errRefused
	}
	entered, err := r.Type(ctx, register.By{Who: t.who, At: time.Now()}, readings...)
	if err != nil {
		return fmt.Errorf("nothing is entered: %w", err)
	}
	if t.asJSON {
		return json.NewEncoder(s.Out).Encode(map[string]int{"entered": entered})
	}
	_, err = fmt.Fprintf(s.Out, "%s entered\n", plural(entered, "reading"))
	return err
}
