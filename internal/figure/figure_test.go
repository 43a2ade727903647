package figure

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
	"jobsheaf/internal/words"
	"jobsheaf/templates"

	"pgregory.net/rapid"
)

// english is the catalogue that the packets are printed with.
func english(t testing.TB) func(string) string { return catalogue(t, "en") }

func catalogue(t testing.TB, language string) func(string) string {
	t.Helper()
	all, problems := words.Load(nil, templates.FS, language, nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return all.Get
}

// long is a catalogue of a wordier language: every word half as long again.
func long(words func(string) string) func(string) string {
	return func(key string) string {
		w := words(key)
		if n := len([]rune(w)); n > 3 {
			return w + " " + string([]rune(w)[:n/2])
		}
		return w
	}
}

// box is a rectangle on a drawing.
type box struct {
	x1, y1, x2, y2 float64
	what           string
}

func (b box) meets(c box) bool {
	const touch = 0.05
	return b.x1 < c.x2-touch && c.x1 < b.x2-touch && b.y1 < c.y2-touch && c.y1 < b.y2-touch
}

func textBox(t page.Text) box {
	w := typeface.Width(t.Face, t.Size, t.S)
	below := 0.0
	if strings.Trim(t.S, "0123456789.,-/ ") != "" {
		below = typeface.Descent(t.Face, t.Size) * 0.7
	}
	return box{t.X, t.Y - typeface.CapHeight(t.Face, t.Size), t.X + w, t.Y + below, t.S}
}

// bubblesOf finds the bubbles of a drawing: white shapes of a bubble's height.
func bubblesOf(d Drawing) []box {
	var out []box
	for _, p := range d.Paths {
		if p.Fill == nil || *p.Fill != white || p.Stroke == nil || p.Width != plain || len(p.Segs) < 6 {
			continue
		}
		b := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1), "bubble"}
		for _, e := range flatten(nil, p.Segs) {
			b = box{min(b.x1, e.x1, e.x2), min(b.y1, e.y1, e.y2), max(b.x2, e.x1, e.x2), max(b.y2, e.y1, e.y2), b.what}
		}
		if math.Abs(b.y2-b.y1-2*ball) > 1e-6 || b.x2-b.x1 < 2*ball-1e-6 {
			continue
		}
		for _, t := range d.Texts {
			if tb := textBox(t); t.Face == mark.face && tb.x1 > b.x1 && tb.x2 < b.x2 && tb.y1 > b.y1 && tb.y2 < b.y2 {
				b.what = "bubble " + t.S
				out = append(out, b)
			}
		}
	}
	return out
}

// faults says what is wrong with a drawing, whatever it shows.
func faults(d Drawing) []string {
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if !(d.W > 0 && d.H > 0 && d.H < 2000) {
		add("the drawing is %v by %v mm", d.W, d.H)
	}
	const slack = 0.02
	inside := func(what string, x, y, half float64) {
		if !(x-half >= -slack && y-half >= -slack && x+half <= d.W+slack && y+half <= d.H+slack) {
			add("%s reaches (%.2f, %.2f) with half a line of %.2f, outside %.2f by %.2f", what, x, y, half, d.W, d.H)
		}
	}
	for i, p := range d.Paths {
		half := 0.0
		if p.Stroke != nil {
			half = p.Width / 2
			if p.Width < thin {
				add("path %d is %.2f mm wide", i, p.Width)
			}
		} else if p.Fill == nil {
			add("path %d is neither filled nor stroked", i)
		}
		if len(p.Segs) == 0 || p.Segs[0].Op != page.Move {
			add("path %d does not begin with a move", i)
		}
		for _, e := range flatten(nil, p.Segs) {
			if n := len(out); n > 0 && strings.HasPrefix(out[n-1], fmt.Sprintf("path %d ", i)) {
				break
			}
			inside(fmt.Sprintf("path %d", i), e.x1, e.y1, half)
			inside(fmt.Sprintf("path %d", i), e.x2, e.y2, half)
		}
	}
	bubbles := bubblesOf(d)
	boxes := make([]box, len(d.Texts))
	for i, t := range d.Texts {
		boxes[i] = textBox(t)
		inside("text "+t.S, boxes[i].x1, boxes[i].y1, 0)
		inside("text "+t.S, boxes[i].x2, boxes[i].y2, 0)
		if t.Size < 8 {
			add("text %q is %.1f pt", t.S, t.Size)
		}
		if strings.TrimSpace(t.S) == "" || typeface.Missing(t.Face, t.S) != nil {
			add("text %q is empty or lacks glyphs", t.S)
		}
		for j := range i {
			if boxes[i].meets(boxes[j]) {
				add("text %q overlaps %q at (%.1f, %.1f)", t.S, d.Texts[j].S, t.X, t.Y)
			}
		}
		for _, b := range bubbles {
			if b.what != "bubble "+t.S && boxes[i].meets(b) {
				add("text %q overlaps %s at (%.1f, %.1f)", t.S, b.what, t.X, t.Y)
			}
		}
	}
	for i := range bubbles {
		for j := range i {
			// Round bubbles side by side meet in their corners only.
			a, b := bubbles[i], bubbles[j]
			a.x1, a.x2, a.y1, a.y2 = a.x1+0.6, a.x2-0.6, a.y1+0.6, a.y2-0.6
			if a.meets(b) {
				add("%s overlaps %s at (%.1f, %.1f)", a.what, b.what, a.x1, a.y1)
			}
		}
	}
	return append(out, struckArrows(d, boxes, bubbles)...)
}

