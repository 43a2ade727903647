package desk_test

import (
	"archive/zip"
	"bytes"
	"context"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/cli"
	"jobsheaf/internal/register"
)

// aList is a list of another program, of which two rows are wrong.
const aList = `Work order;Equipment;Procedure;Date;Crew
K-25001;P-214;reset-end-clearance;2026-12-21;day
K-25002;P-999;reset-end-clearance;2026-12-21;day
K-25003;P-215;<script>alert(1)</script>;2026-12-22;day
K-25004;P-215;reset-end-clearance;2026-12-22;day
`

// A list on record is printed in the background, in the name of whoever asks; its files are
// had by the names in the ledger and by no others.
func TestPrintAWeek(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out") // it is made
	o := open(t, func(string) {}, "--out", out)
	o.out = out
	ana := o.named("Planner 1")
	if _, body, _ := o.get(ana, "/printed"); !strings.Contains(body, "Nothing lies in the output folder") {
		t.Error("something is printed before anything is")
	}
	before, err := o.register.Head(t.Context())
	must(t, err)
	_, body, _ := o.get(ana, "/week/week-50")
	if !strings.Contains(body, `action="/week/week-50/print"`) || !strings.Contains(body, "Print the week") {
		t.Fatalf("the week cannot be printed:\n%s", text(body))
	}
	at := o.printed(ana, "/week/week-50", "/week/week-50/print", url.Values{"duplex": {"1"}})
	body = o.over(o.named("Planner 2"), at)
	if !strings.Contains(text(body), "packets are printed") || !strings.Contains(text(body), "They are entered in the register under Planner 1") {
		t.Errorf("it ended with:\n%s", text(body))
	}
	files := regexp.MustCompile(`href="(/printed/print/[^"]+\.pdf)"`).FindAllStringSubmatch(body, -1)
	if len(files) == 0 {
		t.Fatalf("no print file is offered:\n%s", text(body))
	}
	status, raw, header := o.get(ana, files[0][1])
	if status != 200 || !strings.HasPrefix(raw, "%PDF") || header.Get("Content-Type") != "application/pdf" || !strings.HasPrefix(header.Get("Content-Disposition"), "inline; filename=") || header.Get("X-Content-Type-Options") != "nosniff" {
		t.Errorf("%s: %d %v", files[0][1], status, header)
	}
	_, body, _ = o.get(ana, "/printed")
	for _, want := range []string{"/printed/front/", ".csv", "week-50"} {
		if !strings.Contains(body, want) {
			t.Errorf("what was printed lacks %s", want)
		}
	}
	csv := regexp.MustCompile(`href="(/printed/front/[^"]+\.csv)"`).FindStringSubmatch(body)[1]
	if status, _, header := o.get(ana, csv); status != 200 || !strings.HasPrefix(header.Get("Content-Disposition"), "attachment") || !strings.HasPrefix(header.Get("Content-Type"), "text/csv") {
		t.Errorf("%s: %d %v", csv, status, header)
	}
	must(t, os.WriteFile(filepath.Join(out, "secret.pdf"), []byte("%PDF"), 0o644))
	for _, p := range []string{"secret.pdf", "week.json", "../site/site.yaml", "..%2fsite%2fsite.yaml", "print/../secret.pdf", "%2fetc%2fpasswd", "K-99999.pdf", "print"} {
		if status, _, _ := o.get(ana, "/printed/"+p); status != 404 {
			t.Errorf("/printed/%s: %d", p, status)
		}
	}
	must(t, o.register.Jobs(t.Context(), register.Query{Number: "K-2482", From: "2026-12-07"}, func(j register.Job) error {
		if j.Who != "Planner 1" {
			t.Errorf("job %s was printed by %s", j.ID, j.Who)
		}
		return nil
	}))
	after, err := o.register.Head(t.Context())
	must(t, err)
	if after.Events == before.Events {
		t.Error("nothing is entered")
	}
	// Once more changes nothing.
	at = o.printed(ana, "/week/week-50", "/week/week-50/print", url.Values{"duplex": {"1"}})
	if body := text(o.over(ana, at)); !strings.Contains(body, "were there already") {
		t.Errorf("again: %s", body)
	}
	if again, err := o.register.Head(t.Context()); err != nil || again != after {
		t.Errorf("the register went from %v to %v, %v", after, again, err)
	}
	if status, _, _ := o.post(ana, "/week/week-50", "/week/nothing/print", url.Values{}); status != 404 {
		t.Errorf("a list that is not there: %d", status)
	}
}

