package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"iter"
	"os"
	"os/user"
	"path/filepath"
	"regexp"
	"strconv"
	"time"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/register"

	"github.com/spf13/cobra"
)

// registers is whether make and week enter what they print where nobody says
// otherwise: tests that print the demo sites write nothing into them.
var registers = true

// entering is how a run was asked to enter what it prints.
type entering struct {
	no  bool
	who string
}

func (e *entering) flags(c *cobra.Command) {
	f := c.Flags()
	f.BoolVar(&e.no, "no-register", !registers, "leave the site's register alone: what was typed into it is not printed, and what is printed is not entered")
	f.StringVar(&e.who, "who", "", "who prints, for the register; by default the name of the account")
}

// printing is a job as a run printed it.
type printing struct{ job, fingerprint string }

// enter enters the packets that a run printed into a folder in the site's register, all
// or none. Their manifests are read from there: those of a year would fill the memory.
func (e *entering) enter(ctx context.Context, site, out string, jobs []printing) error {
	if e.no || len(jobs) == 0 {
		return nil
	}
	r, err := register.Open(ctx, filepath.Join(site, register.FileName))
	if err != nil {
		return fmt.Errorf("the packets are printed, and not entered in the register: %w", err)
	}
	defer r.Close()
	if _, err := r.Enter(ctx, register.By{Who: account(e.who), At: time.Now()}, printsIn(out, jobs)); err != nil {
		return fmt.Errorf("the packets are printed, and not entered in the register: %w", err)
	}
	return nil
}

// account gives the name under which something is entered.
func account(who string) string {
	if who != "" {
		return who
	}
	if u, err := user.Current(); err == nil && u.Username != "" {
		return filepath.Base(filepath.ToSlash(u.Username)) // of a domain's account the part behind it
	}
	return "unknown"
}

// printsIn reads what was printed of some jobs, one after the other. A job whose manifest
// is not there was in another file's way, and that is told already.
func printsIn(out string, jobs []printing) iter.Seq2[register.Print, error] {
	return func(yield func(register.Print, error) bool) {
		for _, j := range jobs {
			raw, err := os.ReadFile(filepath.Join(out, j.job+".json"))
			if err != nil {
				continue
			}
			m, err := manifest.ReadHead(bytes.NewReader(raw))
			if err != nil || m.Fingerprint != j.fingerprint {
				continue
			}
			p := register.Print{Job: m.Job, Unit: m.Unit, Procedure: m.Procedure, Day: m.Day, Fingerprint: m.Fingerprint, Pages: m.Pages, Manifest: raw}
			if !yield(p, nil) {
				return
			}
		}
	}
}

func registerCommand(s Streams) *cobra.Command {
	var site string
	c := &cobra.Command{
		Use:   "register",
		Short: "Look into the site's register of what was printed and came back",
		Long: `register looks into the register of a site: register.db in its folder, in which make
and week enter what they print, unless they run with --no-register, and read what came back.
Nothing in it is ever edited or removed: all that happens is an event, which holds the hash of
the one before.`,
		Example: `  jobsheaf register jobs --site works --unit P-214
  jobsheaf register jobs K-24817 --site works
  jobsheaf register verify --site works
  jobsheaf register export backup --site works
  jobsheaf register import backup --site other`,
	}
	c.PersistentFlags().StringVar(&site, "site", ".", "the site's folder")
	completeFlags(c, map[string]completer{"site": folders})
	c.AddCommand(registerJobs(s, &site), registerShow(s, &site), registerVerify(s, &site), registerExport(s, &site), registerImport(s, &site))
	return c
}

// ifAny opens a site's register; it is nil where the site has none.
func ifAny(ctx context.Context, site string) (*register.Register, error) {
	path := filepath.Join(site, register.FileName)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return register.Open(ctx, path)
}

// withRegister does f with a site's register, which must be there unless it may be made.
func withRegister(ctx context.Context, site string, mayMake bool, f func(*register.Register) error) error {
	path := filepath.Join(site, register.FileName)
	if _, err := os.Stat(path); err != nil && !mayMake {
		return fmt.Errorf("%s: there is no register yet; make and week begin one", path)
	}
	r, err := register.Open(ctx, path)
	if err != nil {
		return err
	}
	defer r.Close()
	return f(r)
}

func registerJobs(s Streams, site *string) *cobra.Command {
	var q register.Query
	var asJSON bool
	c := &cobra.Command{
		Use: "jobs [JOB]", Short: "List the jobs that were printed, by day, or one of them", Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			for flag, day := range map[string]string{"--from": q.From, "--to": q.To} {
				if day != "" {
					if err := isDay(flag, day); err != nil {
						return err
					}
				}
			}
			return withRegister(cmd.Context(), *site, false, func(r *register.Register) error {
				encode := json.NewEncoder(s.Out)
				tell := func(j register.Job) error {
					if asJSON {
						return encode.Encode(j)
					}
					_, err := fmt.Fprintf(s.Out, "%s  %-16s %-10s %-32s %s  %s, print %d, %s by %s\n", j.Day, j.ID, j.Unit, j.Procedure, j.Fingerprint, plural(j.Pages, "page"), j.Prints, j.At, j.Who)
					return err
				}
				if len(args) == 0 {
					return r.Jobs(cmd.Context(), q, tell)
				}
				j, err := r.Job(cmd.Context(), args[0])
				if err != nil {
					return err
				}
				return tell(j)
			})
		},
	}
	c.Flags().StringVar(&q.Unit, "unit", "", "only jobs on this unit")
	c.Flags().StringVar(&q.From, "from", "", "only jobs of this day and later, year-month-day")
	c.Flags().StringVar(&q.To, "to", "", "only jobs of this day and earlier, year-month-day")
	c.Flags().BoolVar(&asJSON, "json", false, "print each job as a line of JSON")
	return c
}

