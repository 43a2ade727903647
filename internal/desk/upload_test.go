package desk

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/record"
	"jobsheaf/internal/scan/sheets"
	"jobsheaf/internal/users"
)

// countedFile is a file that was sent; a test counts those that are open.
type countedFile struct {
	bytes.Buffer
	open *int
}

func (c *countedFile) ReadAt([]byte, int64) (int, error) { return 0, errors.New("not read here") }
func (c *countedFile) Close() error                      { *c.open--; return nil }
func (c *countedFile) Drawn() sheets.Renderer            { return nil }

// asked is a visit that sends files, without the pages around it.
func asked(t *testing.T, d *Desk, body io.Reader, kind string) (*visit, *httptest.ResponseRecorder) {
	t.Helper()
	r := httptest.NewRequest(http.MethodPost, "/back", body)
	r.Header.Set("Content-Type", kind)
	w := httptest.NewRecorder()
	return &visit{Desk: d, w: w, r: r, id: newID()}, w
}

// What is sent goes to the disk piece by piece; a file that is too large is left out, too
// many or too much of all is refused, what breaks off is thrown away, and nothing stays.
func TestReceive(t *testing.T) {
	open := 0
	d, err := New(Config{Now: time.Now, Log: t.Logf, Hosts: func(string) bool { return true }, Users: func() (users.List, error) { return nil, nil },
		Read: func() (*Site, error) { return &Site{Book: &record.Book{}}, nil }})
	if err != nil {
		t.Fatal(err)
	}
	hold := func() (Held, error) {
		open++
		return &countedFile{open: &open}, nil
	}
	most := room{one: 1000, all: 3000, files: 5}
	d.limits.sent = 6000
	send := func(token string, parts func(w *multipart.Writer), cut int) (files []sentFile, genuine bool, err error) {
		var b bytes.Buffer
		w := multipart.NewWriter(&b)
		if token != "none" {
			w.WriteField("token", token)
		}
		parts(w)
		w.Close()
		raw := b.Bytes()[:b.Len()-cut]
		v, _ := asked(t, d, bytes.NewReader(raw), w.FormDataContentType())
		if token == "mine" {
			raw = bytes.Replace(raw, []byte("mine"), []byte(v.sessions.token(v.id)), 1)
			v.r.Body = io.NopCloser(bytes.NewReader(raw))
		}
		said, err := v.openParts(0)
		if err != nil {
			return nil, false, err
		}
		v.r.PostForm = map[string][]string{}
		files, err = v.receive("scans", most, hold)
		return files, v.genuine(said), err
	}
	file := func(w *multipart.Writer, name string, n int) {
		p, _ := w.CreateFormFile("scans", name)
		p.Write(bytes.Repeat([]byte("x"), n))
	}
	files, genuine, err := send("mine", func(w *multipart.Writer) {
		file(w, "../../a<script>.pdf", 999)
		file(w, `C:\x\b.pdf`, 1001)
		w.WriteField("sheet", "Week")
		file(w, "\u202e/..", 0)
	}, 0)
	if err != nil || !genuine || len(files) != 3 || files[0].name != "a<script>.pdf" || files[1].name != "b.pdf" || !files[1].large || files[1].held != nil || files[1].size != 1001 || files[2].name != "?" || open != 2 {
		t.Errorf("%+v, %v, %v, %d open", files, genuine, err, open)
	}
	closeAll(files)
	for what, c := range map[string]struct {
		token string
		parts func(w *multipart.Writer)
		cut   int
		key   string
	}{
		"no token": {"none", func(w *multipart.Writer) { file(w, "a", 10) }, 0, "fault.token"},
		"many files": {"mine", func(w *multipart.Writer) {
			for range 6 {
				file(w, "a", 10)
			}
		}, 0, "fault.many_files"},
		"too much": {"mine", func(w *multipart.Writer) {
			for range 4 {
				file(w, "a", 900)
			}
		}, 0, "fault.much"},
		"far too much": {"mine", func(w *multipart.Writer) { file(w, "a", 200_000) }, 0, "fault.much"},
		"broken off":   {"mine", func(w *multipart.Writer) { file(w, "a", 900) }, 300, "fault.cut_off"},
	} {
		files, _, err := send(c.token, c.parts, c.cut)
		if told, ok := errors.AsType[*fault](err); !ok || told.key != c.key || files != nil || open != 0 {
			t.Errorf("%s: %v, %d files, %d open", what, err, len(files), open)
		}
	}
	if _, genuine, err := send("forged", func(w *multipart.Writer) {}, 0); err != nil || genuine {
		t.Errorf("a forged token: %v, %v", genuine, err)
	}
	v, _ := asked(t, d, strings.NewReader("token=x"), "application/x-www-form-urlencoded")
	if _, err := v.openParts(0); err == nil {
		t.Error("a form without files was taken for one with")
	}
	for range cap(d.sending) { // others send
		d.sending <- struct{}{}
	}
	if _, _, err := send("mine", func(w *multipart.Writer) { file(w, "a", 10) }, 0); err == nil || err.Error() != "fault.sending" {
		t.Errorf("while others send: %v", err)
	}
}

