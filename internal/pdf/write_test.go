package pdf

import (
	"bytes"
	"errors"
	"io"
	"math"
	"runtime"
	"strings"
	"sync"
	"testing"

	"jobsheaf/internal/page"

	"pgregory.net/rapid"
)

func written(t testing.TB, d page.Doc) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, d); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestSameBytes(t *testing.T) {
	docs := []page.Doc{sample(t, 1), sample(t, 10), attached(t, 3), sample(t, 70)}
	var want [][]byte
	for _, d := range docs {
		want = append(want, written(t, d))
	}
	// With other subsets built in between, on one processor and on all, by many at once.
	subsets.Lock()
	subsets.built = nil
	subsets.Unlock()
	for _, procs := range []int{1, runtime.NumCPU()} {
		old := runtime.GOMAXPROCS(procs)
		var all sync.WaitGroup
		for n := range 24 {
			all.Add(1)
			go func() {
				defer all.Done()
				k := n % len(docs)
				if got := written(t, docs[k]); !bytes.Equal(got, want[k]) {
					t.Errorf("document %d differs when written again", k)
				}
			}()
		}
		all.Wait()
		runtime.GOMAXPROCS(old)
	}
	other := sample(t, 1)
	other.ID = "7f3a91c3"
	if bytes.Equal(written(t, other), want[0]) {
		t.Error("another ID gives the same bytes")
	}
}

