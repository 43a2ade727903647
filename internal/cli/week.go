package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/week"
	"jobsheaf/internal/words"
	"jobsheaf/templates"

	"github.com/spf13/cobra"
)

// weekly is what the week command was asked for.
type weekly struct {
	site, out, sheet, part, today                    string
	duplex, annex, changed, join, quiet, all, asJSON bool
	workers                                          int
	list                                             string
	register                                         entering
	// Of a week that the desk prints:
	data   []byte // of the list that somebody sent, nil of one by its name
	served bool   // the program does other things too, and the folder takes one run at a time
}

func weekCommand(s Streams) *cobra.Command {
	var w weekly
	c := &cobra.Command{
		Use:   "week LIST",
		Short: "Print a week's list: packets, print files, front matter",
		Long: `week prints all jobs of a list: one on record, by its name, or a CSV, XLSX or YAML
file from another program. It puts into the output folder

    JOB.pdf, JOB.json          a packet for each job, and the place of its boxes
    JOB-annex.pdf              with --annex: the working of its numbers and their sources
    print/DAY-CREW.pdf         a print file for each crew and day: front matter, then the
                               packets in walking order, by area and unit, each with
                               its annex behind it where there are annexes
    front/WEEK.pdf, *.csv      the week at a glance, pull list, locks and tags,
                               tools, liquids, what was not printed, and what to withdraw
    week.json                  the ledger: what was printed, and how each file was

A bad row or job is named with its reasons, and the others are printed. To finish
a run that was stopped, run the command again. Files that have since been damaged or
removed are made again, and named.`,
		Example: `  jobsheaf week week-49 --site works
  jobsheaf week planned.xlsx --site works --out paper --duplex
  jobsheaf week planned.csv --site works --changed
  jobsheaf week year.csv --site works --part 2/5
  jobsheaf week --join --out out`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case w.join && len(args) > 0:
				return errors.New("--join takes no list: it joins the parts that are in the output folder")
			case w.join:
				return joinParts(s, w)
			case len(args) == 0:
				return errors.New("name a list on record, or a CSV, XLSX or YAML file (jobsheaf week --help)")
			}
			w.list = args[0]
			return runWeek(cmd.Context(), s, w)
		},
	}
	f := c.Flags()
	f.StringVar(&w.site, "site", ".", "the site's folder")
	f.StringVar(&w.out, "out", "out", "the folder to print into")
	f.StringVar(&w.sheet, "sheet", "", "the sheet of a workbook that holds the list")
	f.BoolVar(&w.duplex, "duplex", false, "for two-sided printing: a blank back follows a packet that ends on a front")
	f.BoolVar(&w.annex, "annex", false, "print each annex as a file too, and behind its packet in the print files")
	f.BoolVar(&w.changed, "changed", false, "print again, into the folder changed, whatever differs from the previous run, and say why")
	f.StringVar(&w.part, "part", "", "print a share of the list, such as 2/5")
	f.BoolVar(&w.join, "join", false, "join the parts in the output folder: their ledgers, and the front matter")
	f.StringVar(&w.today, "today", "", "the day that counts as today, year-month-day")
	f.BoolVarP(&w.quiet, "quiet", "q", false, "print errors only, and how many warnings were left out")
	f.BoolVar(&w.all, "all", false, "name every value that is not on record")
	f.BoolVar(&w.asJSON, "json", false, "print what was made as JSON")
	w.register.flags(c)
	f.IntVar(&w.workers, "workers", 0, "how many packets are made at a time; 0: as many as there are processors")
	c.ValidArgsFunction = first(from(listNames, cobra.ShellCompDirectiveDefault)) // a list may be a file too
	completeFlags(c, map[string]completer{"site": folders, "out": folders})
	return c
}

// mostWorkers is how many packets are made at a time at most: each is held in memory.
const mostWorkers = 256

