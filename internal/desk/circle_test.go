package desk_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"jobsheaf/internal/register"
	"jobsheaf/testdata/scribble"
)

// looks has axe look at the page that a browser shows, on a desktop and on a phone, and
// keeps a picture of it where they are asked for.
func (b *tab) looks(axe, name string) {
	b.t.Helper()
	for _, w := range []int64{1280, 360} {
		b.sized(w, 800)
		is[int](b, axe+";0")
		for _, f := range is[[]string](b, `axe.run({resultTypes: ["violations"]}).then(r => r.violations.map(v => v.id + ": " + v.help + " " + v.nodes.slice(0, 3).map(n => n.html).join(" | ")))`) {
			b.t.Errorf("%s at %d px: %s", name, w, f)
		}
		if width := is[float64](b, `document.documentElement.scrollWidth`); width > float64(w) {
			b.t.Errorf("%s is %v px wide at %d", name, width, w)
		}
		if *pictures == "" {
			continue
		}
		raw, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
		must(b.t, err)
		must(b.t, os.MkdirAll(*pictures, 0o755))
		must(b.t, os.WriteFile(filepath.Join(*pictures, fmt.Sprintf("%s.%d.png", name, w)), raw, 0o644))
	}
	b.sized(1280, 800)
}

// sent presses a form's button and waits for the page that follows.
func (b *tab) sent(button string) {
	b.t.Helper()
	is[int](b, `window.before = 1`)
	b.do(chromedp.Click(button))
	for range 600 {
		time.Sleep(50 * time.Millisecond)
		if v, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](`window.before !== 1 && document.readyState === "complete"`)); err == nil && v {
			return
		}
	}
	b.t.Fatal("no page follows ", button)
}

// goes follows a link.
func (b *tab) goes(link string) {
	b.t.Helper()
	b.followed(link)
	b.do(chromedp.Click(link))
}

// followed waits until a work is over, as the page shows it by itself.
func (b *tab) followed(want string) {
	b.t.Helper()
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(100 * time.Millisecond) {
		if v, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](fmt.Sprintf(`!!document.querySelector(%q)`, want))); err == nil && v {
			return
		}
	}
	b.t.Fatalf("there is never any %s on the page: %s", want, is[string](b, `document.querySelector("main").innerText`))
}

// A browser goes the first half of the circle: a list in, print it, drop the scans of its
// pages in, place the one whose codes are covered, say which paper counts; in both
// languages, once with script switched off. Nothing on these pages needs any.
func TestHalfOfTheCircle(t *testing.T) {
	axe, err := os.ReadFile(filepath.Join("..", "..", "testdata", "axe", "axe.min.js"))
	must(t, err)
	b := chromium(t)
	for _, c := range []struct {
		lang   string
		script bool
	}{{"en", true}, {"es", false}} {
		out, dir := t.TempDir(), t.TempDir()
		o := open(t, func(string) {}, "--out", out)
		o.out = out
		file := func(name string, raw []byte) string {
			path := filepath.Join(dir, name)
			must(t, os.WriteFile(path, raw, 0o644))
			return path
		}
		look := func(name string) {
			b.script(true) // what looks is one
			b.looks(string(axe), name+"."+c.lang)
			b.script(c.script)
		}
		b.sized(1280, 800)
		b.script(c.script)
		b.do(chromedp.Navigate(o.url+"/name?to=/week&lang="+c.lang), chromedp.SendKeys("#name", "Planner 1"))
		b.sent("main button")
		look("weeks")
		b.do(chromedp.SetUploadFiles("#list", []string{file("next week.csv", []byte(strings.ReplaceAll(aList, ";A\n", ";day\n")))}))
		b.sent("main button")
		look("list")
		b.sent("main form button")
		look("printing")
		b.followed(`a[href="/printed"]`)
		look("printed-run")
		b.do(chromedp.Navigate(o.url + "/printed"))
		look("printed")

		p := o.packet("K-25001")
		n := len(p.Manifest.Pages)
		var shots []scribble.Shot
		for page := 1; page <= n; page++ {
			s := shot(t, p, page, 5)
			if page == 2 {
				s = covered(p, s)
			}
			shots = append(shots, s)
		}
		shots = append(shots, shot(t, p, 3, 6), shot(t, o.packet("K-25004"), 1, 4))
		b.do(chromedp.Navigate(o.url + "/back"))
		look("back")
		b.do(chromedp.SetUploadFiles("#scans", []string{file("monday.pdf", pdfOf(t, shots...)), file("notes.txt", []byte("a note"))}))
		b.sent("main button")
		look("reading")
		b.followed(`a[href^="/place/"]`)
		ana := o.named("Planner 1")
		at := regexp.MustCompile(`/back/[0-9a-f]+`).FindString(is[string](b, `location.pathname`))
		o.over(ana, at)
		b.do(chromedp.Navigate(o.url + at))
		look("read")
		b.do(chromedp.Navigate(o.url + "/place"))
		look("place")
		b.goes(`ul.pages a`)
		b.followed("#job")
		b.goes(`section ul.plain a`)
		b.followed(`#job[value="K-25001"]`)
		look("placing")
		b.sent("section button")
		if got := is[string](b, `document.querySelector("[role=status]").textContent`); !strings.Contains(got, "K-25001") {
			t.Errorf("placing ends with %q", got)
		}
		look("placed")
		b.goes(`a[href^="/twice/"]`)
		b.followed(`.two`)
		look("twice")
		b.sent(".two li:last-child button")
		look("chosen")
		prints, err := o.register.Prints(t.Context(), "K-25001")
		must(t, err)
		papers, err := o.register.Papers(t.Context(), prints[0].Event)
		must(t, err)
		job, err := o.register.Job(t.Context(), "K-25001")
		must(t, err)
		if len(papers) != n+1 || job.Back != n || papers[2].Event < papers[3].Event || papers[1].State != register.Placed {
			t.Errorf("%s: %d papers of %d pages, %d back", c.lang, len(papers), n, job.Back)
		}
	}
}
