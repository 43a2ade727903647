package scribble

import (
	"hash/fnv"
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"jobsheaf/internal/manifest"
)

// Mark is the truth about one box.
type Mark struct {
	Box    string
	Kind   string   // tick, sign or blank, as the manifest has it
	Marked bool     // somebody wrote into it on purpose
	What   string   // kind of mark, such as "tick", "overshoot", "number"; "" where nothing was written
	Text   string   // what a number, a date or words say
	Hand   string   // whose
	Hard   bool     // a careful person may have to look twice, or something strayed into it
	Strays []string // what lies in it that is no mark of its own
	Lost   bool     // damage or a bilevel scan took much of it away: what is left may be read as either
}

// Truth is what is in the boxes of a page, in the order of its manifest.
type Truth []Mark

// Options says what is written on a page.
type Options struct {
	Empty  float64 // of all boxes, how many nobody writes into
	Hard   float64 // of all marks, how many are hard ones
	Strays float64 // how many strays of each kind a page has, on average
	Pencil bool    // all hands have a pencil
	// Leave says of a box that nobody writes into it; nil leaves that to Empty.
	Leave func(b *manifest.Box) bool
}

// Ordinary gives marks as careful people make them on a page that stays clean, a
// quarter of the boxes empty. Rough adds what goes wrong.
var (
	Ordinary = Options{Empty: 0.25}
	Rough    = Options{Empty: 0.35, Hard: 0.15, Strays: 0.3}
)

// written is a page while things happen to it.
type written struct {
	canvas
	clean *image.Gray // as it was printed
	page  *manifest.Page
	truth Truth
}

// Write lets a hand or two write on a page. The picture is a rendering of that page at
// dpi; it is left as it is, and the one that is given back is a copy. Other is what is
// on the back of the sheet, for strays that shine through; it may be nil.
func Write(img *image.Gray, dpi float64, p *manifest.Page, other *image.Gray, rng *rand.Rand, o Options) (*image.Gray, Truth) {
	w := write(img, dpi, p, other, rng, o)
	return w.img, w.truth
}

func write(img *image.Gray, dpi float64, p *manifest.Page, other *image.Gray, rng *rand.Rand, o Options) *written {
	w := &written{canvas: canvas{img: clone(img), ppm: dpi / 25.4}, clean: img, page: p, truth: make(Truth, len(p.Boxes))}
	one, two := someHand(rng, o.Pencil), someHand(rng, o.Pencil)
	habit := one.ticks[rng.IntN(len(one.ticks))]
	for i, b := range p.Boxes {
		w.truth[i] = Mark{Box: b.ID, Kind: b.Kind}
	}
	for i, b := range p.Boxes {
		m := &w.truth[i]
		if chance(rng, o.Empty) || o.Leave != nil && o.Leave(&p.Boxes[i]) {
			continue
		}
		h := one
		if b.Kind == "sign" && chance(rng, 0.4) {
			h = two
		}
		m.Marked, m.Hand, m.Hard = true, h.Name, chance(rng, o.Hard)
		d := h.fill(rng, b, habit, m.Hard)
		m.What, m.Text = d.what, d.text
		if len(d.text) == 1 && d.what == "number" {
			m.What, m.Hard = "lone digit", true
		}
		for _, s := range d.strokes {
			w.paint(s, d.pen, rng.Uint32())
			w.enters(s, i)
		}
	}
	w.stray(rng, o, one, other)
	for i := range w.truth {
		if m := &w.truth[i]; len(m.Strays) > 0 && !m.Marked {
			m.Hard = true
		}
	}
	return w
}

// fill writes what a box asks for.
func (h *Hand) fill(rng *rand.Rand, b manifest.Box, habit string, hardOne bool) drawn {
	pale := hardOne && chance(rng, 0.3)
	hh := h
	if pale {
		hh = h.with(faint)
	}
	var d drawn
	switch b.Kind {
	case "tick":
		what := habit
		switch {
		case pale:
		case hardOne:
			what = pick(rng, "half outside", "dot", "broken", "tiny")
		case chance(rng, 0.25):
			what = pick(rng, "tick", "cross", "fill", "small", "overshoot", "slash", "dash", "initials")
		}
		d = hh.tick(rng, what, rectOf(b))
	case "sign":
		what := signs(b)
		switch {
		case pale:
		case hardOne:
			what = "tiny"
		case what == "signature" && chance(rng, 0.15):
			what = "name"
		}
		d = hh.sign(rng, what, b)
	default:
		what := asks(b)
		switch {
		case pale:
		case hardOne:
			what = pick(rng, "half outside", "lone digit")
		case chance(rng, 0.06):
			what = pick(rng, "n/a", "dash")
		case what == "number" && chance(rng, 0.08) && room(b).w > 22:
			what = "corrected"
		}
		d = hh.blank(rng, what, b)
	}
	if pale {
		d.what = "faint " + d.what
	}
	return d
}

