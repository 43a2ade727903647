package desk_test

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/png"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// bigPNG is a picture that says it has so many pixels on a side.
func bigPNG(side uint32) []byte {
	var b bytes.Buffer
	b.WriteString("\x89PNG\r\n\x1a\n")
	chunk := func(kind string, data []byte) {
		binary.Write(&b, binary.BigEndian, uint32(len(data)))
		b.WriteString(kind)
		b.Write(data)
		binary.Write(&b, binary.BigEndian, crc32.ChecksumIEEE(append([]byte(kind), data...)))
	}
	head := binary.BigEndian.AppendUint32(nil, side)
	head = binary.BigEndian.AppendUint32(head, side)
	chunk("IHDR", append(head, 8, 0, 0, 0, 0))
	var z bytes.Buffer
	w := zlib.NewWriter(&z)
	for range 4 {
		w.Write(make([]byte, 1<<20))
	}
	w.Close()
	chunk("IDAT", z.Bytes())
	chunk("IEND", nil)
	return b.Bytes()
}

// bombPDF is a page whose picture unpacks to far more than it says.
func bombPDF(side int) []byte {
	var z bytes.Buffer
	w := zlib.NewWriter(&z)
	for range 300 {
		w.Write(make([]byte, 1<<20))
	}
	w.Close()
	var b bytes.Buffer
	b.WriteString("%PDF-1.4\n")
	var at []int
	object := func(text string) {
		at = append(at, b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", len(at), text)
	}
	object("<</Type/Catalog/Pages 2 0 R>>")
	object("<</Type/Pages/Kids[3 0 R 2 0 R]/Count 100000000>>") // and a loop
	object("<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 842]/Resources<</XObject<</I 4 0 R>>>>/Contents 5 0 R>>")
	object(fmt.Sprintf("<</Type/XObject/Subtype/Image/Width %d/Height %d/BitsPerComponent 8/ColorSpace/DeviceGray/Filter/FlateDecode/Length %d>>stream\n%s\nendstream", side, side, z.Len(), z.Bytes()))
	object("<</Length 30>>stream\nq 595 0 0 842 0 0 cm /I Do Q\nendstream")
	start := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(at)+1)
	for _, n := range at {
		fmt.Fprintf(&b, "%010d 00000 n \n", n)
	}
	fmt.Fprintf(&b, "trailer<</Root 1 0 R/Size %d>>\nstartxref\n%d\n%%%%EOF", len(at)+1, start)
	return b.Bytes()
}

// Hostile files are told and left, nothing of them is entered or kept, the others beside
// them are read, and the desk goes on.
func TestHostileScans(t *testing.T) {
	_, err := demo() // which outlives this test
	must(t, err)
	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	o := open(t, func(string) {})
	ana := o.named("Planner 1")
	before, err := o.register.Head(t.Context())
	must(t, err)
	var small bytes.Buffer
	must(t, png.Encode(&small, image.NewGray(image.Rect(0, 0, 1, 1))))
	good := pdfOf(t, shot(t, o.packet("K-24820"), 1, 3))
	files := []scan{
		{"side.png", bigPNG(100_000)}, {"pixels.png", bigPNG(15_000)}, {"bomb.pdf", bombPDF(100_000)}, {"loop.pdf", bombPDF(3000)},
		{"zip.pdf", []byte("PK\x03\x04 and so on")}, {"page.html.pdf", []byte("<html><script>alert(1)</script>")}, {"empty.tif", nil}, {"dot.png", small.Bytes()},
		{"cut.pdf", good[:len(good)/3]}, {"../../../../tmp/x\"><img src=x onerror=alert(1)>.jpg", []byte("\xff\xd8\xff\xe0")},
		{"%00%2e%2e%2f.png", []byte("\x89PNG\r\n\x1a\n")}, {strings.Repeat("long", 2000) + ".pdf", []byte("%PDF-1.7\n")}, {"COM1.tiff", []byte("II*\x00\xff\xff\xff\xff")},
	}
	status, at, _ := o.sends(ana, "/back", "/back", "scans", nil, files...)
	if status != 200 {
		t.Fatalf("%d at %s", status, at)
	}
	body := o.over(ana, at)
	says := text(body)
	if strings.Contains(says, "FAILED") || strings.Contains(body, "<img src=x") || strings.Contains(body, "<script>alert") {
		t.Errorf("it ended with: %s", says)
	}
	for _, want := range []string{"side.png", "too large", "zip.pdf", "COM1.tiff"} {
		if !strings.Contains(says, want) {
			t.Errorf("it does not say %q: %s", want, says)
		}
	}
	if after, err := o.register.Head(t.Context()); err != nil || after.Events > before.Events+2 { // pictures that can be read and show nothing of ours are to be placed
		t.Errorf("the register went from %v to %v, %v: %s", before, after, err, says)
	}
	held, err := filepath.Glob(filepath.Join(temp, "jobsheaf-desk-*", "*"))
	if err != nil || len(held) > 0 {
		t.Errorf("left: %v %v", held, err)
	}
	if made, _ := filepath.Glob("/tmp/x\"*"); len(made) > 0 {
		t.Errorf("a file was made where it said: %v", made)
	}
	_, at, _ = o.sends(ana, "/back", "/back", "scans", nil, scan{"good.pdf", good})
	if says := text(o.over(ana, at)); !strings.Contains(says, "Read: 1.") {
		t.Errorf("afterwards: %s", says)
	}
	if info, err := os.Stat(temp); err != nil || !info.IsDir() {
		t.Error(err)
	}
}