func TestEveryFigureIsSoundOverItsWholeRange(t *testing.T) {
	english, spanish := english(t), catalogue(t, "es")
	for i := range specs {
		s := &specs[i]
		t.Run(s.name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				p := paramsOf(t, s)
				switch rapid.SampledFrom([]string{"en", "wordy", "es"}).Draw(t, "words") {
				case "en":
					p.Words = english
				case "es":
					p.Words = spanish
				default:
					p.Words = long(english)
				}
				width := s.least
				if rapid.Bool().Draw(t, "wider") {
					width = rapid.Float64Range(s.least, 190).Draw(t, "width")
				}
				d, err := Draw(s.name, p, width)
				if err != nil {
					t.Fatalf("%v", err)
				}
				if d.W != width {
					t.Fatalf("width %v for %v", d.W, width)
				}
				if f := faults(d); f != nil {
					t.Fatalf("%s", strings.Join(f, "\n"))
				}
			})
		})
	}
}

func TestWhatIsMissingOrOutOfRangeIsNamed(t *testing.T) {
	for i := range specs {
		s := &specs[i]
		wrong := func(what, name string, p Params) {
			t.Helper()
			d, err := Draw(s.name, p, s.least)
			if err == nil || !strings.Contains(err.Error(), strconv.Quote(name)) {
				t.Errorf("%s, %s %q: error %v does not name it", s.name, what, name, err)
			}
			if d.Paths != nil || d.Texts != nil {
				t.Errorf("%s, %s %q: something was drawn", s.name, what, name)
			}
		}
		for _, n := range s.needs {
			switch n.Kind {
			case Number:
				p := good(t, s, 7)
				if !n.Optional {
					delete(p.Numbers, n.Name)
					wrong("without", n.Name, p)
				}
				for _, v := range []float64{n.low - 1, n.high * 2, math.NaN(), math.Inf(1)} {
					if n.high == 0 {
						v = 1
					}
					p = good(t, s, 7)
					p.Numbers[n.Name] = v
					if !(v >= n.low && v <= n.high) {
						wrong("bad", n.Name, p)
					}
				}
				if n.whole {
					p.Numbers[n.Name] = n.low + 0.5
					wrong("broken", n.Name, p)
				}
			case Text:
				for _, v := range []string{"", " ", strings.Repeat("y", longest+1)} {
					p := good(t, s, 7)
					p.Texts[n.Name] = v
					wrong("bad", n.Name, p)
				}
				if n.OneOf != nil {
					p := good(t, s, 7)
					p.Texts[n.Name] = "sideways"
					wrong("bad", n.Name, p)
				}
				if p := good(t, s, 7); !n.Optional {
					delete(p.Texts, n.Name)
					wrong("without", n.Name, p)
				}
			case List:
				p := good(t, s, 7)
				p.Lists[n.Name] = nil
				wrong("empty", n.Name, p)
				p.Lists[n.Name] = slices.Repeat([]string{"1"}, int(n.high)+1)
				wrong("too long", n.Name, p)
				p.Lists[n.Name] = slices.Repeat([]string{""}, int(n.low))
				wrong("bad", n.Name, p)
				if p := good(t, s, 7); !n.Optional {
					delete(p.Lists, n.Name)
					wrong("without", n.Name, p)
				}
			case Series:
				p := good(t, s, 7)
				p.Series[n.Name] = nil
				wrong("empty", n.Name, p)
				p.Series[n.Name] = slices.Repeat([]float64{1}, int(n.high)+1)
				wrong("too long", n.Name, p)
				for _, v := range []float64{n.each[0] - 1, n.each[1] * 2, math.NaN(), math.Inf(1)} {
					p := good(t, s, 7)
					p.Series[n.Name][0] = v
					wrong("bad", n.Name, p)
				}
				if p := good(t, s, 7); !n.Optional {
					delete(p.Series, n.Name)
					wrong("without", n.Name, p)
				}
			}
		}
		p := good(t, s, 7)
		p.Texts["stranger"] = "x"
		wrong("a stranger", "stranger", p)
		p = good(t, s, 7)
		p.Numbers["stranger"] = 1
		wrong("a stranger", "stranger", p)
		p = good(t, s, 7)
		p.Series["stranger"] = []float64{1}
		wrong("a stranger", "stranger", p)
		for _, w := range s.words {
			p := good(t, s, 7)
			words := p.Words
			p.Words = func(key string) string {
				if key == wordKey(w) {
					return ""
				}
				return words(key)
			}
			wrong("without the word", wordKey(w), p)
		}
	}
}

