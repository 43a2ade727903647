package desk_test

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"io/fs"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"jobsheaf/internal/cli"
	"jobsheaf/internal/register"
	"jobsheaf/samples"

	"crypto/sha256"
	"encoding/hex"
)

// opened is a desk that is open, as the command opens it.
type opened struct {
	t              testing.TB
	url, site, out string
	register       *register.Register
	log            *lockedBuffer
}

// lockedBuffer is written by the desk while the test reads it.
type lockedBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lockedBuffer) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lockedBuffer) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// command runs the program to its end.
func command(t testing.TB, in string, args ...string) (out, errs string, err error) {
	t.Helper()
	var o, e bytes.Buffer
	c := cli.Root(cli.Streams{In: strings.NewReader(in), Out: &o, Err: &e})
	c.SetArgs(args)
	err = c.ExecuteContext(t.Context())
	return o.String(), e.String(), err
}

// demo is a folder with the demo site and its week, printed and partly come back. It is
// made once; a test that changes it copies it first.
var demo = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "jobsheaf-desk")
	if err != nil {
		return "", err
	}
	site := filepath.Join(dir, "site")
	files, err := fs.Sub(samples.FS, "soapworks")
	if err != nil {
		return "", err
	}
	if err := os.CopyFS(site, files); err != nil {
		return "", err
	}
	var errs bytes.Buffer
	c := cli.Root(cli.Streams{In: strings.NewReader(""), Out: io.Discard, Err: &errs})
	c.SetArgs([]string{"week", "week-49", "--site", site, "--out", filepath.Join(dir, "out"), "--who", "Planning", "--quiet"})
	if err := c.Execute(); err != nil {
		return "", fmt.Errorf("%w: %s", err, errs.String())
	}
	return dir, fill(site)
})

// day is a moment of the demo week.
func day(text string) time.Time {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		panic(err)
	}
	return t
}

// fill enters what a week brings: a second print, pages that came back, readings, a job
// that is closed, one that is void.
func fill(site string) error {
	ctx := context.Background()
	r, err := register.Open(ctx, filepath.Join(site, register.FileName))
	if err != nil {
		return err
	}
	defer r.Close()
	first, err := r.Prints(ctx, "K-24817")
	if err != nil {
		return err
	}
	raw, err := r.Manifest(ctx, first[0])
	if err != nil {
		return err
	}
	again := register.Print{Job: "K-24817", Unit: "P-214", Procedure: "rebuild-component-seal", Day: "2026-11-30", Fingerprint: "7F3A91C2", Pages: first[0].Pages, Manifest: bytes.ReplaceAll(raw, []byte(first[0].Fingerprint), []byte("7F3A91C2"))}
	if _, err := r.Enter(ctx, register.By{Who: "Planning", At: day("2026-11-29T15:40:00Z")}, func(yield func(register.Print, error) bool) { yield(again, nil) }); err != nil {
		return err
	}
	prints, err := r.Prints(ctx, "K-24817")
	if err != nil {
		return err
	}
	newest := prints[len(prints)-1].Event
	for page := 1; page <= 3; page++ {
		picture, err := keep(site, page)
		if err != nil {
			return err
		}
		sum := sha256.Sum256([]byte{byte(page)})
		p := register.Paper{State: register.Placed, Scan: hex.EncodeToString(sum[:]), File: "tray-2026-12-01.pdf", At: page, Print: newest, Page: page, Picture: picture, Quality: "good"}
		if _, _, err := r.See(ctx, register.By{Who: "Front office", At: day("2026-12-01T06:55:00Z")}, p); err != nil {
			return err
		}
	}
	low, high := 31.9, 32.0
	by := register.By{Who: "Front office", At: day("2026-12-01T07:20:00Z")}
	if _, err := r.Type(ctx, by,
		register.Reading{Print: newest, Box: "wear.idler_pin_diameter.A1", Text: "31,92", Value: "31.92", Unit: "mm", Low: &low, Page: 12, Keep: "as_found idler_pin_diameter"},
		register.Reading{Print: newest, Box: "wear.idler_pin_diameter.A2", Text: "31.88", Value: "31.88", Unit: "mm", Low: &low, High: &high, Why: "pin is replaced", Page: 12},
		register.Reading{Print: newest, Box: "s1.note", Text: "drain was slow", Page: 6}); err != nil {
		return err
	}
	if err := r.Settle(ctx, by, register.Settled{Print: newest, Box: "s1.done", Is: register.Marked}); err != nil {
		return err
	}
	for job, d := range map[string]register.Decision{
		"K-24817": {Kind: register.Accept, Finding: "wear.idler_pin_diameter", Why: "the pin was replaced the same day"},
		"K-24818": {Kind: register.Close}, "K-24819": {Kind: register.MakeVoid, Why: "the pump was swapped"},
	} {
		of, err := r.Prints(ctx, job)
		if err != nil {
			return err
		}
		d.Print = of[len(of)-1].Event
		if err := r.Decide(ctx, register.By{Who: "Shift lead", At: day("2026-12-01T13:05:00Z")}, d); err != nil {
			return err
		}
	}
	return nil
}

