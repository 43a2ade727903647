package cli

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"image"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"

	"jobsheaf/internal/pdf"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/register"
	"jobsheaf/internal/review"

	"github.com/spf13/cobra"
)

// reviewing is what a review was asked for.
type reviewing struct {
	site, week, pdf string
	query           register.Query
	only            []string
	open, json      bool
	when            review.When
}

// mostLate is the most days after its own that a packet may be let wait.
const mostLate = 3650

func reviewCommand(s Streams) *cobra.Command {
	var v reviewing
	var topics strings.Builder
	for _, t := range review.Topics {
		fmt.Fprintf(&topics, "\n  %-11s %s", t[0], t[1])
	}
	c := &cobra.Command{
		Use:   "review [JOB]",
		Short: "Say what an auditor would find on packets that came back",
		Long: `review holds a packet that came back against what was printed and what was typed in, and says
what is wrong or missing: the gravest first, in the paper's own words, each with its key. What
stands bars the packet from being closed until it is mended on the paper and read in again, or
accepted (jobsheaf accept). It shows one job, or with --week, --from, --to or --unit all packets of
those days or of that unit.

--only narrows it to what keys begin with, such as hold or sign-second:` + topics.String() + `

The exit code is 0 where nothing stands of what is shown, else 1.`,
		Example: `  jobsheaf review K-24817 --site works
  jobsheaf review --week 2026-W49 --site works
  jobsheaf review --from 2026-11-01 --to 2026-11-30 --only sign-second --site works
  jobsheaf review K-24817 --pdf K-24817-review.pdf --site works`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := v.check(args); err != nil {
				return err
			}
			v.when.Today = time.Now().Format(time.DateOnly)
			return withRegister(cmd.Context(), v.site, false, func(r *register.Register) error {
				return v.run(cmd.Context(), s, r, args)
			})
		},
	}
	f := c.Flags()
	f.StringVar(&v.site, "site", ".", "the site's folder")
	f.StringVar(&v.week, "week", "", "the packets of a week, such as 2026-W49")
	f.StringVar(&v.query.From, "from", "", "only packets of this day and later, year-month-day")
	f.StringVar(&v.query.To, "to", "", "only packets of this day and earlier, year-month-day")
	f.StringVar(&v.query.Unit, "unit", "", "only packets of this unit")
	f.StringSliceVar(&v.only, "only", nil, "only findings whose keys begin so, such as hold,limit")
	f.BoolVar(&v.open, "open", false, "only findings that stand: no remarks, nothing that was let through")
	f.IntVar(&v.when.Days, "late", 3, "how many days after its own a packet is late")
	f.BoolVar(&v.json, "json", false, "print packets and findings as JSON")
	f.StringVar(&v.pdf, "pdf", "", "write the review of a job into this file, to file it with the packet")
	completeFlags(c, map[string]completer{"site": folders})
	c.ValidArgsFunction = first(from(jobIDs, cobra.ShellCompDirectiveNoFileComp))
	return c
}

// weekForm is how a week is written.
var weekForm = regexp.MustCompile(`^(\d{4})-W(\d{2})$`)

// check holds what was asked for to what makes sense, and turns the week into days.
func (v *reviewing) check(args []string) error {
	many := v.week != "" || v.query != (register.Query{})
	switch {
	case len(args) == 1 && many:
		return errors.New("name a job, or days or a unit with --week, --from, --to, --unit, and not both")
	case len(args) == 0 && !many:
		return errors.New("name a job, such as `jobsheaf review K-24817`, or its week with --week 2026-W49")
	case v.week != "" && v.query.From+v.query.To != "":
		return errors.New("--week goes without --from and --to")
	case v.pdf != "" && len(args) == 0:
		return errors.New("--pdf is of one job: name it")
	case v.when.Days < 0 || v.when.Days > mostLate:
		return fmt.Errorf("--late %d is outside 0 to %d", v.when.Days, mostLate)
	}
	for _, name := range v.only {
		topic, _, _ := strings.Cut(name, "-")
		if !isTopic(topic) {
			return fmt.Errorf("--only %q: no finding has a key that begins so; `jobsheaf review --help` lists them", name)
		}
	}
	if v.week != "" {
		from, err := monday(v.week)
		if err != nil {
			return err
		}
		v.query.From, v.query.To = from.Format(time.DateOnly), from.AddDate(0, 0, 6).Format(time.DateOnly)
	}
	for _, day := range [][2]string{{"--from", v.query.From}, {"--to", v.query.To}} {
		if day[1] != "" {
			if err := isDay(day[0], day[1]); err != nil {
				return err
			}
		}
	}
	return nil
}

