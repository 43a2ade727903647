package desk_test

import (
	"bytes"
	"fmt"
	"mime/multipart"
	"net/http"
	"net/textproto"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
	"jobsheaf/testdata/scribble"
)

// scan is a file to be sent.
type scan struct {
	name string
	raw  []byte
}

// multi makes a form with files, its token first as a page's form has it.
func multi(t testing.TB, token, field string, fields url.Values, files ...scan) (kind string, body []byte) {
	t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	must(t, w.WriteField("token", token))
	for name, values := range fields {
		must(t, w.WriteField(name, values[0]))
	}
	for _, f := range files {
		h := textproto.MIMEHeader{}
		h.Set("Content-Disposition", fmt.Sprintf(`form-data; name="%s"; filename="%s"`, field, strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(f.name)))
		h.Set("Content-Type", "application/octet-stream")
		p, err := w.CreatePart(h)
		must(t, err)
		_, err = p.Write(f.raw)
		must(t, err)
	}
	must(t, w.Close())
	return w.FormDataContentType(), b.Bytes()
}

// token gives the token of a page's forms.
func (o *opened) token(c *http.Client, page string) string {
	o.t.Helper()
	_, body, _ := o.get(c, page)
	_, rest, ok := strings.Cut(body, `name="token" value="`)
	if !ok {
		o.t.Fatalf("%s has no form:\n%s", page, body)
	}
	return rest[:strings.IndexByte(rest, '"')]
}

// sends sends files by a page's form; it gives where that leads.
func (o *opened) sends(c *http.Client, page, path, field string, fields url.Values, files ...scan) (status int, at, body string) {
	o.t.Helper()
	kind, raw := multi(o.t, o.token(c, page), field, fields, files...)
	r, err := http.NewRequest(http.MethodPost, o.url+path, bytes.NewReader(raw))
	must(o.t, err)
	r.Header.Set("Content-Type", kind)
	r.Header.Set("Origin", o.url)
	res, err := c.Do(r)
	must(o.t, err)
	at = res.Request.URL.Path
	status, body, _ = read(o.t, res)
	return status, at, body
}

// named is a browser whose user gave a name.
func (o *opened) named(name string) *http.Client {
	o.t.Helper()
	c := browser(o.t)
	if status, _, _ := o.post(c, "/name", "/name", url.Values{"name": {name}, "to": {"/jobs"}}); status != 200 {
		o.t.Fatalf("the name %s was not taken: %d", name, status)
	}
	return c
}

// over waits until a work is over, and gives its page.
func (o *opened) over(c *http.Client, at string) string {
	o.t.Helper()
	for range 1200 {
		status, body, header := o.get(c, at)
		if status != 200 {
			o.t.Fatalf("%s: %d\n%s", at, status, body)
		}
		if header.Get("Refresh") == "" {
			return body
		}
		time.Sleep(50 * time.Millisecond)
	}
	o.t.Fatalf("%s is never over", at)
	return ""
}

// text is what a page says, without its marks.
func text(page string) string {
	_, page, _ = strings.Cut(page, "<main")
	page, _, _ = strings.Cut(page, "</main>")
	return strings.Join(strings.Fields(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(page, " ")), " ")
}

func (o *opened) packet(job string) *scribble.Packet {
	o.t.Helper()
	raw, err := os.ReadFile(filepath.Join(o.out, job+".json"))
	must(o.t, err)
	m, err := manifest.Decode(raw)
	must(o.t, err)
	return scribble.Open(filepath.Join(o.out, job+".pdf"), m)
}

// shot is a page of a packet as it comes back.
func shot(t testing.TB, p *scribble.Packet, page int, seed uint64) scribble.Shot {
	t.Helper()
	c, _ := scribble.Named("clean 150")
	s, err := p.Shoot(t.Context(), page, c, seed, scribble.Ordinary)
	must(t, err)
	return s
}

