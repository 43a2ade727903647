package scribble

import (
	"bytes"
	"image"
	"strconv"
	"testing"

	"jobsheaf/internal/manifest"
)

// sample is a page with boxes of every kind, drawn here: no program is asked.
func sample(dpi float64) (*image.Gray, *manifest.Page) {
	p := &manifest.Page{Number: 1, Of: 1, W: 210, H: 297}
	add := func(kind string, x, y, w, h manifest.MM) {
		p.Boxes = append(p.Boxes, manifest.Box{ID: strconv.Itoa(len(p.Boxes)), Kind: kind, X: x, Y: y, W: w, H: h})
	}
	for y := manifest.MM(30); y < 260; y += 13 {
		add("tick", 20, y, 4.6, 4.6)
		add("tick", 27, y, 4.6, 4.6)
		add("blank", 45, y, 30, 8)
		add("sign", 85, y, 22, 8)
		add("blank", 109, y, 60, 8)
	}
	px := func(mm float64) int { return int(mm*dpi/25.4 + 0.5) }
	g := image.NewGray(image.Rect(0, 0, px(210), px(297)))
	for i := range g.Pix {
		g.Pix[i] = 255
	}
	c := canvas{img: g, ppm: dpi / 25.4}
	for _, b := range p.Boxes {
		r := rectOf(b)
		c.paint(stroke{{r.x, r.y, .12, 1}, {r.x + r.w, r.y, .12, 1}, {r.x + r.w, r.y + r.h, .12, 1}, {r.x, r.y + r.h, .12, 1}, {r.x, r.y, .12, 1}}, pen{cover: 1}, 0)
	}
	return g, p
}

// What is said of a box is what is in it: a mark that was made changed the page there,
// and where nothing was made and nothing strayed, nothing changed.
func TestTruthFitsInk(t *testing.T) {
	seen := map[string]int{}
	for _, o := range []Options{Ordinary, Rough, {Empty: 0.5, Hard: 0.5, Strays: 2}, {Pencil: true}} {
		for seed := range uint64(8) {
			clean, p := sample(200)
			back := image.NewGray(clean.Rect) // black all over
			got, truth := Write(clean, 200, p, back, seeded(seed, "ink"), o)
			w := &written{canvas: canvas{img: got, ppm: 200 / 25.4}, page: p}
			for i, m := range truth {
				changed := 0
				in := w.interior(&p.Boxes[i])
				for y := in.Min.Y; y < in.Max.Y; y++ {
					for x := in.Min.X; x < in.Max.X; x++ {
						if int(clean.GrayAt(x, y).Y)-int(got.GrayAt(x, y).Y) > 20 {
							changed++
						}
					}
				}
				seen[m.What]++
				for _, s := range m.Strays {
					seen[s]++
				}
				switch {
				case m.Box != p.Boxes[i].ID || m.Kind != p.Boxes[i].Kind:
					t.Fatalf("truth %d is of %s", i, m.Box)
				case m.Marked && changed == 0:
					t.Errorf("seed %d, %s: %s by %s left no ink", seed, m.Box, m.What, m.Hand)
				case m.Marked && !m.Hard && changed < 25:
					t.Errorf("seed %d, %s: %s by %s left %d pixels of ink, and counts as ordinary", seed, m.Box, m.What, m.Hand, changed)
				case !m.Marked && len(m.Strays) == 0 && changed > 0:
					t.Errorf("seed %d, %s: nobody wrote, and %d pixels changed; %+v", seed, m.Box, changed, o)
				case !m.Marked && len(m.Strays) > 0 && !m.Hard:
					t.Errorf("seed %d, %s: %v lies in it, and it counts as ordinary", seed, m.Box, m.Strays)
				case m.Marked != (m.What != "") || m.Marked != (m.Hand != ""):
					t.Errorf("seed %d, %s: %+v", seed, m.Box, m)
				}
			}
		}
	}
	for _, what := range []string{
		"tick", "cross", "fill", "small", "overshoot", "slash", "dash", "initials", "half outside", "dot", "broken", "tiny", "faint tick",
		"number", "words", "n/a", "corrected", "lone digit", "signature", "name",
		"a stray line", "a mark from outside", "a neighbour's mark", "a smear", "a fingerprint", "grease", "a coffee ring", "a fold", "dust", "the other side",
	} {
		if seen[what] == 0 {
			t.Errorf("no %s was made", what)
		}
	}
}

// The same seed gives the same shot to the last pixel, another gives another, and the
// page that was given stays as it was.
func TestSameSeedSameShot(t *testing.T) {
	names := map[string]bool{}
	for _, c := range Conditions {
		if names[c.Name] {
			t.Errorf("two conditions are called %s", c.Name)
		}
		names[c.Name] = true
		c.DPI = min(c.DPI, 100) // as good for this, and quicker
		clean, p := sample(c.DPI)
		was := bytes.Clone(clean.Pix)
		shot := func(seed uint64) Shot {
			return c.Apply(clean, p, nil, seeded(seed), Rough)
		}
		a, b, other := shot(1), shot(1), shot(2)
		if !bytes.Equal(a.Image.Pix, b.Image.Pix) || !bytes.Equal(a.JPEG, b.JPEG) {
			t.Errorf("%s: the same seed gave another shot", c.Name)
		}
		if bytes.Equal(a.Image.Pix, other.Image.Pix) {
			t.Errorf("%s: another seed gave the same shot", c.Name)
		}
		if !bytes.Equal(was, clean.Pix) {
			t.Errorf("%s: the page that was given was drawn on", c.Name)
		}
		if len(a.Truth) != len(p.Boxes) || a.Condition != c.Name {
			t.Errorf("%s: %d truths of %d boxes, called %s", c.Name, len(a.Truth), len(p.Boxes), a.Condition)
		}
		for _, v := range a.Image.Pix {
			if a.Bilevel && v != 0 && v != 255 {
				t.Errorf("%s: bilevel, and a pixel is %d", c.Name, v)
				break
			}
		}
	}
	if len(names) < 22 {
		t.Errorf("%d conditions", len(names))
	}
}

// Pens last through a bilevel scan, and of pencils the truth says where they do not.
func TestLostInBilevel(t *testing.T) {
	lost := func(name string, keeps uint8, o Options) (n, of int) {
		c, _ := Named(name)
		c.DPI, c.keeps = 100, keeps
		g, p := sample(c.DPI)
		for _, m := range c.Apply(g, p, nil, seeded(5), o).Truth {
			if m.Marked {
				of++
			}
			if m.Lost {
				n++
			}
		}
		return n, of
	}
	if n, of := lost("bilevel 200", 140, Ordinary); n > of/20 {
		t.Errorf("of %d marks by pen %d are lost", of, n)
	}
	if n, of := lost("pencil, bilevel 200", 60, Ordinary); n != of || n == 0 {
		t.Errorf("of %d marks by pencil %d are lost to a scan that keeps black alone", of, n)
	}
}

// How long a page takes, without its rendering.
func BenchmarkShot(b *testing.B) {
	for _, c := range Conditions {
		clean, p := sample(c.DPI)
		b.Run(c.Name, func(b *testing.B) {
			for i := range b.N {
				c.Apply(clean, p, clean, seeded(uint64(i)), Rough)
			}
		})
	}
}