// headForm is how the end of a register is written down.
var headForm = regexp.MustCompile(`^([0-9]{1,15}):([0-9a-f]{64})$`)

func registerVerify(s Streams, site *string) *cobra.Command {
	var known string
	var look bool
	c := &cobra.Command{
		Use: "verify", Short: "Find whether anything in the register was edited, removed or reordered", Args: cobra.NoArgs,
		Long: `verify works out the hash of every event anew, and everything that follows from the events.
At its end it prints the number of events and the last hash. Written down elsewhere and given
with --known, they show later that nothing was cut off since.`,
		RunE: func(cmd *cobra.Command, _ []string) error {
			var head register.Head
			if known != "" {
				parts := headForm.FindStringSubmatch(known)
				if parts == nil {
					return fmt.Errorf("--known %q: write it as verify prints it, NUMBER:HASH", known)
				}
				head.Hash = parts[2]
				head.Events, _ = strconv.ParseInt(parts[1], 10, 64) // of at most 15 digits
			}
			return withRegister(cmd.Context(), *site, false, func(r *register.Register) error {
				faults, err := r.Verify(cmd.Context(), head)
				if err != nil {
					return err
				}
				if look {
					more, err := pictures{*site}.verify(cmd.Context(), r)
					if err != nil {
						return err
					}
					faults = append(faults, more...)
				}
				for _, f := range faults {
					fmt.Fprintf(s.Err, "%s: %s\n", filepath.Join(*site, register.FileName), f)
				}
				if len(faults) > 0 {
					return errRefused
				}
				now, err := r.Head(cmd.Context())
				if err == nil {
					fmt.Fprintf(s.Out, "%d:%s\n", now.Events, now.Hash)
				}
				return err
			})
		},
	}
	c.Flags().StringVar(&known, "known", "", "an end of the register that was written down, NUMBER:HASH")
	c.Flags().BoolVar(&look, "pictures", false, "read the pictures of pages too, and find those that were edited or are missing")
	return c
}

func registerExport(s Streams, site *string) *cobra.Command {
	var asCSV bool
	c := &cobra.Command{
		Use: "export DIR", Short: "Write all of the register into a folder, as YAML or CSV", Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return withRegister(cmd.Context(), *site, false, func(r *register.Register) error {
				if err := os.MkdirAll(args[0], 0o755); err != nil {
					return err
				}
				lock, err := lockRun(args[0])
				if err != nil {
					return err
				}
				defer lock.release()
				files, err := exported(cmd.Context(), r, asCSV)
				if err != nil {
					return err
				}
				if err := writeFiles(lock, args[0], files); err != nil {
					return err
				}
				for _, f := range files {
					fmt.Fprintln(s.Out, filepath.Join(args[0], f.Name))
				}
				return nil
			})
		},
	}
	c.Flags().BoolVar(&asCSV, "csv", false, "write tables instead of YAML")
	return c
}

// exported gives the files of an export.
func exported(ctx context.Context, r *register.Register, asCSV bool) ([]printjob.File, error) {
	if asCSV {
		var events, manifests bytes.Buffer
		err := r.ExportCSV(ctx, &events, &manifests)
		return []printjob.File{{Name: register.EventsFile, Data: events.Bytes()}, {Name: register.ManifestsFile, Data: manifests.Bytes()}}, err
	}
	var all bytes.Buffer
	err := r.ExportYAML(ctx, &all)
	return []printjob.File{{Name: register.YAMLFile, Data: all.Bytes()}}, err
}

func registerImport(s Streams, site *string) *cobra.Command {
	return &cobra.Command{
		Use: "import DIR", Short: "Add to the register what an export holds beyond it", Args: cobra.ExactArgs(1),
		Long: `import adds to the register the events of an export that follow what it holds, all or none. A
register that went another way than the export is left as it is, and said.`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if info, err := os.Stat(*site); err != nil || !info.IsDir() {
				return fmt.Errorf("%s is not a folder; name a site's with --site", *site)
			}
			return withRegister(cmd.Context(), *site, true, func(r *register.Register) error {
				added, err := imported(cmd.Context(), r, args[0])
				if err == nil {
					fmt.Fprintf(s.Out, "%s added\n", plural(added, "event"))
				}
				return err
			})
		},
	}
}

func imported(ctx context.Context, r *register.Register, dir string) (int, error) {
	yaml, err := os.Open(filepath.Join(dir, register.YAMLFile))
	if err == nil {
		defer yaml.Close()
		added, err := r.ImportYAML(ctx, yaml)
		if err != nil {
			err = fmt.Errorf("%s: %w", yaml.Name(), err)
		}
		return added, err
	}
	events, err := os.Open(filepath.Join(dir, register.EventsFile))
	if err != nil {
		return 0, fmt.Errorf("%s holds neither %s nor %s of an exported register", dir, register.YAMLFile, register.EventsFile)
	}
	defer events.Close()
	manifests, err := os.Open(filepath.Join(dir, register.ManifestsFile))
	if err != nil {
		return 0, err
	}
	defer manifests.Close()
	added, err := r.ImportCSV(ctx, events, manifests)
	if err != nil {
		err = fmt.Errorf("%s: %w", dir, err)
	}
	return added, err
}
