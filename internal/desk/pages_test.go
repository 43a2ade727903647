package desk_test

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

// reading are pages that read, of the demo.
var reading = []string{
	"/", "/jobs", "/jobs?out=1", "/jobs?number=K-248&state=open", "/job/K-24817", "/job/k-24817?print=1", "/job/K-24818", "/units", "/units?q=lye", "/unit/P-214", "/number/P-214", "/number/P-214?value=travel&procedure=reset-end-clearance",
	"/worn", "/worn?before=2027-01-01", "/records", "/week", "/week/week-49", "/printed", "/back", "/place", "/name", "/J/K-24817/3/16/7F3A91C2", "/J/K-99999/1/2/00000000", "/nothing",
}

// Each page says what it is for, in both languages, and says of itself that nothing else
// may be fetched, run or kept.
func TestPages(t *testing.T) {
	o := open(t, nil)
	for _, c := range []struct {
		path   string
		status int
		says   []string
	}{
		{"/", 200, []string{"What do you want to know?", "week-49", `<a href="/jobs"`}},
		{"/?lang=es", 200, []string{"¿Qué quiere saber?", `<html lang="es">`}},
		{"/jobs", 200, []string{"K-24817", "Rebuild", "void", "closed"}},
		{"/jobs?number=k-24817", 200, []string{"K-24817"}},
		{"/jobs?state=void", 200, []string{"K-24819"}},
		{"/jobs?state=elsewhere&from=yesterday", 200, []string{"was left out", "K-24817"}},
		{"/jobs?unit=P-999", 200, []string{"No job is like that"}},
		{"/find?q=k-24817", 200, []string{"Job K-24817"}},
		{"/find?q=p-214", 200, []string{"Lye transfer pump"}},
		{"/find?q=K-248", 200, []string{"K-24818"}},
		{"/job/k-24817", 200, []string{"Job K-24817", "7F3A91C2", "print 2 was printed", "page 1 came back", "31.92 mm", "OUTSIDE its limits", "within its limits", "pin is replaced", "drain was slow", "was let through", "Front office", `<img src="/picture/`}},
		{"/job/K-24817?print=1", 200, []string{"Pages of print 1"}},
		{"/job/K-24818", 200, []string{"the packet was closed", "Look at it (PDF)"}},
		{"/job/K-99999", 404, []string{"does not hold that"}},
		{"/units", 200, []string{"P-214", "Saponification"}},
		{"/units?q=lye", 200, []string{"P-215"}},
		{"/unit/P-214", 200, []string{"Lye transfer pump", "RB65-0381", "K-21190", "Its limit has come", "Wear rate", "<svg", "idler pin", "K-24817", "31.92 mm", "units/saponification.yaml:"}},
		{"/unit/P-999", 404, []string{"There is no unit P-999"}},
		{"/number/P-214", 200, []string{"All ", "travel"}},
		{"/number/P-214?value=travel&procedure=reset-end-clearance", 200, []string{"24.0\u00a0mm", "designs/ring-gear-b.yaml:", "s = π", `<a href="#W`, "geometry of the helix"}},
		{"/number/P-214?value=nothing", 200, []string{"There is no number nothing"}},
		{"/number/P-214?procedure=nothing", 422, []string{"cannot be worked out"}},
		{"/records", 200, []string{"changed there"}},
		{"/week", 200, []string{"week-50"}},
		{"/week/week-49", 200, []string{"K-24817", "The records let every job of the list be printed", "lists/week-49.yaml"}},
		{"/week/week-1", 404, []string{"There is no list week-1"}},
		{"/name", 200, []string{"Who are you?"}},
	} {
		status, body, header := o.get(browser(t), c.path)
		if status != c.status {
			t.Errorf("%s: status %d, want %d", c.path, status, c.status)
		}
		for _, s := range c.says {
			if !strings.Contains(body, s) {
				t.Errorf("%s does not say %q", c.path, s)
			}
		}
		for name, want := range map[string]string{"Content-Security-Policy": "default-src 'none'", "X-Content-Type-Options": "nosniff", "Cache-Control": "no-store", "Referrer-Policy": "no-referrer"} {
			if !strings.Contains(header.Get(name), want) {
				t.Errorf("%s: %s is %q", c.path, name, header.Get(name))
			}
		}
		if csp := header.Get("Content-Security-Policy"); strings.Contains(csp, "unsafe") || !strings.Contains(csp, "frame-ancestors 'none'") {
			t.Errorf("%s: %s", c.path, csp)
		}
		if c.status == 200 && !strings.Contains(body, "</html>") {
			t.Errorf("%s is cut off", c.path)
		}
	}
	if o.log.String() != "" && strings.Contains(o.log.String(), "missing-word") {
		t.Error(o.log)
	}
}

