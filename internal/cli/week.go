package cli

import (
	"cmp"
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
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/week"
	"jobsheaf/templates"

	"github.com/spf13/cobra"
)

// weekly is what the week command was asked for.
type weekly struct {
	site, out, sheet, part, today        string
	duplex, changed, join, quiet, asJSON bool
	workers                              int
	list                                 string
}

func weekCommand(s Streams) *cobra.Command {
	var w weekly
	c := &cobra.Command{
		Use:   "week LIST",
		Short: "Print a week's list: packets, print files, front matter",
		Long: `week prints all jobs of a list: one on record, by its name, or a CSV, XLSX or YAML
file from another program. Into the output folder go

    JOB.pdf, JOB.json          a packet each job, and where its boxes lie
    print/DAY-CREW.pdf         a print file a crew and day: front matter, then the
                               packets in walking order, by area and unit
    front/WEEK.pdf, *.csv      the week at a glance, pull list, locks and tags,
                               tools, liquids, and what was refused
    week.json                  the manifest of the run

A bad row or job is refused with its reasons, and the others are printed. A run
that was stopped is finished by running the command again.`,
		Example: `  jobsheaf week week-49 --site works
  jobsheaf week planned.xlsx --site works --out paper --duplex
  jobsheaf week planned.csv --site works --changed
  jobsheaf week year.csv --site works --part 2/5
  jobsheaf week --join --out out`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case w.join && len(args) > 0:
				return errors.New("--join takes no list: it joins the parts that stand in the output folder")
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
	f.BoolVar(&w.changed, "changed", false, "print once more, into the folder changed, what is not as it was in the run before, and say why")
	f.StringVar(&w.part, "part", "", "print a share of the list, such as 2/5")
	f.BoolVar(&w.join, "join", false, "join the parts in the output folder: their manifests, and the front matter")
	f.StringVar(&w.today, "today", "", "the day that counts as today, year-month-day")
	f.BoolVarP(&w.quiet, "quiet", "q", false, "say nothing but problems")
	f.BoolVar(&w.asJSON, "json", false, "print what was made as JSON")
	f.IntVar(&w.workers, "workers", 0, "how many packets are made at a time; 0: as many as there are processors")
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
	problems = append(problems, st.problems...)
	switch {
	case list == nil:
		return nothingPrinted(s, problems, "the list "+w.list+" cannot be read")
	case st.words == nil: // the front matter would have none either
		return nothingPrinted(s, problems, "list "+list.ID+" is refused, since the pages have no words in the site's language")
	}
	problems = append(problems, week.Check(st.book, st.library, list.Jobs, w.today)...)
	dir := folder(w.out)
	before, err := readLedger(w.out, week.LedgerName)
	if err != nil || before == nil && w.changed {
		return fmt.Errorf("%s: %w", filepath.Join(w.out, week.LedgerName), cmp.Or(err, errors.New("there is none of a run before, with which to compare")))
	}
	ctx, stop, err := readyToWrite(ctx, w.out)
	if err != nil {
		return err
	}
	defer stop()
	roomForSite()
	rounds := week.Share(week.Rounds(st.book, list.Jobs), k, n)
	show := newProgress(s.Err, w.quiet || w.asJSON)
	printer := &week.Printer{
		Press: &week.Press{Composer: st.composer, Workers: w.workers}, Book: st.book, Library: st.library, Words: st.words, Program: program,
		Shelf: dir, Duplex: w.duplex, Before: before, Changed: w.changed, Tell: show.tell,
	}
	result, err := printer.Print(ctx, list.ID, rounds, w.part)
	show.done()
	report := reportOf(result, w.out, append(problems, result.Problems...))
	report.Seconds = time.Since(began).Seconds()
	switch {
	case errors.Is(err, context.Canceled):
		err = errors.New("interrupted; every file that was written is whole, and the same command goes on from here")
	case err == nil && len(report.Refused) > 0 || problems.HasErrors() && err == nil:
		err = errRefused
	case err == nil:
		sweep(w.out)
	}
	if terr := report.tell(s, w); terr != nil {
		return terr
	}
	return err
}

// nothingPrinted tells why a list is refused as a whole.
func nothingPrinted(s Streams, problems diag.List, why string) error {
	if err := tell(s.Err, problems.Sorted(), false); err != nil {
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
	// The list stands in for those on record, and is held against the records as
	// they are.
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

// readLedger reads the manifest of a run; nil where there is none.
func readLedger(dir, name string) (*week.Ledger, error) {
	raw, err := os.ReadFile(filepath.Join(dir, name))
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	return week.DecodeLedger(raw)
}

// sweep removes what runs that were killed left half made. A file of the last hour
// may be of one that still goes on.
func sweep(dir string) {
	for _, in := range []string{".", "print", "front", "changed"} {
		left, err := filepath.Glob(filepath.Join(dir, in, ".jobsheaf-*"))
		if err != nil {
			continue
		}
		for _, name := range left {
			if info, err := os.Lstat(name); err == nil && time.Since(info.ModTime()) > time.Hour {
				os.Remove(name)
			}
		}
	}
}

// joinParts joins the ledgers of all parts that stand in the output folder.
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
			return fmt.Errorf("%s: %w", name, err)
		}
		parts = append(parts, l)
	}
	all, err := week.Join(parts)
	if err != nil {
		return fmt.Errorf("%s: %w", w.out, err)
	}
	// Words of the site's own are taken where its folder is at hand.
	words, problems := procedure.Words(os.DirFS(w.site), templates.FS, procedure.Options{Language: all.Look.Language, Missing: missingGlyphs})
	if problems.HasErrors() {
		return fmt.Errorf("%s: name the site's folder with --site: %s", w.out, problems[0])
	}
	files, list, err := week.Finish(folder(w.out), all, words)
	if err != nil {
		return err
	}
	report := reportOf(&week.Result{Ledger: all, Files: files}, w.out, list)
	if err := report.tell(s, w); err != nil {
		return err
	}
	if len(all.Refused) > 0 || list.HasErrors() {
		return errRefused
	}
	return nil
}
