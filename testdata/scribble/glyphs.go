package scribble

import (
	"math/rand/v2"
	"strings"
)

// glyphs are letters as the strokes that a hand aims at: places as x and y, x from 0 to 6,
// y from 0 at the top to a (10) on the line, one given twice a corner, a bar between strokes. Drawn by us.
var glyphs = map[rune]string{
	'0': "42 20 03 07 2a 4a 67 63 51 30", '1': "30 2a", '2': "02 20 40 52 45 0a 0a 6a", '3': "01 20 50 53 24 24 56 58 2a 09",
	'4': "40 06 06 66|40 40 4a", '5': "10 04 04 43 66 58 2a 09|10 60", '6': "50 22 06 09 2a 5a 67 45 16 08", '7': "00 60 60 2a",
	'8': "51 30 11 13 34 57 59 3a 09 17 44 52 51", '9': "52 30 03 15 45 52 52 4a",
	'/': "60 0b", '-': "05 55", '+': "05 65|32 38", ':': "33 34|39 3a", '.': "2a 3a", ',': "3a 3b 2c",
	'n': "04 0a 0a 05 34 56 5a", 'a': "55 34 06 09 2a 56 54 54 5a",
	'A': "0a 30 30 6a|16 56", 'B': "00 0a|01 40 53 15 45 68 4a 0a", 'C': "61 30 04 07 3a 69", 'D': "00 0a|00 40 64 67 3a 0a",
	'E': "51 20 12 34 34 16 09 2a 59", 'F': "00 0a|00 60|05 45", 'G': "61 30 04 08 3a 67 66 66 36", 'H': "00 0a|60 6a|05 65",
	'J': "40 48 2a 08|10 60", 'K': "00 0a|60 05 05 6a", 'L': "00 0a 0a 6a", 'M': "0a 10 10 36 36 50 50 6a", 'N': "0a 00 00 6a 6a 60",
	'P': "0a 00 00 40 63 35 05", 'R': "0a 00 00 40 63 35 05 25 6a", 'S': "61 30 12 34 57 4a 19 08", 'T': "00 60|30 3a",
	'U': "00 07 2a 4a 67 60", 'V': "00 3a 3a 60", 'W': "00 1a 1a 33 33 5a 5a 60", 'Y': "00 35 35|60 2a", 'Z': "00 60 60 0a 0a 6a",
}

// narrow are the letters that take less than the width of a digit.
var narrow = map[rune]float64{'.': 0.45, ',': 0.45, ':': 0.45, '1': 0.55, '/': 0.8, '-': 0.75, ' ': 0.6}

// shape gives the strokes of one letter in this hand, in the grid of glyphs.
func (h *Hand) shape(r rune) string {
	switch {
	case r == '7' && h.bar7:
		return "00 60 60 2a|15 55"
	case r == '1' && h.flag1:
		return "13 40 40 3a"
	case r == '4' && h.open4:
		return "10 05 05 65|42 4b"
	case r == '0' && h.quick:
		return "50 30 03 17 3a 56 63 41"
	}
	return glyphs[r]
}

func (h *Hand) advance(r rune) float64 {
	if w, ok := narrow[r]; ok {
		return w
	}
	return 1
}

// length says how wide a text becomes at a height, mm.
func (h *Hand) length(text string, height float64) float64 {
	w := 0.0
	for _, r := range text {
		w += h.advance(r) * height * (h.wide + 0.16)
	}
	return w
}

// text writes letters and digits from x on, standing on the line y.
func (h *Hand) text(rng *rand.Rand, text string, x, y, height float64) []stroke {
	var out []stroke
	lift := between(rng, -0.03, 0.03) // the line climbs or falls
	for _, r := range text {
		wide := height * h.wide
		adv := h.advance(r) * height * (h.wide + 0.16)
		if r == '.' || r == ',' || r == ':' || r == '1' {
			wide = adv * 0.8
		}
		size := height * between(rng, 1-2*h.loose, 1+2*h.loose)
		up := between(rng, -h.loose, h.loose)*height + lift*x*0.3
		for _, part := range strings.Split(h.shape(r), "|") {
			var pts []point
			var last string
			for _, at := range strings.Fields(part) {
				p := point{float64(at[0]-'0') / 6, (grid(at[1]) - 10) / 10}
				if at == last { // a corner stays one
					pts = append(pts, pts[len(pts)-1])
					continue
				}
				last = at
				gx := p.x*wide + between(rng, -h.loose, h.loose)*height - p.y*size*h.slant
				gy := p.y*size + between(rng, -h.loose, h.loose)*height
				pts = append(pts, point{x + gx, y + up + gy})
			}
			if len(pts) == 0 {
				continue
			}
			s := h.draw(rng, pts)
			if r == '.' || r == ':' || r == ',' { // pressed down
				for i := range s {
					s[i].r *= 1.25
					s[i].a = 1
				}
			}
			out = append(out, s)
		}
		x += adv * between(rng, 0.93, 1.1)
	}
	return out
}

func grid(b byte) float64 {
	if b >= 'a' {
		return float64(b-'a') + 10
	}
	return float64(b - '0')
}