// keep keeps a picture of a page, as reading it does.
func keep(site string, page int) (sum string, err error) {
	g := image.NewGray(image.Rect(0, 0, 420, 594))
	for i := range g.Pix {
		g.Pix[i] = 250
	}
	for y := 60; y < 540; y += 24 {
		for x := 40; x < 380-y%97; x++ {
			g.SetGray(x, y+page, color.Gray{60})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, g, nil); err != nil {
		return "", err
	}
	of := sha256.Sum256(b.Bytes())
	sum = hex.EncodeToString(of[:])
	dir := filepath.Join(site, "scans", sum[:2])
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", err
	}
	return sum, os.WriteFile(filepath.Join(dir, sum+".jpg"), b.Bytes(), 0o644)
}

// open opens a desk on the demo, with further flags. prepare may change the copy of the
// site that it is on.
func open(t testing.TB, prepare func(site string), flags ...string) *opened {
	t.Helper()
	from, err := demo()
	must(t, err)
	o := &opened{t: t, site: filepath.Join(from, "site"), out: filepath.Join(from, "out"), log: &lockedBuffer{}}
	if prepare != nil {
		o.site = filepath.Join(t.TempDir(), "site")
		must(t, os.CopyFS(o.site, os.DirFS(filepath.Join(from, "site"))))
		prepare(o.site)
	}
	said, says := io.Pipe()
	c := cli.Root(cli.Streams{In: strings.NewReader(""), Out: says, Err: o.log})
	c.SetArgs(append([]string{"desk", "--site", o.site, "--out", o.out, "--port", "0", "--no-browser"}, flags...))
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() {
		err := c.ExecuteContext(ctx)
		says.CloseWithError(io.EOF)
		done <- err
	}()
	line, err := bufio.NewReader(said).ReadString('\n')
	if err != nil {
		stop()
		t.Fatalf("the desk did not open: %v\n%s", <-done, o.log)
	}
	go io.Copy(io.Discard, said)
	o.url = strings.TrimSuffix(strings.TrimSpace(line), "/")
	o.register, err = register.Open(t.Context(), filepath.Join(o.site, register.FileName))
	must(t, err)
	t.Cleanup(func() {
		o.register.Close()
		stop()
		if err := <-done; err != nil {
			t.Errorf("the desk closed with %v", err)
		}
		if t.Failed() {
			t.Log(o.log)
		}
	})
	return o
}

// browser is a client that keeps cookies.
func browser(t testing.TB) *http.Client {
	jar, err := cookiejar.New(nil)
	must(t, err)
	return &http.Client{Jar: jar, Timeout: 20 * time.Second}
}

// get gives a page.
func (o *opened) get(c *http.Client, path string) (status int, body string, header http.Header) {
	o.t.Helper()
	res, err := c.Get(o.url + path)
	must(o.t, err)
	return read(o.t, res)
}

func read(t testing.TB, res *http.Response) (int, string, http.Header) {
	t.Helper()
	defer res.Body.Close()
	raw, err := io.ReadAll(res.Body)
	must(t, err)
	return res.StatusCode, string(raw), res.Header
}

// post sends a form as a browser does, with the token of the page that has it.
func (o *opened) post(c *http.Client, page, path string, fields url.Values) (int, string, http.Header) {
	o.t.Helper()
	_, body, _ := o.get(c, page)
	_, rest, ok := strings.Cut(body, `name="token" value="`)
	if !ok {
		o.t.Fatalf("%s has no form", page)
	}
	fields.Set("token", rest[:strings.IndexByte(rest, '"')])
	r, err := http.NewRequest(http.MethodPost, o.url+path, strings.NewReader(fields.Encode()))
	must(o.t, err)
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", o.url)
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	res, err := c.Do(r)
	must(o.t, err)
	return read(o.t, res)
}