// Every page is in Spanish where that is asked for, and remembered.
func TestLanguages(t *testing.T) {
	o := open(t, nil)
	c := browser(t)
	o.get(c, "/?lang=es")
	for _, p := range reading {
		_, body, _ := o.get(c, p)
		if !strings.Contains(body, `<html lang="es">`) || strings.Contains(body, ">Jobs<") {
			t.Errorf("%s is not in Spanish", p)
		}
	}
	o.get(c, "/?lang=en")
	if _, body, _ := o.get(c, "/jobs"); !strings.Contains(body, `<html lang="en">`) {
		t.Error("the choice of English is not kept")
	}
	for _, odd := range []string{"xx", "../es", "es;x=y", strings.Repeat("e", 5000), "%00"} {
		if status, body, _ := o.get(browser(t), "/?lang="+url.QueryEscape(odd)); status != 200 || !strings.Contains(body, `<html lang="en">`) {
			t.Errorf("%.20q: %d", odd, status)
		}
	}
}

// The code of a page leads to whether it is current.
func TestCode(t *testing.T) {
	o := open(t, nil)
	prints, err := o.register.Prints(t.Context(), "K-24817")
	must(t, err)
	closed, err := o.register.Job(t.Context(), "K-24818")
	must(t, err)
	gone, err := o.register.Job(t.Context(), "K-24819")
	must(t, err)
	at := func(fingerprint string, pages int) string { return "/" + strconv.Itoa(pages) + "/" + fingerprint }
	n := prints[0].Pages
	for path, want := range map[string]string{
		"/J/K-24817/3" + at("7F3A91C2", n):                             "CURRENT",
		"/j/k-24817/3" + at("7f3a91c2", n):                             "CURRENT",
		"/j/K-24817/3" + at(prints[0].Fingerprint, n):                  "REPLACED",
		"/J/K-24818/1" + at(closed.Fingerprint, closed.Pages):          "CURRENT",
		"/J/K-24819/1" + at(gone.Fingerprint, gone.Pages):              "VOID",
		"/J/K-24817/3" + at("00000000", n):                             "NOT KNOWN",
		"/J/K-24817/3" + at("7F3A91C2", n+1):                           "NOT KNOWN",
		"/J/K-99999/1/2/7F3A91C2":                                      "NOT KNOWN",
		"/J/K-24817/" + strconv.Itoa(n+1) + at("7F3A91C2", n):          "",
		"/J/K-24817/3/x/7F3A91C2":                                      "",
		"/J/" + strings.Repeat("K", 3000) + "/1/2/7F3A91C2":            "",
		"/J/K-24817/3/16/7F3A91C2%27%20OR%201=1":                       "",
		"/elsewhere/K-24817/3" + at("7F3A91C2", n):                     "",
		"/J/%2e%2e%2f%2e%2e%2fsite.yaml/3/16/7F3A91C2":                 "",
		"/J/%3Cscript%3Ealert(1)%3C%2Fscript%3E/3" + at("7F3A91C2", n): "",
	} {
		status, body, _ := o.get(browser(t), path)
		m := regexp.MustCompile(`<h1>([A-Z ]+)</h1>`).FindStringSubmatch(body)
		switch {
		case want == "" && status != 404:
			t.Errorf("%.60s: status %d", path, status)
		case want != "" && (m == nil || m[1] != want):
			t.Errorf("%.60s: %v, want %s", path, m, want)
		}
	}
	_, body, _ := o.get(browser(t), "/j/K-24817/3"+at(prints[0].Fingerprint, n))
	for _, s := range []string{"Replaced by print 2", "7F3A91C2", "2026-11-29"} {
		if !strings.Contains(body, s) {
			t.Errorf("a page that was replaced does not say %q", s)
		}
	}
}

// A site's link may have any path.
func TestLinkOfTheSite(t *testing.T) {
	o := open(t, func(site string) {
		edit(t, filepath.Join(site, "site.yaml"), "HTTPS://JOBS.EXAMPLE.ORG/J", "HTTPS://PLANT.EXAMPLE.ORG/MAINT/PAPER")
	})
	for path, status := range map[string]int{"/MAINT/PAPER/K-24817/3/16/00000000": 200, "/maint/paper/k-24817/3/16/00000000": 200, "/J/K-24817/3/16/00000000": 200, "/MAINT/K-24817/3/16/00000000": 404} {
		if got, _, _ := o.get(browser(t), path); got != status {
			t.Errorf("%s: %d, want %d", path, got, status)
		}
	}
}

