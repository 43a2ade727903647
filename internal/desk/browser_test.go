package desk_test

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// pictures is a folder that the pictures of all pages are written into.
var pictures = flag.String("pictures", "", "a folder to write a picture of each page into")

// tab is a page of a browser.
type tab struct {
	t   *testing.T
	ctx context.Context
}

// chromium starts a browser. Where there is none the test fails: testdata/install-tools
// installs it.
func chromium(t *testing.T) *tab {
	t.Helper()
	if _, err := exec.LookPath("chromium"); err != nil {
		t.Fatal("there is no chromium; testdata/install-tools installs it: ", err)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath("chromium"), chromedp.NoSandbox, chromedp.WSURLReadTimeout(90*time.Second))
	ctx, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	b := &tab{t, ctx}
	b.do(chromedp.Navigate("about:blank")) // starts it
	ctx, cancel = context.WithTimeout(ctx, 8*time.Minute)
	t.Cleanup(cancel)
	b.ctx = ctx
	return b
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	must(b.t, chromedp.Do(b.ctx, steps...))
}

// sized sets the browser's window, in CSS pixels.
func (b *tab) sized(w, h int64) {
	b.t.Helper()
	if w < 500 {
		b.do(chromedp.EmulateViewport(w, h, chromedp.EmulatePortrait, chromedp.EmulateMobile))
		return
	}
	b.do(chromedp.EmulateViewport(w, h))
}

// script switches script on pages on or off.
func (b *tab) script(on bool) {
	b.t.Helper()
	_, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !on})
	must(b.t, err)
}

// is gives what an expression is on the page.
func is[T any](b *tab, expression string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	must(b.t, err)
	return v
}

// A phone that scans a code reads at once, and in large words, whether the page is current;
// with script switched off, as on all pages.
func TestPhoneReadsTheAnswer(t *testing.T) {
	o, b := open(t, nil), chromium(t)
	prints, err := o.register.Prints(t.Context(), "K-24817")
	must(t, err)
	for path, want := range map[string]string{
		fmt.Sprintf("/J/K-24817/3/%d/7F3A91C2", prints[0].Pages):                  "CURRENT",
		fmt.Sprintf("/j/k-24817/3/%d/%s", prints[0].Pages, prints[0].Fingerprint): "REPLACED",
		"/J/K-99999/1/2/7F3A91C2": "NOT KNOWN",
	} {
		b.sized(360, 640)
		b.script(false)
		b.do(chromedp.Navigate(o.url + path))
		b.script(true)
		says := is[string](b, `document.querySelector("h1").textContent`)
		high := is[float64](b, `parseFloat(getComputedStyle(document.querySelector("h1")).fontSize)`)
		ends := is[float64](b, `document.querySelector(".answer").getBoundingClientRect().bottom`)
		width := is[float64](b, `document.documentElement.scrollWidth`)
		if says != want {
			t.Errorf("%s: %q, want %q", path, says, want)
		}
		if high < 32 || ends > 640 || width > 360 {
			t.Errorf("%s: letters of %v px, the answer ends at %v of 640, the page is %v wide", path, high, ends, width)
		}
	}
}

// No page has a fault of access that axe-core finds, none is wider than a phone, and each is
// reached and left by the keyboard alone.
func TestAccess(t *testing.T) {
	o, b := open(t, func(site string) {
		edit(t, filepath.Join(site, "units", "saponification.yaml"), "speed: 350 rpm", "speed: 350")
		edit(t, filepath.Join(site, "units", "washing.yaml"), "area: ", "area_: ")
	}), chromium(t)
	prints, err := o.register.Prints(t.Context(), "K-24817")
	must(t, err)
	paths := append([]string{fmt.Sprintf("/J/K-24817/3/%d/7F3A91C2", prints[0].Pages), fmt.Sprintf("/J/K-24817/3/%d/%s", prints[0].Pages, prints[0].Fingerprint), "/sign-in"}, reading...)
	waitChecked(t, o)
	b.accessible(o.url, paths...)
}