// script are small letters that run on from one to the next: places from where the last
// one ended, in heights of a small letter, y down; the last is where the next begins.
var script = map[rune][]point{
	'a': {{0.5, -0.85}, {0.2, -0.9}, {0.05, -0.4}, {0.25, 0}, {0.5, -0.7}, {0.55, -0.05}, {0.8, -0.1}},
	'c': {{0.45, -0.8}, {0.2, -0.9}, {0.05, -0.4}, {0.25, 0}, {0.6, -0.1}},
	'd': {{0.5, -0.8}, {0.2, -0.9}, {0.05, -0.3}, {0.25, 0}, {0.5, -0.6}, {0.6, -2}, {0.58, -0.1}, {0.85, -0.1}},
	'e': {{0.3, -0.4}, {0.45, -0.85}, {0.22, -0.9}, {0.12, -0.35}, {0.35, 0}, {0.65, -0.15}},
	'g': {{0.5, -0.85}, {0.2, -0.9}, {0.05, -0.4}, {0.25, 0}, {0.5, -0.7}, {0.5, 0.7}, {0.25, 1}, {0.15, 0.6}, {0.8, -0.1}},
	'h': {{0.35, -1.2}, {0.4, -2}, {0.2, -1.7}, {0.15, 0}, {0.15, 0}, {0.4, -0.85}, {0.58, -0.7}, {0.6, -0.05}, {0.85, -0.1}},
	'i': {{0.18, -0.9}, {0.18, -0.9}, {0.22, -0.05}, {0.48, -0.12}},
	'k': {{0.35, -1.2}, {0.4, -2}, {0.2, -1.7}, {0.15, 0}, {0.15, 0}, {0.5, -0.85}, {0.25, -0.5}, {0.6, 0}, {0.8, -0.1}},
	'l': {{0.35, -1.2}, {0.42, -2}, {0.22, -1.8}, {0.2, -0.4}, {0.38, 0}, {0.6, -0.12}},
	'm': {{0.12, -0.85}, {0.15, 0}, {0.15, 0}, {0.34, -0.85}, {0.46, 0}, {0.46, 0}, {0.66, -0.85}, {0.78, -0.05}, {1, -0.1}},
	'n': {{0.12, -0.85}, {0.15, 0}, {0.15, 0}, {0.4, -0.9}, {0.55, -0.7}, {0.58, -0.05}, {0.82, -0.1}},
	'o': {{0.4, -0.85}, {0.15, -0.8}, {0.05, -0.3}, {0.3, 0}, {0.52, -0.45}, {0.38, -0.85}, {0.75, -0.75}},
	'p': {{0.12, -0.85}, {0.1, 0.95}, {0.1, 0.95}, {0.2, -0.6}, {0.45, -0.85}, {0.55, -0.3}, {0.25, 0}, {0.75, -0.1}},
	'r': {{0.12, -0.95}, {0.2, -0.8}, {0.42, -0.82}, {0.42, -0.2}, {0.65, -0.08}},
	's': {{0.32, -0.95}, {0.42, -0.3}, {0.2, 0}, {0.08, -0.12}, {0.6, -0.1}},
	't': {{0.24, -1.55}, {0.24, -1.55}, {0.24, -0.1}, {0.52, -0.12}},
	'u': {{0.1, -0.85}, {0.12, -0.2}, {0.3, 0}, {0.52, -0.85}, {0.52, -0.85}, {0.58, -0.05}, {0.82, -0.1}},
	'v': {{0.12, -0.85}, {0.28, 0}, {0.28, 0}, {0.5, -0.85}, {0.75, -0.75}},
	'w': {{0.1, -0.85}, {0.15, -0.1}, {0.3, 0}, {0.42, -0.7}, {0.5, -0.05}, {0.7, -0.1}, {0.8, -0.85}, {1, -0.75}},
	'y': {{0.1, -0.85}, {0.14, -0.2}, {0.35, -0.1}, {0.52, -0.85}, {0.45, 0.7}, {0.2, 0.95}, {0.12, 0.6}, {0.8, -0.1}},
}

// word writes small letters in one stroke, their dots and bars after it; h1 is the
// height of a small letter. It gives where it ends.
func (h *Hand) word(rng *rand.Rand, text string, x, y, h1 float64) ([]stroke, float64) {
	stretch := (0.8 + h.wide*0.6) * h1
	line, later := []point{{x, y - 0.1*h1}}, []stroke(nil)
	for _, r := range text {
		size := between(rng, 1-3*h.loose, 1+3*h.loose)
		place := func(p point) point {
			return point{x + p.x*stretch - p.y*h1*h.slant*0.8 + between(rng, -1, 1)*h.loose*h1, y + p.y*h1*size + between(rng, -1, 1)*h.loose*h1}
		}
		pts := script[r]
		for i, p := range pts {
			if i > 0 && p == pts[i-1] {
				line = append(line, line[len(line)-1])
				continue
			}
			line = append(line, place(p))
		}
		switch r {
		case 'i':
			d := place(point{0.3, -1.4})
			later = append(later, h.draw(rng, []point{d, {d.x + 0.12*h1, d.y + 0.1*h1}}))
		case 't':
			a, b := place(point{-0.12, -1.0}), place(point{0.6, -1.08})
			later = append(later, h.draw(rng, []point{a, b}))
		}
		if len(pts) > 0 {
			x += pts[len(pts)-1].x * stretch * between(rng, 0.92, 1.1)
		}
	}
	return append([]stroke{h.draw(rng, line)}, later...), x
}

// wordLength says how wide a word becomes, mm.
func (h *Hand) wordLength(text string, h1 float64) float64 {
	w := 0.0
	for _, r := range text {
		if pts := script[r]; len(pts) > 0 {
			w += pts[len(pts)-1].x
		}
	}
	return w * (0.8 + h.wide*0.6) * h1
}