// printed has a week printed and gives the page that shows how far it is.
func (o *opened) printed(c *http.Client, page, path string, fields url.Values) string {
	o.t.Helper()
	fields.Set("token", o.token(c, page))
	res, err := c.PostForm(o.url+path, fields)
	must(o.t, err)
	at := res.Request.URL.Path
	if status, body, _ := read(o.t, res); status != 200 || !strings.HasPrefix(at, "/print/") {
		o.t.Fatalf("printing leads to %s, %d: %s", at, status, text(body))
	}
	return at
}

// A list that is sent is looked through first: what is wrong by row, then a button.
func TestSentList(t *testing.T) {
	out := t.TempDir()
	o := open(t, func(string) {}, "--out", out)
	ana := o.named("Planner 1")
	status, at, body := o.sends(ana, "/week", "/list", "list", nil, scan{`C:\lists\next <b>week.csv`, []byte(aList)})
	if status != 200 || !strings.HasPrefix(at, "/list/") {
		t.Fatalf("%d at %s: %s", status, at, text(body))
	}
	says := text(body)
	if strings.Index(says, "Row 3: K-25002") < 0 || strings.Index(says, "Row 3") > strings.Index(says, "Print the others") || strings.Contains(body, "<script>alert") || strings.Contains(body, "<b>week") {
		t.Errorf("the rows are not told first, as texts:\n%s", says)
	}
	if !strings.Contains(says, "2 of these jobs would not be printed") {
		t.Errorf("it says: %s", says)
	}
	if files, _ := os.ReadDir(out); len(files) > 0 {
		t.Errorf("something is printed before somebody says so: %v", files)
	}
	run := o.printed(ana, at, at+"/print", url.Values{})
	if says := short(o.over(ana, run)); !strings.Contains(says, "2 of 4 packets are printed") || !strings.Contains(says, "Not printed: 2 K-25002, K-25003") {
		t.Errorf("it ended with: %s", says)
	}
	if j, err := o.register.Job(t.Context(), "K-25001"); err != nil || j.Who != "Planner 1" {
		t.Errorf("%+v, %v", j, err)
	}
	var bomb bytes.Buffer // a workbook that unpacks to 400 MB
	z := zip.NewWriter(&bomb)
	for _, name := range []string{"[Content_Types].xml", "xl/workbook.xml", "xl/worksheets/sheet1.xml"} {
		w, err := z.Create(name)
		must(t, err)
		for range 400 {
			_, err = w.Write(make([]byte, 1<<18))
			must(t, err)
		}
	}
	must(t, z.Close())
	for what, c := range map[string]struct {
		file   scan
		status int
		says   string
	}{
		"empty":        {scan{"x.csv", nil}, 422, "Choose one file"},
		"no list":      {scan{"x.csv", []byte("\x00\x01\x02")}, 422, "Nothing of this list can be read"},
		"a bomb":       {scan{"x.xlsx", bomb.Bytes()}, 422, "Nothing of this list can be read"},
		"yaml, a bomb": {scan{"x.yaml", []byte("a: &a [x,x,x,x,x,x,x,x,x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a,*a]\nc: &c [*b,*b,*b,*b,*b,*b,*b,*b]\nd: [*c,*c,*c,*c,*c,*c,*c,*c]\n")}, 422, "Nothing of this list can be read"},
		"a path":       {scan{"../../etc/passwd", []byte("root:x:0:0")}, 422, "Nothing of this list can be read"},
		"too large":    {scan{"x.csv", bytes.Repeat([]byte("x;"), 3<<20)}, 413, "4 MB"},
	} {
		status, _, body := o.sends(ana, "/week", "/list", "list", nil, c.file)
		if status != c.status || !strings.Contains(text(body), c.says) {
			t.Errorf("%s: %d, want %d: %.600s", what, status, c.status, text(body))
		}
	}
	if status, _, _ := o.get(ana, "/list/0123456789abcdef"); status != 404 {
		t.Errorf("a list that nobody sent: %d", status)
	}
}