// A change of a record is seen.
func TestRecordsAreReadAnew(t *testing.T) {
	o := open(t, func(string) {})
	if _, body, _ := o.get(browser(t), "/unit/P-214"); !strings.Contains(body, "Lye transfer pump") {
		t.Fatal(body)
	}
	edit(t, filepath.Join(o.site, "units", "saponification.yaml"), "Lye transfer pump", "Lye pump by the tank")
	edit(t, filepath.Join(o.site, "units", "saponification.yaml"), "speed: 280 rpm", "speed: 280")
	for range 300 { // it looks every two seconds
		if _, body, _ := o.get(browser(t), "/unit/P-214"); strings.Contains(body, "Lye pump by the tank") {
			break
		}
		time.Sleep(50 * time.Millisecond)
	}
	var body string
	for range 200 {
		if _, body, _ = o.get(browser(t), "/records"); !strings.Contains(body, "still being looked through") && strings.Contains(body, "saponification") {
			break
		}
		time.Sleep(50 * time.Millisecond)
	}
	for _, s := range []string{"units/saponification.yaml:10:", "ERROR", "<mark>", "speed: "} {
		if !strings.Contains(body, s) {
			t.Errorf("the records do not say %q", s)
		}
	}
	if _, body, _ := o.get(browser(t), "/week/week-49"); !strings.Contains(body, "would not be printed") {
		t.Error("the list does not say that a job is refused")
	}
}

// The packet and the pictures are what the register knows, and nothing else.
func TestFiles(t *testing.T) {
	o := open(t, nil)
	status, body, header := o.get(browser(t), "/job/K-24818/packet")
	if status != 200 || !strings.HasPrefix(body, "%PDF-") || header.Get("Content-Type") != "application/pdf" || header.Get("Content-Disposition") != `inline; filename="K-24818.pdf"` {
		t.Errorf("%d %v", status, header)
	}
	_, page, _ := o.get(browser(t), "/job/K-24817")
	m := regexp.MustCompile(`<img src="(/picture/\d+)"`).FindStringSubmatch(page)
	if m == nil {
		t.Fatal("no picture")
	}
	if status, body, header := o.get(browser(t), m[1]); status != 200 || !strings.HasPrefix(body, "\xff\xd8") || header.Get("Content-Type") != "image/jpeg" {
		t.Errorf("%d %v", status, header)
	}
	for _, path := range []string{
		"/picture/0", "/picture/1", "/picture/-1", "/picture/99999999999999999999", "/picture/..%2f..%2fsite.yaml", "/picture/site.yaml", "/job/..%2fsite/packet", "/job/%2e%2e/packet", "/job/week.json/packet", "/job/K-24817%00/packet",
		"/look/..%2fdesk.go", "/look/x-..%2f..%2fdesk.go", "/look/desk.css%00", "/unit/..%2f..%2fetc%2fpasswd", "/week/..%2fsite", "/number/..%2f?value=../../x", "/../../etc/passwd", "/..%5c..%5csite.yaml",
	} {
		status, body, _ := o.get(browser(t), path)
		if status < 400 || strings.Contains(body, "energy_control") || strings.Contains(body, "root:") {
			t.Errorf("%s: %d", path, status)
		}
	}
	// A link in the output folder leads nowhere.
	out := t.TempDir()
	must(t, os.Symlink(filepath.Join(o.site, "site.yaml"), filepath.Join(out, "K-24818.pdf")))
	must(t, os.Symlink(filepath.Join(o.out, "K-24818.json"), filepath.Join(out, "K-24818.json")))
	linked := open(t, func(string) {}, "--out", out)
	if status, body, _ := linked.get(browser(t), "/job/K-24818/packet"); status != http.StatusNotFound {
		t.Errorf("%d %.100s", status, body)
	}
}

func edit(t testing.TB, file, from, to string) {
	t.Helper()
	raw, err := os.ReadFile(file)
	must(t, err)
	text := strings.Replace(string(raw), from, to, 1)
	if text == string(raw) {
		t.Fatalf("%s has no %q", file, from)
	}
	must(t, os.WriteFile(file, []byte(text), 0o644))
}

// What the register knows of a unit goes into its wear and its numbers, and nobody waits
// for it.
func TestReadingsThatCameBack(t *testing.T) {
	o := open(t, func(string) {})
	for _, p := range []string{"/unit/P-214", "/number/P-214"} {
		body := ""
		for range 300 {
			if _, body, _ = o.get(browser(t), p); !strings.Contains(body, "is not in this yet") {
				break
			}
			time.Sleep(50 * time.Millisecond)
		}
		if strings.Contains(body, "is not in this yet") {
			t.Errorf("%s never has what came back", p)
		}
		if p == "/unit/P-214" && !strings.Contains(body, "from readings on 5 days") {
			t.Error("the wear does not have the reading that came back")
		}
	}
}