// signs says how a hand signs in a box: in full, or by initials where that is asked for
// or there is no room.
func signs(b manifest.Box) string {
	if b.W < 20 || strings.HasSuffix(b.ID, ".done.by") {
		return "initials"
	}
	if b.Ask != nil {
		switch b.Ask.For {
		case manifest.ForStage, manifest.ForInitial, manifest.ForLockOn, manifest.ForProved, manifest.ForLockOff:
			return "initials"
		}
	}
	return "signature"
}

// asks says what a hand writes into a box that is no tick and no signature: what the
// manifest says it asks for, and else what its name sounds like.
func asks(b manifest.Box) string {
	if b.Ask != nil {
		switch b.Ask.For {
		case manifest.ForReading:
			return "number"
		case manifest.ForWords, manifest.ForMissed, manifest.ForNotDone:
			return "words"
		case manifest.ForLock, manifest.ForNumber:
			return "tag"
		case manifest.ForDue:
			return "date"
		}
	}
	end := b.ID[strings.LastIndexByte(b.ID, '.')+1:]
	switch {
	case end == "at":
		return "time"
	case end == "when" || end == "due":
		return "date"
	case end == "lock" || end == "number" || strings.HasPrefix(end, "lock"):
		return "tag"
	case end == "name":
		return "name"
	case end == "device" || end == "reason" || end == "why" || b.W > 45:
		return "words"
	}
	return "number"
}

// rim is how far inside the outline of a box its inside begins, mm: what touches the
// outline alone is in no box.
const rim = 0.4

// inside reports whether a pen of radius r at a place leaves ink within the outline.
func inside(b *manifest.Box, x, y, r float64) bool {
	k := rim - r - 0.2
	return x > float64(b.X)+k && x < float64(b.X+b.W)-k && y > float64(b.Y)+k && y < float64(b.Y+b.H)-k
}

// enters notes in which other boxes a stroke ends up; own is -1 if it is of no box.
func (w *written) enters(s stroke, own int) {
	w.entered(s, own, "a neighbour's mark")
}

func (w *written) entered(s stroke, own int, what string) {
	for i := range w.page.Boxes {
		b := &w.page.Boxes[i]
		if i == own {
			continue
		}
		if slices.ContainsFunc(s, func(n node) bool { return inside(b, n.x, n.y, n.r) }) {
			w.truth[i].add(what)
		}
	}
}

func (m *Mark) add(stray string) {
	if !slices.Contains(m.Strays, stray) {
		m.Strays = append(m.Strays, stray)
	}
}

// seen is the least change of grey that counts as something lying in a box.
const seen = 8

// happens lets something befall the page and notes which boxes it touched: as a stray
// where it darkens, as lost where it takes a good part of a mark away.
func (w *written) happens(what string, f func()) {
	before := clone(w.img)
	f()
	for i := range w.page.Boxes {
		m := &w.truth[i]
		dark, gone, ink := 0, 0, 0
		in := w.interior(&w.page.Boxes[i])
		for y := in.Min.Y; y < in.Max.Y; y++ {
			a, b := before.Pix[before.PixOffset(in.Min.X, y):], w.img.Pix[w.img.PixOffset(in.Min.X, y):]
			for x := range in.Dx() {
				switch d := int(a[x]) - int(b[x]); {
				case d > seen:
					dark++
				case d < -70:
					gone++
				}
				if a[x] < 150 {
					ink++
				}
			}
		}
		if dark > 0 {
			m.add(what)
			m.Hard = m.Hard || !m.Marked
		}
		if gone*4 > ink && gone > 0 {
			m.Lost, m.Hard = true, true
		}
	}
}

// fades notes which marks a bilevel scan will lose for the most part: their ink is
// paler than the threshold. It is an estimate, made before the page is laid on the glass.
func (w *written) fades(threshold uint8) {
	for i := range w.page.Boxes {
		m := &w.truth[i]
		if !m.Marked {
			continue
		}
		ink, left := 0, 0
		in := w.interior(&w.page.Boxes[i])
		for y := in.Min.Y; y < in.Max.Y; y++ {
			was, is := w.clean.Pix[w.clean.PixOffset(in.Min.X, y):], w.img.Pix[w.img.PixOffset(in.Min.X, y):]
			for x := range in.Dx() {
				if int(was[x])-int(is[x]) > 40 {
					ink++
					if span(22, 245)(float64(is[x])) <= float64(threshold) {
						left++
					}
				}
			}
		}
		if left*4 < ink || ink == 0 {
			m.Lost, m.Hard = true, true
		}
	}
}

// interior gives the pixels of a box within its rim.
func (w *written) interior(b *manifest.Box) image.Rectangle {
	px := func(v float64) int { return int(math.Round(v * w.ppm)) }
	return image.Rect(px(float64(b.X)+rim), px(float64(b.Y)+rim), px(float64(b.X+b.W)-rim), px(float64(b.Y+b.H)-rim)).Intersect(w.img.Rect)
}

func clone(g *image.Gray) *image.Gray {
	o := image.NewGray(g.Rect)
	copy(o.Pix, g.Pix)
	return o
}

// seeded gives the chances of one shot: other seeds, pages and conditions have others.
func seeded(seed uint64, names ...string) *rand.Rand {
	h := fnv.New64a()
	for _, n := range names {
		h.Write([]byte(n + "\x00"))
	}
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}