// One week is printed at a time into a folder, whoever prints; it can be stopped, and goes
// on when it is printed again.
func TestOnePrintAtATime(t *testing.T) {
	out := t.TempDir()
	o := open(t, func(string) {}, "--out", out)
	ana, ben := o.named("Planner 1"), o.named("Planner 2")
	var rows strings.Builder
	rows.WriteString("Work order;Equipment;Procedure;Date;Crew\n")
	for i := range 400 {
		rows.WriteString("K-3" + string(rune('0'+i/100)) + string(rune('0'+i/10%10)) + string(rune('0'+i%10)) + "0;P-214;reset-end-clearance;2026-12-2" + string(rune('0'+i%9)) + ";day\n")
	}
	_, list, _ := o.sends(ana, "/week", "/list", "list", nil, scan{"large.csv", []byte(rows.String())})
	token := o.token(ben, "/week/week-50")
	at := o.printed(ana, list, list+"/print", url.Values{})
	res, err := ben.PostForm(o.url+"/week/week-50/print", url.Values{"token": {token}})
	must(t, err)
	if status, body, _ := read(t, res); status != 409 || !strings.Contains(text(body), "Planner 1 prints large.csv since") {
		t.Errorf("a second week: %d, %s", status, text(body))
	}
	if _, body, _ := o.get(ben, "/week/week-50"); !strings.Contains(body, `href="`+at+`"`) || strings.Contains(body, `action="/week/week-50/print"`) {
		t.Error("its page does not say who prints")
	}
	o.until(ana, at, regexp.MustCompile(`[1-9]\d* of 400 packets`))
	if status, body, _ := o.post(ben, at, at+"/stop", url.Values{}); status != 200 {
		t.Errorf("stopping: %d %s", status, text(body))
	}
	if says := short(o.over(ana, at)); !strings.Contains(says, "Stopped by Planner 2.") || !strings.Contains(says, "goes on from there") {
		t.Errorf("stopped: %s", says)
	}
	left, err := filepath.Glob(filepath.Join(out, "K-*.pdf"))
	must(t, err)
	if len(left) == 0 || len(left) == 400 {
		t.Errorf("%d packets lie there", len(left))
	}
	if _, err := o.register.Job(t.Context(), "K-30000"); err == nil {
		t.Error("what was stopped is entered")
	}
	// Another program prints there.
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- other(ctx, t, o.site, out, rows.String()) }()
	for range 600 {
		if locks, _ := filepath.Glob(filepath.Join(out, ".jobsheaf-*.lock")); len(locks) > 0 {
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
	at = o.printed(ana, "/week/week-50", "/week/week-50/print", url.Values{})
	if says := short(o.over(ana, at)); !strings.Contains(says, "Another program prints into the output folder") {
		t.Errorf("beside another program: %s", says)
	}
	stop()
	<-done
	at = o.printed(ana, "/week/week-50", "/week/week-50/print", url.Values{})
	if says := short(o.over(ana, at)); !strings.Contains(says, "packets are printed") {
		t.Errorf("after it: %s", says)
	}
}

// until waits for what a page says.
func (o *opened) until(c *http.Client, at string, want *regexp.Regexp) {
	o.t.Helper()
	for range 1200 {
		if _, body, header := o.get(c, at); want.MatchString(text(body)) {
			return
		} else if header.Get("Refresh") == "" {
			o.t.Fatalf("it is over: %s", text(body))
		}
		time.Sleep(30 * time.Millisecond)
	}
	o.t.Fatalf("%s never says %s", at, want)
}

// other prints a list by the command line.
func other(ctx context.Context, t *testing.T, site, out, rows string) error {
	file := filepath.Join(t.TempDir(), "rows.csv")
	if err := os.WriteFile(file, []byte(rows), 0o644); err != nil {
		return err
	}
	c := cli.Root(cli.Streams{In: strings.NewReader(""), Out: io.Discard, Err: io.Discard})
	c.SetArgs([]string{"week", file, "--site", site, "--out", out, "--quiet", "--no-register"})
	return c.ExecuteContext(ctx)
}

// short is the beginning of what a page says.
func short(page string) string {
	says := []rune(text(page))
	return string(says[:min(len(says), 1500)])
}