func isTopic(name string) bool {
	for _, t := range review.Topics {
		if t[0] == name {
			return true
		}
	}
	return false
}

// monday gives the first day of a week as ISO 8601 counts them: week 1 has January 4.
func monday(week string) (time.Time, error) {
	if m := weekForm.FindStringSubmatch(week); m != nil {
		year, _ := strconv.Atoi(m[1]) // digits
		n, _ := strconv.Atoi(m[2])
		first := time.Date(year, time.January, 4, 0, 0, 0, 0, time.UTC)
		day := first.AddDate(0, 0, -(int(first.Weekday())+6)%7+7*(n-1))
		if y, w := day.ISOWeek(); y == year && w == n {
			return day, nil
		}
	}
	return time.Time{}, fmt.Errorf("--week %q: write a week that the year has as 2026-W49", week)
}

// reviewed is a packet with the findings that are shown.
type reviewed struct {
	*review.Packet
	shown []review.Finding
}

func (v *reviewing) run(ctx context.Context, s Streams, r *register.Register, args []string) error {
	var jobs []register.Job
	if len(args) == 1 {
		j, err := r.Job(ctx, args[0])
		if err != nil {
			return err
		}
		jobs = append(jobs, j)
	} else if err := r.Jobs(ctx, v.query, func(j register.Job) error { jobs = append(jobs, j); return nil }); err != nil {
		return err
	}
	say, err := wordsOfReview()
	if err != nil {
		return err
	}
	out := newReport(s.Out, v, say, len(args) == 1)
	stands := 0
	for _, j := range jobs {
		p, err := review.Of(ctx, r, j)
		if err != nil {
			return err
		}
		all := p.Findings(v.when)
		if v.pdf != "" {
			if err := v.file(ctx, p, all); err != nil {
				return err
			}
		}
		shown := v.narrowed(all)
		stands += len(review.Open(shown))
		out.add(reviewed{p, shown})
	}
	if err := out.end(); err != nil {
		return err
	}
	if len(args) == 0 && len(v.only) == 0 {
		const most = 1000
		lost, err := r.ToPlace(ctx, most)
		if err != nil {
			return err
		}
		if len(lost) > 0 {
			fmt.Fprintf(s.Err, "%s came back of which nobody has said yet what they are, the first in %s\n", plural(len(lost), "page"), lost[0].File)
		}
	}
	if stands > 0 {
		return errRefused
	}
	return nil
}

// narrowed gives the findings that are asked for.
func (v *reviewing) narrowed(all []review.Finding) (out []review.Finding) {
	for _, f := range all {
		wanted := len(v.only) == 0
		for _, name := range v.only {
			wanted = wanted || f.Is(name)
		}
		if wanted && (!v.open || f.Stands()) {
			out = append(out, f)
		}
	}
	return out
}

// file writes the review of a packet as a PDF.
func (v *reviewing) file(ctx context.Context, p *review.Packet, found []review.Finding) error {
	if p.State() == review.Out {
		return fmt.Errorf("job %s: nothing has come back yet that a review could be filed with", p.Job.ID)
	}
	st, err := openSite(v.site)
	if err != nil {
		return err
	}
	site := st.book.Site
	if site == nil || st.words.Empty() {
		return fmt.Errorf("%s: the site's records cannot be used; `jobsheaf check` says why", v.site)
	}
	doc, problems := p.LayOut(review.Look{Site: site.Name.S, Paper: site.Paper, Language: cmp.Or(site.Language, "en"), Program: program, Words: st.words}, found, picturesOf(ctx, v.site))
	if problems.HasErrors() {
		return fmt.Errorf("the review cannot be printed: %s", problems[0].Message)
	}
	var b bytes.Buffer
	if err := pdf.Write(&b, doc); err != nil {
		return err
	}
	return writeFiles(&runLock{}, filepath.Dir(v.pdf), []printjob.File{{Name: filepath.Base(v.pdf), Data: b.Bytes()}})
}

// picturesOf gives the pictures of pages that a site keeps. One that is gone or damaged is
// left out: what was found stands without it.
func picturesOf(ctx context.Context, site string) review.Pictures {
	return func(sum string) *image.Gray {
		g, err := pictures{site}.open(ctx, sum)
		if err != nil {
			return nil
		}
		return g
	}
}