// A document whose pages come in pieces is the one that is written in one go.
func TestPiecesAreTheWhole(t *testing.T) {
	d := sample(t, 64)
	p, whole := new(bytes.Buffer), written(t, d)
	w, err := NewWriter(p, d)
	if err != nil {
		t.Fatal(err)
	}
	for _, from := range []int{0, 32} {
		var marks []page.Mark
		for _, m := range d.Outline[from : from+32] {
			m.Page -= from
			marks = append(marks, m)
		}
		if err := w.Add(d.Pages[from:from+32], marks, ""); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(p.Bytes(), whole) {
		t.Error("written in two pieces, the document differs")
	}
	if err := w.Close(); err == nil {
		t.Error("the document can be closed twice")
	}
}

// The memory in use does not grow with the pages.
func TestMemoryStaysFlat(t *testing.T) {
	d := sample(t, 10)
	w, err := NewWriter(io.Discard, d)
	if err != nil {
		t.Fatal(err)
	}
	var most uint64
	for n := range 200 {
		if err := w.Add(d.Pages, d.Outline, "K-1 "); err != nil {
			t.Fatal(err)
		}
		if n%10 != 9 {
			continue
		}
		runtime.GC() // what waits to be collected is not in use
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		most = max(most, m.HeapAlloc)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if most > 64<<20 {
		t.Errorf("%d MB in use while writing 2,000 pages", most>>20)
	}
}

func TestWriteRefuses(t *testing.T) {
	grey := page.Ink{R: 9, G: 9, B: 9}
	path := func(p page.Path) func(*page.Doc) {
		return func(d *page.Doc) { d.Pages[0].Paths = []page.Path{p} }
	}
	text := func(x page.Text) func(*page.Doc) {
		return func(d *page.Doc) { d.Pages[0].Texts = []page.Text{x} }
	}
	for _, c := range []struct {
		name string
		do   func(*page.Doc)
		say  string
	}{
		{"no pages", func(d *page.Doc) { d.Pages, d.Outline = nil, nil }, "no pages"},
		{"no date", func(d *page.Doc) { d.Created = "" }, "RFC 3339"},
		{"date without zone", func(d *page.Doc) { d.Created = "2025-03-04T06:00:00" }, "RFC 3339"},
		{"line feed in title", func(d *page.Doc) { d.Title = "a\nb" }, "U+000A"},
		{"broken subject", func(d *page.Doc) { d.Subject = "\xff" }, "U+FFFD"},
		{"no paper", func(d *page.Doc) { d.Pages[0].W = 0 }, "paper of 0 by 297 mm"},
		{"endless paper", func(d *page.Doc) { d.Pages[0].H = math.Inf(1) }, "paper"},
		{"paper that is no number", func(d *page.Doc) { d.Pages[0].H = math.NaN() }, "paper"},
		{"tab", text(page.Text{Size: 9, S: "a\tb"}), "U+0009"},
		{"missing glyph", text(page.Text{Size: 9, S: "a😀"}), "U+1F600"},
		{"broken text", text(page.Text{Size: 9, S: "a\xff"}), "U+FFFD"},
		{"unknown face", text(page.Text{Size: 9, Face: page.FaceCount, S: "a"}), "face 5"},
		{"size 0", text(page.Text{S: "a"}), "size 0"},
		{"text nowhere", text(page.Text{X: math.NaN(), Size: 9, S: "a"}), "NaN"},
		{"text turned by infinity", text(page.Text{Turn: math.Inf(1), Size: 9, S: "a"}), "not an angle"},
		{"path without move", path(page.Path{Fill: &grey, Segs: []page.Seg{{Op: page.Line}}}), "move"},
		{"unknown segment", path(page.Path{Fill: &grey, Segs: []page.Seg{{Op: page.Move}, {Op: 9}}}), "kind 9"},
		{"negative line", path(page.Path{Stroke: &grey, Width: -1, Segs: page.Polyline(1, 1, 2, 2)}), "width"},
		{"dashes of nothing", path(page.Path{Stroke: &grey, Dash: []float64{0, 0}, Segs: page.Polyline(1, 1, 2, 2)}), "dashes"},
		{"path to infinity", path(page.Path{Stroke: &grey, Segs: page.Polyline(1, 1, math.Inf(1), 2)}), "Inf"},
		{"endless box", func(d *page.Doc) { d.Pages[0].Boxes = []page.Box{{W: math.Inf(1), H: 5, Hatched: true}} }, "Inf"},
		{"empty code", func(d *page.Doc) { d.Pages[0].Codes = []page.Code{{Size: 22}} }, "0 modules"},
		{"outline past the end", func(d *page.Doc) { d.Outline = []page.Mark{{Title: "x", Page: 2}} }, "count from 0 to 1"},
		{"outline begins inside", func(d *page.Doc) { d.Outline = []page.Mark{{Title: "x", Level: 1}} }, "level 1"},
		{"attachment twice", func(d *page.Doc) { d.Attachments = append(d.Attachments, d.Attachments[0]) }, "two attachments"},
		{"attachment without name", func(d *page.Doc) { d.Attachments[0].Name = "" }, "no name"},
		{"attachment without type", func(d *page.Doc) { d.Attachments[0].MIME = "yaml" }, "text/csv"},
		{"unknown relationship", func(d *page.Doc) { d.Attachments[0].Relationship = "data" }, "Supplement"},
	} {
		d := attached(t, 2)
		c.do(&d)
		if err := Write(io.Discard, d); err == nil {
			t.Errorf("%s: written", c.name)
		} else if !strings.Contains(err.Error(), c.say) {
			t.Errorf("%s: %q does not say %q", c.name, err, c.say)
		}
	}
}

var errFull = errors.New("the disk is full")

// full takes so many bytes.
type full struct{ room int }

func (f *full) Write(b []byte) (int, error) {
	if len(b) > f.room {
		return f.room, errFull
	}
	f.room -= len(b)
	return len(b), nil
}

func TestWriteTellsOfAFullDisk(t *testing.T) {
	d := sample(t, 40)
	for _, room := range []int{0, 1000, 150_000} {
		if err := Write(&full{room}, d); !errors.Is(err, errFull) {
			t.Errorf("room for %d bytes: %v", room, err)
		}
	}
}

// Whatever is on a page, writing ends with a file or an error.
func TestWriteNeverPanics(t *testing.T) {
	number := rapid.OneOf(rapid.Float64Range(-500, 500), rapid.Float64())
	ink := rapid.Custom(func(t *rapid.T) *page.Ink {
		return &page.Ink{R: rapid.Byte().Draw(t, "r"), G: rapid.Byte().Draw(t, "g")}
	})
	rapid.Check(t, func(t *rapid.T) {
		pg := page.Page{W: rapid.OneOf(rapid.Just(210.0), number).Draw(t, "w"), H: 297}
		for range rapid.IntRange(0, 4).Draw(t, "n") {
			x, y, w, h := number.Draw(t, "x"), number.Draw(t, "y"), number.Draw(t, "w"), number.Draw(t, "h")
			pg.Texts = append(pg.Texts, page.Text{X: x, Y: y, Size: w, Turn: h, Face: page.Face(rapid.Byte().Draw(t, "face") % 7), S: rapid.String().Draw(t, "s")})
			pg.Boxes = append(pg.Boxes, page.Box{X: x, Y: y, W: w, H: h, Hatched: rapid.Bool().Draw(t, "hatched")})
			pg.Codes = append(pg.Codes, page.Code{X: x, Y: y, Size: w, Modules: [][]bool{{true, false}, nil}})
			pg.Paths = append(pg.Paths, page.Path{Segs: page.Arc(x, y, w, h, 30), Fill: ink.Draw(t, "fill"), Stroke: ink.Draw(t, "stroke"), Width: w, Dash: []float64{x, y}})
		}
		d := page.Doc{Title: rapid.String().Draw(t, "title"), Created: "2025-03-04T06:00:00Z", Pages: []page.Page{pg}}
		var b bytes.Buffer
		if err := Write(&b, d); err == nil && !bytes.HasSuffix(b.Bytes(), []byte("%%EOF\n")) {
			t.Fatal("no error, and no whole file")
		}
	})
}

// BenchmarkWrite writes a packet of ten pages.
func BenchmarkWrite(b *testing.B) {
	d := sample(b, 10)
	b.ReportAllocs()
	for b.Loop() {
		if err := Write(io.Discard, d); err != nil {
			b.Fatal(err)
		}
	}
}