// Whoever may not write sends nothing, and whoever may not print does not.
func TestWhoMaySend(t *testing.T) {
	o := open(t, withUsers(t), "--out", t.TempDir())
	before, err := o.register.Head(t.Context())
	must(t, err)
	auditor, mechanic, planner := o.enters("Aud"), o.enters("Marco"), o.enters("Paula")
	for _, c := range []struct {
		who    string
		c      *http.Client
		path   string
		field  string
		status int
	}{
		{"an auditor", auditor, "/back", "scans", 403}, {"an auditor", auditor, "/list", "list", 403}, {"a mechanic", mechanic, "/list", "list", 403},
		{"a mechanic", mechanic, "/back", "scans", 200}, {"a planner", planner, "/list", "list", 200},
	} {
		status, at, body := o.sends(c.c, "/jobs", c.path, c.field, nil, scan{"x.csv", []byte("Work order;Equipment;Procedure;Date\nK-1;P-214;reset-end-clearance;2026-12-21\n")})
		if status != c.status {
			t.Errorf("%s to %s: %d at %s, %s", c.who, c.path, status, at, text(body))
		}
	}
	for _, p := range []string{"/week/week-50/print", "/list/0123456789abcdef/print", "/print/0123456789abcdef/stop"} {
		for who, c := range map[string]*http.Client{"an auditor": auditor, "a mechanic": mechanic} {
			if status, _, _ := o.post(c, "/jobs", p, url.Values{}); status != 403 {
				t.Errorf("%s to %s: %d", who, p, status)
			}
		}
	}
	for _, p := range []string{"/place/1", "/place/1/aside", "/twice/1", "/back/0123456789abcdef/stop"} {
		if status, _, _ := o.post(auditor, "/jobs", p, url.Values{}); status != 403 {
			t.Errorf("an auditor to %s: %d", p, status)
		}
	}
	if _, body, _ := o.get(auditor, "/back"); strings.Contains(body, `type="file"`) {
		t.Error("an auditor is shown a field for files")
	}
	if _, body, _ := o.get(mechanic, "/week/week-50"); strings.Contains(body, `action="/week/week-50/print"`) {
		t.Error("a mechanic is shown a button that prints")
	}
	// A form of another site, and one without its token first.
	kind, raw := multi(t, o.token(mechanic, "/back"), "scans", nil, scan{"a.pdf", []byte("x")})
	late := bytes.Replace(raw, []byte(`name="token"`), []byte(`name="other"`), 1)
	where, _ := url.Parse(o.url)
	cookie := mechanic.Jar.Cookies(where)[0].String()
	for what, c := range map[string]struct {
		header map[string]string
		body   []byte
		status int
	}{
		"another site": {map[string]string{"Cookie": cookie, "Content-Type": kind, "Origin": "https://evil.example.net"}, raw, 403},
		"no token":     {map[string]string{"Cookie": cookie, "Content-Type": kind, "Origin": o.url}, late, 403},
		"no cookie":    {map[string]string{"Content-Type": kind, "Origin": o.url}, raw, 403},
		"no parts":     {map[string]string{"Cookie": cookie, "Content-Type": "multipart/form-data", "Origin": o.url}, raw, 400},
		"a plain form": {map[string]string{"Cookie": cookie, "Content-Type": "application/x-www-form-urlencoded", "Origin": o.url}, []byte("token=x"), 400},
	} {
		if status, _, _ := o.send(http.MethodPost, "/back", c.header, string(c.body)); status != c.status {
			t.Errorf("%s: %d, want %d", what, status, c.status)
		}
	}
	if after, err := o.register.Head(t.Context()); err != nil || after != before {
		t.Errorf("the register went from %v to %v, %v", before, after, err)
	}
}