func runWeek(ctx context.Context, s Streams, w weekly) error {
	began := time.Now()
	if w.today == "" {
		w.today = began.Format(time.DateOnly)
	}
	if err := isDay("--today", w.today); err != nil {
		return err
	}
	if w.workers < 0 || w.workers > mostWorkers {
		return fmt.Errorf("--workers %d is outside 0 to %d", w.workers, mostWorkers)
	}
	if w.part != "" {
		if _, _, err := week.ParsePart(w.part); err != nil {
			return err
		}
	}
	defer boundMemory()()
	run, err := w.ready(ctx)
	if err != nil {
		return err
	}
	if run.why != "" {
		return nothingPrinted(s, run.st.excerpts, run.problems, run.why)
	}
	show := newProgress(s.Err, w.quiet || w.asJSON)
	result, err := run.print(ctx, show.tell)
	show.done()
	if result == nil {
		return err
	}
	report := reportOf(result, w.out, run.problems)
	report.Seconds = time.Since(began).Seconds()
	if err == nil && (len(report.Refused) > 0 || report.Problems.HasErrors()) {
		err = errRefused
	}
	if terr := report.tell(s, run.st.excerpts, w); terr != nil {
		return terr
	}
	return err
}

// printings lists the jobs whose packets stand in the output.
func printings(r *week.Result) []printing {
	list := make([]printing, len(r.Ledger.Jobs))
	for i := range r.Ledger.Jobs {
		j := &r.Ledger.Jobs[i].Job
		list[i] = printing{j.Job, j.Fingerprint}
	}
	return list
}

// nothingPrinted says why nothing of a list is printed.
func nothingPrinted(s Streams, from *excerpts, problems diag.List, why string) error {
	if err := tell(s.Err, from, problems.Sorted(), false); err != nil {
		return err
	}
	fmt.Fprintf(s.Err, "jobsheaf: nothing is printed: %s\n", why)
	return errRefused
}

// mostOfLedger is the most bytes of a ledger: one of 50,000 jobs has some 60 MB.
const mostOfLedger = 512 << 20

// readLedger reads the ledger of a run; nil where there is none. The error says what
// is wrong with the file and wraps why.
func readLedger(dir, name string) (*week.Ledger, error) {
	file := filepath.Join(dir, name)
	size, err := folder{dir: dir}.Size(name)
	var obstacle *printjob.Obstacle
	switch {
	case errors.As(err, &obstacle):
		return nil, fmt.Errorf("%s: %w", file, obstacle)
	case err != nil || size < 0:
		return nil, err
	case size > mostOfLedger:
		return nil, fmt.Errorf("%s: %w", file, fmt.Errorf("it has %d MB, more than any run writes", size>>20))
	}
	raw, err := os.ReadFile(file)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	l, err := week.DecodeLedger(raw)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	return l, nil
}

// joinParts joins the ledgers of all parts in the output folder.
func joinParts(s Streams, w weekly) error {
	found, err := filepath.Glob(filepath.Join(w.out, "week.*of*.json"))
	if err != nil {
		return err
	}
	if len(found) == 0 {
		return fmt.Errorf("%s holds no part of a list; print them with --part 1/2 and so on", w.out)
	}
	var parts []*week.Ledger
	for _, name := range found {
		l, err := readLedger(w.out, filepath.Base(name))
		if err != nil {
			return err
		}
		parts = append(parts, l)
	}
	all, err := week.Join(parts)
	if err != nil {
		return fmt.Errorf("%s: %w", w.out, err)
	}
	// Words of the site's own are taken where its folder is at hand.
	catalogue, problems := words.Load(os.DirFS(w.site), templates.FS, all.Look.Language, missingGlyphs)
	if problems.HasErrors() {
		return fmt.Errorf("%s: name the site's folder with --site: %s", w.out, problems[0])
	}
	before, err := readLedger(w.out, week.LedgerName)
	if err != nil {
		problems.Warnf(diag.Pos{File: filepath.Join(w.out, week.LedgerName)}, "damaged", "", "what the previous run printed is not known: %s", errors.Unwrap(err))
	}
	lock, err := lockRun(w.out)
	if err != nil {
		return err
	}
	defer lock.release()
	result, err := week.Finish(folder{w.out, lock}, all, before, catalogue)
	if err != nil {
		return err
	}
	report := reportOf(result, w.out, append(problems, result.Problems...))
	if err := report.tell(s, nil, w); err != nil {
		return err
	}
	if len(all.Refused) > 0 || report.Problems.HasErrors() {
		return errRefused
	}
	return nil
}
