package scribble

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"

	"jobsheaf/internal/manifest"
)

// rect is a box or a part of one, mm.
type rect struct{ x, y, w, h float64 }

func rectOf(b manifest.Box) rect {
	return rect{float64(b.X), float64(b.Y), float64(b.W), float64(b.H)}
}

// room is the part of a box where a hand would write: most keep left of what is printed.
func room(b manifest.Box) rect {
	r := rectOf(b)
	for _, p := range b.Printed {
		if x := float64(p.X); p.Text != "" && x > r.x+0.4*r.w {
			r.w = min(r.w, x-r.x-0.3)
		}
	}
	return r
}

// drawn is what a hand put into a box.
type drawn struct {
	what, text string
	strokes    []stroke
	pen        pen
}

// tick makes a mark in a box to tick, of the kind that is named.
func (h *Hand) tick(rng *rand.Rand, what string, r rect) drawn {
	s := min(r.w, r.h) * h.size * between(rng, 0.85, 1.15)
	cx := r.x + r.w/2 + between(rng, -0.12, 0.12)*r.w
	cy := r.y + r.h/2 + between(rng, -0.12, 0.12)*r.h
	d := drawn{what: what, pen: h.pen}
	at := func(x, y float64) point {
		return point{cx + (x-y*h.slant*0.5+between(rng, -1.2, 1.2)*h.loose)*s, cy + (y+between(rng, -1.2, 1.2)*h.loose)*s}
	}
	line := func(pts ...point) { d.strokes = append(d.strokes, h.draw(rng, pts)) }
	check := func() {
		low := at(-0.08, 0.34)
		line(at(-0.36, 0.02), at(-0.24, 0.14), low, low, at(0.14, -0.12), at(0.48, -0.52))
	}
	switch what {
	case "tick":
		check()
	case "overshoot":
		low := at(-0.05, 0.38)
		far := between(rng, 1.0, 1.9)
		line(at(-0.42, -0.02), at(-0.26, 0.16), low, low, at(0.25, -0.2), at(0.6*far, -0.62*far))
	case "small":
		s *= 0.55
		check()
	case "tiny":
		s *= 0.3
		check()
	case "half outside":
		a := between(rng, 0, 2*math.Pi)
		cx, cy = r.x+r.w*(0.5+0.45*math.Cos(a)), r.y+r.h*(0.5+0.45*math.Sin(a))
		s = max(s, 0.9*min(r.w, r.h))
		check()
	case "cross":
		line(at(-0.38, -0.4), at(0, 0), at(0.4, 0.4))
		line(at(0.4, -0.42), at(0, 0), at(-0.4, 0.38))
	case "slash":
		line(at(-0.42, 0.44), at(0.02, 0), at(0.46, -0.46))
	case "dash":
		line(at(-0.4, 0.04), at(0, 0), at(0.4, -0.04))
	case "fill":
		s = min(s, 1.15*min(r.w, r.h))
		var pts []point
		for i, n := 0, 7+rng.IntN(5); i < n; i++ {
			t := (float64(i)/float64(n-1) - 0.5) * 0.8
			y := 0.42
			if i%2 == 0 {
				y = -y
			}
			pts = append(pts, at(t+y*0.25, y*between(rng, 0.8, 1.05)))
		}
		line(pts...)
	case "initials":
		d.strokes, d.text = h.monogram(rng, r.x+0.1*r.w, r.y+0.82*r.h, 0.9*r.w, min(0.7*r.h, h.height))
	case "dot":
		p := at(between(rng, -0.1, 0.1), between(rng, -0.1, 0.1))
		line(p, point{p.x + 0.25, p.y + 0.1})
		for i := range d.strokes[0] {
			d.strokes[0][i].r = max(d.strokes[0][i].r*1.5, 0.3)
		}
	case "broken": // the pen left out the middle
		check()
		st := d.strokes[0]
		from, n := int(float64(len(st))*between(rng, 0.25, 0.45)), len(st)/3
		d.strokes = []stroke{st[:from], st[min(from+n, len(st)):]}
	default:
		panic("scribble: no such tick: " + what)
	}
	return d
}

// line writes one line of text into a room, at the hand's own height where it fits.
func (h *Hand) line(rng *rand.Rand, text string, r rect, from float64) []stroke {
	height := min(h.height, 0.72*r.h)
	if w := h.length(text, height); w > r.w*1.02 {
		height *= max(r.w*1.02/w, 0.45)
	}
	y := r.y + r.h - (r.h-height)*between(rng, 0.25, 0.75)
	slack := r.w - h.length(text, height)
	return h.text(rng, text, r.x+max(0.5, slack*between(rng, from, from+0.35)), y, height)
}

