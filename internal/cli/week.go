package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"jobsheaf/internal/check"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/joblist"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
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

// mostOfList is the most bytes of a planner's list: 50,000 rows have some 5 MB.
const mostOfList = 16 << 20

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
	k, n := 1, 1
	if w.part != "" {
		var err error
		if k, n, err = week.ParsePart(w.part); err != nil {
			return err
		}
	}
	defer boundMemory()()
	st, err := openSite(w.site)
	if err != nil {
		return err
	}
	list, problems, err := st.weekList(w)
	if err != nil {
		return err
	}
	if list != nil && !w.register.no {
		switch known, err := st.knowing(ctx, w.site, unitsOf(list.Jobs)); {
		case err != nil:
			return err
		case known != st:
			st = known
			if list, problems, err = st.weekList(w); err != nil {
				return err
			}
		}
	}
	problems = append(problems, st.problems...)
	switch {
	case list == nil || list.Broken() && len(list.Jobs) == 0:
		return nothingPrinted(s, st.excerpts, problems, "the list "+w.list+" cannot be read")
	case st.words.Empty(): // the front matter would have none either
		return nothingPrinted(s, st.excerpts, problems, "the pages of list "+list.ID+" have no words in the site's language")
	}
	problems = append(problems, week.Check(st.book, st.library, list.Jobs, w.today)...)
	before, err := readLedger(w.out, week.LedgerName)
	switch {
	case w.changed && err != nil:
		return err
	case w.changed && before == nil:
		return fmt.Errorf("%s: there is none from a previous run to compare with", filepath.Join(w.out, week.LedgerName))
	case errors.As(err, new(*printjob.Obstacle)): // it is named when this run's is written
	case err != nil: // such as one that a power cut left empty: this run writes it again
		problems.Warnf(diag.Pos{File: filepath.Join(w.out, week.LedgerName)}, "damaged", "", "what the previous run printed is not known: %s; every file that proves whole is kept", errors.Unwrap(err))
	}
	ctx, stop, err := readyToWrite(ctx, w.out)
	if err != nil {
		return err
	}
	defer stop()
	lock, err := lockRun(w.out)
	if err != nil {
		return err
	}
	defer lock.release()
	roomForSite()
	rounds := week.Share(week.Rounds(st.book, list.Jobs), k, n)
	maker := &printjob.Maker{Composer: st.composer, Workers: w.workers, Annex: w.annex}
	if err := w.register.number(ctx, w.site, maker, list.Jobs); err != nil {
		return err
	}
	show := newProgress(s.Err, w.quiet || w.asJSON)
	printer := &week.Printer{
		Maker: maker, Book: st.book, Library: st.library, Words: st.words, Program: program,
		Output: folder{w.out, lock}, Duplex: w.duplex, Before: before, Changed: w.changed, Cancelled: cancelled(list), Tell: show.tell,
	}
	result, err := printer.Print(ctx, list.ID, rounds, w.part)
	show.done()
	report := reportOf(result, w.out, append(problems, result.Problems...))
	report.Seconds = time.Since(began).Seconds()
	switch {
	case errors.Is(err, context.Canceled):
		err = interrupted{"every file that was written is whole, and the same command goes on from here", context.Cause(ctx)}
	case err == nil:
		if err = w.register.enter(ctx, w.site, w.out, printings(result)); err == nil && (len(report.Refused) > 0 || report.Problems.HasErrors()) {
			err = errRefused
		}
	}
	if terr := report.tell(s, st.excerpts, w); terr != nil {
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

// weekList gives the list that was asked for: by name from the site, else from a
// file. It is nil where it could not be read.
func (st *site) weekList(w weekly) (*record.List, diag.List, error) {
	if li := st.book.Lists[w.list]; li != nil {
		return li, nil, nil
	}
	data, err := readWhole(w.list, mostOfList)
	if errors.Is(err, os.ErrNotExist) && !strings.ContainsAny(w.list, `/\.`) {
		if lists := st.listFaults(); lists.HasErrors() { // it may be in a file that could not be read
			return nil, nil, nil
		}
		return nil, nil, fmt.Errorf("there is no list %q on record, nor a file of that name; there are %s", w.list, names(st.book.Lists))
	}
	if err != nil {
		return nil, nil, err
	}
	defer roomForList(len(data))()
	li, problems := joblist.Read(filepath.ToSlash(w.list), data, joblist.Options{Sheet: w.sheet, Site: st.book.Site, Titles: titles(st.library)})
	if li == nil {
		return nil, problems, nil
	}
	// The list replaces those on record, and is checked against the records as they
	// are.
	st.book.Only(li)
	found := check.Run(st.book, st.library, st.known())
	for _, p := range found {
		if p.Pos.File == li.Span.File {
			problems = append(problems, p)
		}
	}
	if p, junk := joblist.Junk(li, problems); junk {
		return nil, diag.List{p}, nil
	}
	st.book.Attach(problems)
	return li, problems, nil
}

// cancelled gives the IDs of the jobs that a list calls off.
func cancelled(li *record.List) []string {
	var ids []string
	for _, t := range li.Cancelled {
		ids = append(ids, t.S)
	}
	return ids
}

// titles gives the printed titles of the procedures, by name.
func titles(lib *procedure.Library) map[string]string {
	of := map[string]string{}
	for _, name := range lib.Names() {
		p, _ := lib.Procedure(name)
		for _, part := range p.Title.Parts {
			of[name] += part.Literal
		}
	}
	return of
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