// accessible holds pages to what axe-core finds and to the width of a phone, in both
// languages, and keeps their pictures where they are asked for.
func (b *tab) accessible(site string, paths ...string) {
	t := b.t
	t.Helper()
	axe, err := os.ReadFile(filepath.Join("..", "..", "testdata", "axe", "axe.min.js"))
	must(t, err)
	for _, lang := range []string{"en", "es"} {
		for _, p := range paths {
			for _, w := range []int64{1280, 360} {
				join := "?"
				if strings.Contains(p, "?") {
					join = "&"
				}
				b.sized(w, 800)
				b.do(chromedp.Navigate(site + p + join + "lang=" + lang))
				is[int](b, string(axe)+";0")
				found := is[[]string](b, `axe.run({resultTypes: ["violations"]}).then(r => r.violations.map(v => v.id + ": " + v.help + " " + v.nodes.slice(0, 3).map(n => n.html).join(" | ")))`)
				width := is[float64](b, `document.documentElement.scrollWidth`)
				for _, f := range found {
					t.Errorf("%s in %s at %d px: %s", p, lang, w, f)
				}
				if width > float64(w) {
					t.Errorf("%s in %s is %v px wide at %d", p, lang, width, w)
				}
				b.shows("page"+regexp.MustCompile(`[^A-Za-z0-9]+`).ReplaceAllString(p, "-")+"."+lang, w)
			}
		}
	}
}

// waitChecked waits until the jobs of the lists were looked through.
func waitChecked(t testing.TB, o *opened) {
	t.Helper()
	for range 300 {
		if _, body, _ := o.get(browser(t), "/records"); !strings.Contains(body, "still being looked through") {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	t.Fatal("the records are never looked through")
}

// The keyboard alone: the first key leads past the pages' names, what has the focus is
// seen, and each link and field of a page is reached in the order of the page.
func TestKeyboard(t *testing.T) {
	o, b := open(t, nil), chromium(t)
	for _, p := range []string{"/", "/jobs", "/job/K-24817", "/unit/P-214", "/number/P-214?value=travel", "/name"} {
		b.sized(1280, 800)
		b.do(chromedp.Navigate(o.url + p))
		const name = `(e => e.tagName + " " + (e.textContent || e.name || "").trim() + " " + (e.getAttribute("href") || ""))`
		is[int](b, `document.querySelectorAll("details").forEach(d => d.open = true), 0`)
		all := is[[]string](b, `[...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, summary")].filter(e => e.getClientRects().length).map(`+name+`)`)
		var reached []string
		for range 3 * len(all) { // each part of a date has a stop
			b.do(chromedp.KeyEvent("\t"))
			at := is[string](b, name+`(document.activeElement)`)
			if strings.HasPrefix(at, "BODY") {
				break
			}
			if outline := is[string](b, `getComputedStyle(document.activeElement).outlineStyle + " " + getComputedStyle(document.activeElement).outlineWidth`); !strings.HasPrefix(outline, "solid 3") {
				t.Errorf("%s: the focus on %q is not seen: %s", p, at, outline)
			}
			reached = append(reached, at)
		}
		if len(reached) == 0 || !strings.Contains(reached[0], "#main") {
			t.Errorf("%s: the first stop is %v", p, reached)
		}
		for _, a := range all {
			if !slices.Contains(reached, a) {
				t.Errorf("%s: %q is not reached", p, a)
			}
		}
		if !slices.Equal(slices.Compact(reached), slices.Compact(all)) {
			t.Errorf("%s: the order of the stops is not that of the page", p)
		}
	}
	// A job is found without a pointer.
	b.do(chromedp.Navigate(o.url+"/"), chromedp.Focus("#q"))
	_, err := chromedp.Call(b.ctx, input.InsertText, input.InsertTextParams{Text: "k-24817"})
	must(t, err)
	b.do(chromedp.KeyEvent("\r"), chromedp.WaitVisible("#main table"))
	if says := is[string](b, `document.querySelector("h1").textContent`); says != "Job K-24817" {
		t.Errorf("found %q", says)
	}
}

// text gives what a part of the page says, script or no script.
func (b *tab) text(of string) string {
	b.t.Helper()
	text, err := chromedp.Run(b.ctx, chromedp.TextContent(of))
	must(b.t, err)
	return text
}

// holds looks for texts in a part of the page.
func (b *tab) holds(part string, texts ...string) {
	b.t.Helper()
	is := b.text(part)
	for _, s := range texts {
		if !strings.Contains(is, s) {
			b.t.Errorf("%s does not say %q but %q", part, s, is)
		}
	}
}

// shows keeps a picture of the page where pictures are asked for.
func (b *tab) shows(name string, width int64) {
	b.t.Helper()
	if *pictures == "" {
		return
	}
	png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	must(b.t, err)
	must(b.t, os.MkdirAll(*pictures, 0o755))
	must(b.t, os.WriteFile(filepath.Join(*pictures, fmt.Sprintf("%s.%d.png", name, width)), png, 0o644))
}
