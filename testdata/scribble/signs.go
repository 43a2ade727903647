package scribble

import (
	"math"
	"math/rand/v2"
	"strings"
)

// signature is a capital's loop, letters that nobody can read, and a tail: it rarely
// stays in its box.
func (h *Hand) signature(rng *rand.Rand, x, y, w, height float64) []stroke {
	big := height * between(rng, 0.7, 1.15)
	start := x
	line := []point{{x, y - 0.1*big}}
	for range 1 + rng.IntN(2) { // loops of the capital
		ww := big * between(rng, 0.35, 0.6)
		line = append(line, point{x + 0.5*ww, y - big*between(rng, 0.8, 1.1)}, point{x + 0.1*ww, y - 0.9*big},
			point{x + 0.15*ww, y - 0.1*big}, point{x + 0.6*ww, y + between(rng, -0.05, 0.25)*big})
		x += ww * 0.8
	}
	end := x + max(w-(x-start), w*0.4)
	line, x = h.run(rng, line, x, y, end, big)
	switch rng.IntN(3) {
	case 0: // a tail that flies off
		line = append(line, point{x + big*between(rng, 0.5, 1.4), y - big*between(rng, 0.1, 0.7)})
	case 1: // it comes back under the name
		line = append(line, point{x + 0.3*big, y - 0.1*big}, point{x, y + 0.35*big}, point{x - 0.6*(x-start), y + between(rng, 0.3, 0.5)*big})
	default:
		a := start + between(rng, 0, 0.3)*w
		return []stroke{h.draw(rng, line), h.draw(rng, []point{{a, y + 0.3*big}, {a + w*between(rng, 0.4, 0.9), y + between(rng, 0.1, 0.3)*big}})}
	}
	return []stroke{h.draw(rng, line)}
}

// run goes on from a capital towards end: a quick hand in a wave that dies away, another
// in letters that get flatter and wider.
func (h *Hand) run(rng *rand.Rand, line []point, x, y, end, big float64) ([]point, float64) {
	size, flat := big*between(rng, 0.3, 0.42), 0.97
	if h.quick {
		flat = 0.8
	}
	for x < end-size*0.5 {
		pts := script[pick(rng, 'a', 'e', 'e', 'g', 'h', 'i', 'l', 'm', 'n', 'n', 'o', 'r', 's', 't', 'u')]
		stretch := size * between(rng, 0.9, 1.4) / flat
		for i, p := range pts {
			if i > 0 && p == pts[i-1] || i%3 == 2 && chance(rng, 0.35) { // corners round off, bits are left out
				continue
			}
			line = append(line, point{x + p.x*stretch - p.y*size*h.slant, y + p.y*size*between(rng, 0.8, 1.15) + between(rng, -0.04, 0.04)*big})
		}
		x += pts[len(pts)-1].x * stretch
		size *= flat
		if size < 0.12*big {
			return append(line, point{end, y - 0.05*big}), end
		}
	}
	return line, x
}

// name is a capital and a few letters that mean nobody.
func (h *Hand) name(rng *rand.Rand, r rect, y float64) []stroke {
	var small strings.Builder
	for range 2 + rng.IntN(3) {
		small.WriteString(pick(rng, "ar", "en", "il", "o", "u", "st", "me", "ly", "n"))
	}
	h1 := min(h.height*0.55, r.h*0.33)
	if w := h1 + h.wordLength(small.String(), h1); w > r.w*0.9 {
		h1 *= r.w * 0.9 / w
	}
	x := r.x + between(rng, 0.03, 0.1)*r.w
	out := h.text(rng, h.letters[:1], x, y, h1*2)
	rest, _ := h.word(rng, small.String(), x+h.length(h.letters[:1], h1*2)*0.9, y, h1)
	return append(out, rest...)
}

// monogram is the hand's initials.
func (h *Hand) monogram(rng *rand.Rand, x, y, w, height float64) ([]stroke, string) {
	size := min(height, w/(float64(len(h.letters))*(h.wide+0.16)))
	long := h.length(h.letters, size)
	x += max(0, (w-long)*between(rng, 0.1, 0.9))
	out := h.text(rng, h.letters, x, y, size)
	if h.quick { // a flick under or through them
		a := between(rng, -0.15, 0.2) * size
		out = append(out, h.draw(rng, []point{{x - 0.1*size, y + a}, {x + 0.8*long, y + a - 0.1*size}, {x + 1.3*long, y + a - math.Abs(a)}}))
	}
	return out, h.letters
}