// covered covers the codes of a shot.
func covered(p *scribble.Packet, s scribble.Shot) scribble.Shot {
	const perMM = 150 / 25.4
	for _, c := range p.Manifest.Pages[s.Page-1].Codes {
		for y := int((c.Y - 1) * perMM); y < int((c.Y+c.Size+1)*perMM); y++ {
			for x := int((c.X - 1) * perMM); x < int((c.X+c.Size+1)*perMM); x++ {
				s.Image.Pix[s.Image.PixOffset(x, y)] = 255
			}
		}
	}
	return s
}

func pdfOf(t testing.TB, shots ...scribble.Shot) []byte {
	t.Helper()
	var b bytes.Buffer
	must(t, scribble.WritePDF(&b, shots, scribble.DCT))
	return b.Bytes()
}

// Scans are sent, read in the background and told, odd pages first; a paper whose codes
// are covered is placed by hand; of a page that came twice somebody says which counts.
func TestComeBack(t *testing.T) {
	o := open(t, func(string) {})
	ana, ben := o.named("Planner 1"), o.named("Planner 2")
	p := o.packet("K-24820")
	n := len(p.Manifest.Pages)
	var shots []scribble.Shot
	for page := 1; page < n; page++ { // the last is missing
		s := shot(t, p, page, 7)
		if page == 3 {
			s = covered(p, s)
		}
		shots = append(shots, s)
	}
	again := pdfOf(t, shot(t, p, 2, 8))
	status, at, _ := o.sends(ana, "/back", "/back", "scans", nil, scan{`..\..\<script>alert(1)</script>.pdf`, pdfOf(t, shots...)}, scan{"notes.txt", []byte("a note")})
	if status != 200 || !strings.HasPrefix(at, "/back/") {
		t.Fatalf("%d at %s", status, at)
	}
	body := o.over(ben, at) // somebody else looks on
	for _, want := range []string{"Scans that Planner 1 brought", fmt.Sprintf("Pages: %d. Read: %d.", n-1, n-2), "To be looked at: 1. Not read: 1.", "No code of a page was read on it.", fmt.Sprintf("%d of %d back", n-2, n), fmt.Sprintf("3, %d", n), "notes.txt : could not be read."} {
		if !strings.Contains(text(body), want) {
			t.Errorf("the page does not say %q:\n%s", want, text(body))
		}
	}
	if strings.Contains(body, "<script") || !strings.Contains(body, "script&gt;.pdf") {
		t.Error("the file's name is not shown as a text")
	}
	// The same scans once more change nothing.
	_, at, _ = o.sends(ana, "/back", "/back", "scans", nil, scan{"again.pdf", pdfOf(t, shots...)})
	if body := text(o.over(ana, at)); !strings.Contains(body, fmt.Sprintf("Read: 0. Read before: %d.", n-2)) {
		t.Errorf("twice: %s", body)
	}

	// Placing.
	_, body, _ = o.get(ana, "/place")
	m := regexp.MustCompile(`href="(/place/\d+)"`).FindStringSubmatch(body)
	if m == nil {
		t.Fatalf("nothing is to be placed:\n%s", text(body))
	}
	_, body, _ = o.get(ana, m[1])
	if !strings.Contains(body, `?job=K-24820&amp;page=3`) || !strings.Contains(body, `<img src="/picture/`) {
		t.Errorf("the missing page is not offered, or the picture not shown:\n%s", text(body))
	}
	for want, fields := range map[string]url.Values{
		"No job K-99999":               {"job": {"K-99999"}, "page": {"3"}},
		"A page is":                    {"job": {"K-24820"}, "page": {"x"}},
		"has 1 pages":                  nil,
		"K-24820 was printed 1 times":  {"job": {"K-24820"}, "page": {"3"}, "print": {"2"}},
		fmt.Sprintf("has %d pages", n): {"job": {"K-24820"}, "page": {"999"}},
	} {
		if fields == nil {
			continue
		}
		if status, body, _ := o.post(ana, m[1], m[1], fields); status != 422 || !strings.Contains(text(body), want) || !strings.Contains(body, `value="`+fields.Get("job")+`"`) {
			t.Errorf("%v: %d, %s", fields, status, text(body))
		}
	}
	token := o.token(ben, m[1]) // the other has the form open too
	if status, body, _ := o.post(ana, m[1], m[1], url.Values{"job": {"k-24820"}, "page": {"3"}}); status != 200 || !strings.Contains(text(body), "It is page 3 of job K-24820.") {
		t.Errorf("placing: %d, %s", status, text(body))
	}
	for path, fields := range map[string]url.Values{m[1]: {"job": {"K-24821"}, "page": {"1"}}, m[1] + "/aside": {"word": {"a delivery note"}}} {
		fields.Set("token", token)
		res, err := ben.PostForm(o.url+path, fields)
		must(t, err)
		if status, body, _ := read(t, res); status != 409 || !strings.Contains(text(body), "meanwhile") || !strings.Contains(text(body), "So said Planner 1") || !strings.Contains(body, fields.Get("job")+fields.Get("word")) {
			t.Errorf("meanwhile: %d, %s", status, text(body))
		}
	}
	prints, err := o.register.Prints(t.Context(), "K-24820")
	must(t, err)
	papers, err := o.register.Papers(t.Context(), prints[0].Event)
	must(t, err)
	if len(papers) != n-1 || papers[2].Page != 3 || papers[2].State != register.Placed || papers[2].Who != "Planner 1" || len(papers[2].Boxes) != len(p.Manifest.Pages[2].Boxes) {
		t.Errorf("%d papers, the third %+v", len(papers), papers[2])
	}

	// Twice.
	_, at, _ = o.sends(ana, "/back", "/back", "scans", nil, scan{"copy.pdf", again})
	body = o.over(ana, at)
	m = regexp.MustCompile(`href="(/twice/(\d+))"`).FindStringSubmatch(body)
	if m == nil || !strings.Contains(body, "it came before") {
		t.Fatalf("the second paper is not told:\n%s", text(body))
	}
	_, body, _ = o.get(ana, "/place")
	if !strings.Contains(body, m[1]) {
		t.Error("/place does not ask which counts")
	}
	_, body, _ = o.get(ana, m[1])
	if strings.Count(body, "<img ") != 2 || !strings.Contains(body, "Boxes that differ") || strings.Count(body, "This one counts: paper") != 2 {
		t.Errorf("both papers are not shown:\n%s", text(body))
	}
	counted := regexp.MustCompile(`name="counted" value="(\d+)"`).FindStringSubmatch(body)[1]
	token = o.token(ben, m[1])
	if status, body, _ := o.post(ana, m[1], m[1], url.Values{"counted": {counted}}); status != 200 || !strings.Contains(text(body), "Nothing is left to say") {
		t.Errorf("choosing: %d, %s", status, text(body))
	}
	res, err := ben.PostForm(o.url+"/twice/"+counted, url.Values{"counted": {counted}, "token": {token}})
	must(t, err)
	if status, body, _ := read(t, res); status != 409 || !strings.Contains(text(body), "Planner 1 said at") {
		t.Errorf("choosing meanwhile: %d, %s", status, text(body))
	}
	if _, body, _ := o.get(ana, "/place"); strings.Contains(body, m[1]) {
		t.Error("/place asks again which counts")
	}
	// The first again: then review has nothing to ask either.
	if status, body, _ := o.post(ben, m[1], "/twice/"+counted, url.Values{"counted": {m[2]}}); status != 200 || !strings.Contains(text(body), "Nothing is left to say") {
		t.Errorf("choosing the first: %d, %s", status, text(body))
	}
	out, _, _ := command(t, "", "review", "K-24820", "--site", o.site)
	if !strings.Contains(out, "let through by Planner 2") {
		t.Errorf("review still asks:\n%s", out)
	}
	if faults, err := o.register.Verify(t.Context(), register.Head{}); err != nil || len(faults) > 0 {
		t.Errorf("the register is not sound: %v %v", faults, err)
	}
}