// blank writes into a box that asks for a reading, a time or words.
func (h *Hand) blank(rng *rand.Rand, what string, b manifest.Box) drawn {
	r := room(b)
	d := drawn{what: what, pen: h.pen}
	switch what {
	case "number":
		d.text = h.reading(rng, b.Ask)
		d.strokes = h.line(rng, d.text, r, 0.1)
	case "lone digit":
		d.text = strconv.Itoa(rng.IntN(10))
		d.strokes = h.line(rng, d.text, r, 0.2)
	case "time":
		d.text = fmt.Sprintf("%d%s%02d", rng.IntN(24), pick(rng, ":", "."), 5*rng.IntN(12))
		d.strokes = h.line(rng, d.text, r, 0.1)
	case "date":
		day, month, year := 1+rng.IntN(28), 1+rng.IntN(12), 26+rng.IntN(3)
		d.text = pick(rng, fmt.Sprintf("%d/%d/%d", day, month, year), fmt.Sprintf("%d.%d.%d", day, month, year), fmt.Sprintf("20%d-%02d-%02d", year, month, day))
		if r.w > 27 {
			d.text += fmt.Sprintf(" %d:%02d", rng.IntN(24), rng.IntN(60))
		}
		d.strokes = h.line(rng, d.text, r, 0)
	case "tag": // a lock's or an instrument's number
		d.text = pick(rng, "", "A", "L", "K") + strconv.Itoa(10+rng.IntN(900))
		d.strokes = h.line(rng, d.text, r, 0.1)
	case "n/a":
		d.text = pick(rng, "n/a", "N/A")
		d.strokes = h.line(rng, d.text, r, 0.1)
	case "dash":
		x, y, w := r.x+r.w*between(rng, 0.15, 0.3), r.y+r.h*between(rng, 0.4, 0.65), min(r.w*0.6, 14)
		d.strokes = []stroke{h.draw(rng, []point{{x, y}, {x + w/2, y + between(rng, -0.4, 0.4)}, {x + w, y - between(rng, -0.3, 0.8)}})}
	case "name":
		d.strokes = h.name(rng, r, r.y+r.h*between(rng, 0.65, 0.8))
	case "words":
		d.strokes, d.text = h.words(rng, r)
	case "corrected": // one line through it, and the right figure beside
		was := h.reading(rng, b.Ask)
		d.text = h.reading(rng, b.Ask)
		left := rect{r.x, r.y, r.w * 0.48, r.h}
		old := h.line(rng, was, left, 0.05)
		d.strokes = append(old, h.draw(rng, through(old, rng)))
		d.strokes = append(d.strokes, h.line(rng, d.text, rect{r.x + r.w*0.5, r.y, r.w * 0.5, r.h}, 0.05)...)
	case "half outside":
		d.text = h.reading(rng, b.Ask)
		r.y += r.h * pick(rng, -0.45, 0.45)
		d.strokes = h.line(rng, d.text, r, 0.1)
	default:
		panic("scribble: no such writing: " + what)
	}
	return d
}

// through is a line over what was written.
func through(old []stroke, rng *rand.Rand) []point {
	x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, s := range old {
		for _, n := range s {
			x0, x1, y0, y1 = min(x0, n.x), max(x1, n.x), min(y0, n.y), max(y1, n.y)
		}
	}
	mid := func() float64 { return y0 + (y1-y0)*between(rng, 0.4, 0.62) }
	return []point{{x0 - 0.8, mid()}, {(x0 + x1) / 2, mid()}, {x1 + 0.9, mid()}}
}

// sign puts a name to the work.
func (h *Hand) sign(rng *rand.Rand, what string, b manifest.Box) drawn {
	r := rectOf(b)
	d := drawn{what: what, pen: h.pen}
	low := r.y + r.h*between(rng, 0.7, 0.85)
	switch what {
	case "initials":
		d.strokes, d.text = h.monogram(rng, r.x+0.06*r.w, low, r.w*0.88, min(h.height*1.15, 0.7*r.h))
	case "signature":
		d.strokes = h.signature(rng, r.x+between(rng, 0.03, 0.12)*r.w, low, r.w*between(rng, 0.75, 1.05), r.h*between(rng, 0.7, 1.0))
	case "name":
		d.strokes = h.name(rng, r, low)
	case "tiny":
		d.strokes, d.text = h.monogram(rng, r.x+0.3*r.w, low, r.w*0.3, 0.25*r.h)
	default:
		panic("scribble: no such signature: " + what)
	}
	return d
}

var vocabulary = strings.Fields("seal leak loose tight worn ok new old none dry wet nut ring shim oil hot cold pitted scored light heavy missing replaced cleaned gasket housing inner outer screw casing on site not at hand tool dull see note two three")

// words writes as many as fit, on two lines in a tall box.
func (h *Hand) words(rng *rand.Rand, r rect) ([]stroke, string) {
	h1 := min(h.height*0.52, r.h*0.3)
	lines := 1
	if r.h > 14 {
		lines = int(r.h / 8)
	}
	var out []stroke
	var said []string
	for l := range lines {
		x, y := r.x+between(rng, 0.8, 2), r.y+(float64(l)+between(rng, 0.62, 0.72))*r.h/float64(lines)
		full := r.x + r.w*between(rng, 0.5, 1)
		for n := 0; ; n++ {
			w := vocabulary[rng.IntN(len(vocabulary))]
			size := h1
			if long := h.wordLength(w, size); x+long > full {
				if n > 0 {
					break
				}
				size *= min(1, max(0.6, (r.x+r.w-x)/long))
			}
			strokes, end := h.word(rng, w, x, y+between(rng, -0.2, 0.2), size)
			out, said, x = append(out, strokes...), append(said, w), end+h1*between(rng, 0.6, 1.1)
		}
	}
	return out, strings.Join(said, " ")
}

// reading is a figure as this hand writes it: mostly within the limits, if there are any.
func (h *Hand) reading(rng *rand.Rand, a *manifest.Ask) string {
	v := pick(rng, between(rng, 0, 1), between(rng, 0, 10), between(rng, 10, 100), between(rng, 10, 100), between(rng, 100, 2000))
	decimals := rng.IntN(4)
	if a != nil && a.Low != nil && a.High != nil {
		over := (*a.High - *a.Low) * 0.15
		v = between(rng, *a.Low-over, *a.High+over)
		decimals = 2
		if w := *a.High - *a.Low; w < 0.5 && w > 0 {
			decimals = 3
		} else if w > 20 {
			decimals = 0
		}
	} else if v > 100 {
		decimals = 0
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if h.comma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s
}