func TestFiguresAskForNoWordThatTheyDoNotDeclare(t *testing.T) {
	words := english(t)
	used := map[string]bool{}
	for i := range specs {
		s := &specs[i]
		var declared []string
		for _, w := range s.words {
			declared = append(declared, wordKey(w))
		}
		for seed := range 60 {
			p := good(t, s, seed)
			g := &pen{in: p, d: Drawing{W: 160}}
			g.in.Words = func(key string) string {
				if !slices.Contains(declared, key) {
					t.Errorf("%s asks for %q, which it does not declare", s.name, key)
				}
				used[s.name+" "+key] = true
				return words(key)
			}
			if err := s.draw(g); err != nil {
				t.Fatalf("%s: %v", s.name, err)
			}
		}
		for _, key := range declared {
			if !used[s.name+" "+key] {
				t.Errorf("%s declares %q and never asks for it", s.name, key)
			}
		}
	}
}

func TestNamesAreUniqueAndUnknownOnesAreRefused(t *testing.T) {
	seen := map[string]bool{}
	for _, n := range Names() {
		if seen[n] {
			t.Errorf("two figures are named %s", n)
		}
		seen[n] = true
		if _, err := Needs(n); err != nil {
			t.Error(err)
		}
		if w, err := Least(n); err != nil || w <= 0 {
			t.Errorf("%s: least width %v, %v", n, w, err)
		}
	}
	for i := 1; i <= 9; i++ {
		if !seen[fmt.Sprintf("ghs%02d", i)] {
			t.Errorf("there is no ghs%02d", i)
		}
	}
	if _, err := Draw("bolt-cirlce", Params{}, 100); err == nil || !strings.Contains(err.Error(), "bolt-circle") {
		t.Errorf("an unknown figure gives %v", err)
	}
	for _, w := range []float64{0, -1, 5, 421, math.NaN(), math.Inf(1)} {
		if _, err := Draw("alert", Params{}, w); err == nil {
			t.Errorf("a width of %v is taken", w)
		}
	}
}

func BenchmarkDraw(b *testing.B) {
	for i := range specs {
		s := &specs[i]
		p := good(b, s, 3)
		b.Run(s.name, func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				if _, err := Draw(s.name, p, max(s.least, 100)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
