package desk_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/register"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// The pages that write have no fault of access either.
func TestWritingAccess(t *testing.T) {
	o, b := open(t, func(site string) {
		cameBack(t)(site)
		r, err := register.Open(t.Context(), site+"/"+register.FileName)
		must(t, err)
		defer r.Close()
		of, err := r.Prints(t.Context(), back)
		must(t, err)
		print, high := of[0].Event, 0.05
		by := register.By{Who: "Planner 2", At: day("2026-12-01T08:00:00Z")}
		typed := []register.Reading{{Box: "s2.3.motor-s-hub", Text: "0.08", Value: "0.08", High: &high, Why: "hub is changed next stop"}}
		for _, p := range [][2]string{{"s4.2.sag", "-0.10"}, {"s4.4.left", "0.05"}, {"s4.4.bottom", "0.14"}, {"s4.4.right", "0.1"}, {"s4.6.face", "0.02"}, {"s5.1.shim_front", "0.21"}, {"s5.1.shim_back.rim_bottom", "0.41"}} {
			typed = append(typed, register.Reading{Box: p[0], Text: p[1], Value: p[1]})
		}
		for i := range typed {
			typed[i].Print, typed[i].Unit, typed[i].Page = print, "mm", 4
		}
		_, err = r.Type(t.Context(), by, typed...)
		must(t, err)
		must(t, r.Settle(t.Context(), by, register.Settled{Print: print, Box: unsure[0], Is: register.Marked}))
	}), chromium(t)
	b.named(o, "Planner 1")
	b.accessible(o.url, typing, typing+"?at=s2.3.motor-s-hub&kept=s2.3.motor-s-hub", typing+"?at=s5.1.shim_front", typing+"?at=end", "/job/K-24817/type", "/job/K-24818/type",
		settling, settling+"?page=4", "/settle?week=2026-W49", reviewing, "/job/K-24818/review", "/job/K-24819/review", "/job/K-24817/review", "/review?week=2026-W49", "/review?week=2026-W49&only=unsure&open=1")
	// A form that came back with why.
	for _, w := range []int64{1280, 360} {
		b.sized(w, 800)
		b.do(chromedp.Navigate(o.url + typing + "?lang=en&at=s2.3.driven-hub"))
		b.writes("0.5")
		b.enter(`input[name="why"]`)
		b.shows("refused", w)
	}
}

// named gives a name to the desk, as whoever sits there does.
func (b *tab) named(o *opened, name string) {
	b.t.Helper()
	b.do(chromedp.Navigate(o.url+"/name?lang=en"), chromedp.Focus("#name"))
	b.writes(name)
	b.enter("h1")
}

// writes types into whatever field has the focus, once one has: a page that has just come
// gives it a little later.
func (b *tab) writes(text string) {
	b.t.Helper()
	for range 200 {
		if is[bool](b, `["INPUT", "TEXTAREA"].includes(document.activeElement?.tagName)`) {
			break
		}
		time.Sleep(25 * time.Millisecond)
	}
	_, err := chromedp.Call(b.ctx, input.InsertText, input.InsertTextParams{Text: text})
	must(b.t, err)
}

// enter presses Enter, and waits for what the page that comes shows and has.
func (b *tab) enter(shows string, has ...string) {
	b.t.Helper()
	b.do(chromedp.KeyEvent("\r"))
	for _, h := range has {
		b.do(chromedp.WaitReady(h))
	}
	b.do(chromedp.WaitVisible(shows))
}

// A person types readings, sees a verdict, settles boxes, lets findings through and closes
// the packet, by the keyboard alone: with script, and with script off.
func TestPaperByHand(t *testing.T) {
	for _, script := range []bool{true, false} {
		t.Run(fmt.Sprintf("script %v", script), func(t *testing.T) {
			o, b := open(t, cameBack(t)), chromium(t)
			b.script(script)
			// Of a page without script nothing can be asked; what it shows is asked of its tree.
			b.named(o, "Planner 1")
			b.do(chromedp.Navigate(o.url+typing), chromedp.WaitVisible("#text"))
			b.writes("3.1")
			b.enter("#kept")
			b.holds("#kept", "3.1 mm")
			b.writes("0.08")
			b.enter("#why") // the reason has the focus
			b.holds("#says", "OUTSIDE its limits")
			b.writes("hub is changed next stop")
			b.enter("#kept")
			b.holds("#kept", "0.08 mm", "OUTSIDE its limits")
			b.writes("0.04")
			b.enter(`#text`, `input[name="box"][value="s3.2.front-left"]`)
			b.holds("#kept", "within its limits")

			b.do(chromedp.Navigate(o.url+settling), chromedp.WaitVisible("fieldset"))
			for i := range unsure {
				b.do(chromedp.Focus(fmt.Sprintf(`fieldset:nth-of-type(%d) input[value="marked"]`, i+1)), chromedp.KeyEvent(" "))
			}
			b.enter(`p[role="status"]`)
			b.holds(`p[role="status"]`, fmt.Sprintf("Kept: %d.", len(unsure)))

			for range 80 {
				b.do(chromedp.Navigate(o.url+reviewing), chromedp.WaitVisible("h1"))
				if !strings.Contains(b.text("main"), "Let it through") {
					break
				}
				b.do(chromedp.Focus(".found summary"), chromedp.KeyEvent(" "), chromedp.WaitVisible(`.found details[open] input[name="why"]`), chromedp.Focus(`.found details[open] input[name="why"]`))
				b.writes("seen by the shift lead")
				b.enter(`p[role="status"]`)
			}
			b.do(chromedp.Focus(`main .go button`))
			b.enter(`p[role="status"]`)
			b.holds(`p[role="status"]`, "The packet is closed.")
			job, err := o.register.Job(t.Context(), back)
			must(t, err)
			readings, err := o.register.Readings(t.Context(), job.Print)
			must(t, err)
			settled, err := o.register.Settled(t.Context(), job.Print)
			must(t, err)
			if job.State != register.JobClosed || len(readings) != 3 || len(settled) != len(unsure) {
				t.Errorf("%s, %d readings, %d settled", job.State, len(readings), len(settled))
			}
		})
	}
}