func TestPlainName(t *testing.T) {
	for name, want := range map[string]string{
		"a.pdf": "a.pdf", "/etc/passwd": "passwd", `..\..\x.tif`: "x.tif", "": "?", "..": "?", "/": "?", "a\r\nb\x00.pdf": "ab.pdf", "\u202egpj.exe": "gpj.exe", "año 12 µm.pdf": "año 12 µm.pdf", "\xff\xfe.pdf": ".pdf",
		strings.Repeat("x", 5000) + ".pdf": strings.Repeat("x", 49) + "…" + strings.Repeat("x", 46) + ".pdf",
	} {
		if got := plainName(name); got != want {
			t.Errorf("%.20q is %q, want %q", name, got, want)
		}
	}
}

// Piles wait their turn, and no more than so many; a week does not wait for them. What waits
// can be stopped, and all ends with the desk.
func TestWorks(t *testing.T) {
	ws := newWorks(time.Now, t.Logf)
	go1 := make(chan struct{})
	var piles []*work
	ran := make(chan string, 20)
	for i := range mostWaiting {
		w := ws.newWork("A")
		w.pile = &pile{}
		piles = append(piles, w)
		if err := ws.begin(w, func(ctx context.Context) error {
			ran <- w.id
			if i == 0 {
				<-go1
			}
			return ctx.Err()
		}); err != nil {
			t.Fatal(err)
		}
	}
	more := ws.newWork("B")
	more.pile = &pile{}
	if err := ws.begin(more, func(context.Context) error { return nil }); !errors.Is(err, errMuchWaits) {
		t.Errorf("one pile more: %v", err)
	}
	if n := len(ws.before(piles[3])); n != 3 {
		t.Errorf("%d piles are before the fourth", n)
	}
	week := ws.newWork("C")
	week.print = &printing{}
	if err := ws.begin(week, func(ctx context.Context) error { <-ctx.Done(); return ctx.Err() }); err != nil {
		t.Error(err)
	}
	second := ws.newWork("D")
	second.print = &printing{}
	if err := ws.begin(second, func(context.Context) error { return nil }); err == nil {
		t.Error("two weeks are printed at a time")
	}
	piles[2].end("B")
	close(go1)
	for i, p := range piles {
		if id := <-ran; id != p.id {
			t.Errorf("pile %d is not in its turn", i)
		}
	}
	bug := ws.newWork("E")
	bug.pile = &pile{}
	if err := ws.begin(bug, func(context.Context) error { panic("a bug") }); err != nil {
		t.Fatal(err)
	}
	for !bug.over() {
		time.Sleep(time.Millisecond)
	}
	ws.close()
	for i, want := range map[*work]workState{piles[0]: done, piles[2]: stopped, week: stopped, bug: failed} {
		if i.state != want {
			t.Errorf("a work of %s is %s, want %s", i.who, i.state, want)
		}
	}
	if piles[2].stopper != "B" || !week.over() {
		t.Error("nobody is said to have stopped it")
	}
	if err := ws.begin(ws.newWork("F"), nil); !errors.Is(err, errClosing) {
		t.Errorf("after the end: %v", err)
	}
}

// Whoever sends a file and stands still is cut off, and what was sent is thrown away; without
// the form's token, as soon as with any other form.
func TestSlowSenders(t *testing.T) {
	open := 0
	d, err := New(Config{Now: time.Now, Log: t.Logf, Hosts: func(string) bool { return true }, Users: func() (users.List, error) { return nil, nil }, Stamp: func() string { return "" },
		Read: func() (*Site, error) { return nil, errors.New("no site here") }})
	if err != nil {
		t.Fatal(err)
	}
	d.Back.Hold = func() (Held, error) {
		open++
		return &countedFile{open: &open}, nil
	}
	d.limits.read, d.limits.pause = 2*time.Second, 400*time.Millisecond
	d.limits.close = time.Second
	on, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- d.Serve(ctx, on, nil) }()
	id := d.sessions.begin(session{name: "Planner 1", from: near(netip.MustParseAddr("127.0.0.1"))})
	for what, body := range map[string]string{
		"before the token": "--x\r\nContent-Disposition: form-data; name=\"tok",
		"within a file":    "--x\r\nContent-Disposition: form-data; name=\"token\"\r\n\r\n" + d.sessions.token(id) + "\r\n--x\r\nContent-Disposition: form-data; name=\"scans\"; filename=\"a.pdf\"\r\n\r\n%PDF",
	} {
		c, err := net.Dial("tcp", on.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		began := time.Now()
		fmt.Fprintf(c, "POST /back HTTP/1.1\r\nHost: x\r\nCookie: desk=%s\r\nContent-Type: multipart/form-data; boundary=x\r\nContent-Length: 100000000\r\n\r\n%s", id, body)
		c.SetReadDeadline(time.Now().Add(15 * time.Second))
		if _, err := io.Copy(io.Discard, c); err != nil && strings.Contains(err.Error(), "timeout") {
			t.Errorf("%s: it is not cut off", what)
		}
		if took := time.Since(began); took > 10*time.Second {
			t.Errorf("%s: it took %v", what, took)
		}
		c.Close()
	}
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	if open != 0 {
		t.Errorf("%d files are left", open)
	}
}
