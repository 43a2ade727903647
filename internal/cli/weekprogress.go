package cli

import (
	"fmt"
	"io"
	"os"
	"time"

	"jobsheaf/internal/week"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// progress shows how far a run is: a bar on a terminal, a line for each round
// elsewhere.
type progress struct {
	w     io.Writer
	quiet bool
	bar   *progressbar.ProgressBar // nil where there is no terminal
	began bool
}

func newProgress(w io.Writer, quiet bool) *progress { return &progress{w: w, quiet: quiet} }

// tell is called by week.Printer.
func (p *progress) tell(at week.Progress) {
	if p.quiet {
		return
	}
	if f, ok := p.w.(*os.File); ok && !p.began && term.IsTerminal(int(f.Fd())) {
		p.bar = progressbar.NewOptions(at.Of, progressbar.OptionSetWriter(p.w), progressbar.OptionSetDescription("packets"),
			progressbar.OptionShowCount(), progressbar.OptionSetPredictTime(true), progressbar.OptionThrottle(100*time.Millisecond), progressbar.OptionClearOnFinish())
	}
	p.began = true
	if p.bar != nil {
		p.bar.Set(at.Jobs)
		return
	}
	if r := at.Round; r != nil {
		what := "printed"
		if at.Whole {
			what = "there already"
		}
		fmt.Fprintf(p.w, "%s: %s, %s, %s; %d of %d\n", r.File, plural(r.Jobs, "packet"), plural(r.Pages, "page"), what, at.Jobs, at.Of)
	}
}

// done takes the bar off the terminal.
func (p *progress) done() {
	if p.bar != nil {
		p.bar.Finish()
	}
}
