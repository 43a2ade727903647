package scribble

import (
	"image"
	"math"
	"math/rand/v2"
)

// Condition is what befalls a page after it was printed and written on, in the order in
// which it happens: damage, then copies, then the scan or the photograph, then the
// file. Low toner befalls it before anyone writes.
type Condition struct {
	Name   string
	DPI    float64 // at which it is printed and scanned here
	Pencil bool    // it is about pages written on with a pencil
	keeps  uint8   // of a bilevel scan: the palest grey that stays black, about
	print  func(w *written, rng *rand.Rand)
	befall map[string]func(w *written, rng *rand.Rand) // by name, as strays are called
	scan   func(w *written, rng *rand.Rand)            // nil: laid on a plain scanner
	file   func(w *written, rng *rand.Rand, s *Shot)   // nil: grey, as it is
}

// Shot is a page as it comes back.
type Shot struct {
	Image     *image.Gray
	DPI       float64 // as the file says; 0 of a photograph
	Bilevel   bool    // black and white alone
	JPEG      []byte  // the file, if it is one; Image is what it reads as
	Page      int     // its number
	Truth     Truth
	Condition string
}

// shoot puts a page through a condition. What it is given is used up.
func (c Condition) shoot(w *written, rng *rand.Rand) Shot {
	for _, what := range order(c.befall) {
		w.happens(what, func() { c.befall[what](w, rng) })
	}
	if c.keeps > 0 {
		w.fades(c.keeps)
	}
	if c.scan != nil {
		c.scan(w, rng)
	} else {
		w.glass(rng, 0, 0, 0, 1, 0.55)
	}
	s := Shot{Page: w.page.Number, Truth: w.truth, Condition: c.Name, DPI: math.Round(w.ppm * 25.4)}
	if c.file != nil {
		c.file(w, rng, &s)
	}
	s.Image = w.img
	return s
}

// How pages are laid on the glass. The picture of one that lies quite askew is larger
// than the page: at 5 degrees a picture of the page's size would cut off the codes.
func skewed(degrees float64) func(*written, *rand.Rand) {
	return func(w *written, rng *rand.Rand) {
		if degrees > 2 {
			k := degrees * 2.6 * w.ppm
			w.img = warp(w.img, w.img.Rect.Dx()+int(2*k), w.img.Rect.Dy()+int(2*k), shift(-k, -k), 246)
		}
		w.glass(rng, degrees*pick(rng, -1.0, 1.0), 0, 0, 1, 0.55)
	}
}

func turned(n int) func(*written, *rand.Rand) {
	return func(w *written, rng *rand.Rand) {
		w.glass(rng, 0, 0, 0, 1, 0.55)
		w.img = quarters(w.img, n)
	}
}

func scaled(k float64) func(*written, *rand.Rand) {
	return func(w *written, rng *rand.Rand) { w.glass(rng, 0, 0, 0, k, 0.55) }
}

func shifted(mm float64) func(*written, *rand.Rand) {
	return func(w *written, rng *rand.Rand) {
		w.glass(rng, 0, mm*pick(rng, -1.0, 1.0), mm*pick(rng, -1.0, 1.0), 1, 0.55)
	}
}

// Files.
func jpegOf(quality int) func(*written, *rand.Rand, *Shot) {
	return func(w *written, _ *rand.Rand, s *Shot) { w.img, s.JPEG = throughJPEG(w.img, quality) }
}

func blackAndWhite(threshold uint8) func(*written, *rand.Rand, *Shot) {
	return func(w *written, _ *rand.Rand, s *Shot) {
		if threshold == 0 {
			threshold := otsu(w.img)
			bilevel(w.img, threshold)
		} else {
			bilevel(w.img, threshold)
		}
		s.Bilevel = true
	}
}

func photographed(f photo) func(*written, *rand.Rand, *Shot) {
	return func(w *written, rng *rand.Rand, s *Shot) {
		w.img, s.JPEG = throughJPEG(f.take(w, rng), f.quality)
		s.DPI = 0
	}
}

// asItLies leaves what the glass would do to the camera.
func asItLies(*written, *rand.Rand) {}

func greasy(w *written, rng *rand.Rand) {
	for range 4 + rng.IntN(4) {
		w.grease(rng, w.anywhere(rng), between(rng, 5, 16))
	}
	w.fingerprint(rng, w.anywhere(rng))
	w.fingerprint(rng, w.anywhere(rng))
}

func creased(w *written, rng *rand.Rand) {
	pw, ph := float64(w.page.W), float64(w.page.H)
	w.fold(rng, point{pw / 2, ph * between(rng, 0.46, 0.54)}, between(rng, -0.02, 0.02))
	if chance(rng, 0.5) {
		w.fold(rng, point{pw * between(rng, 0.46, 0.54), ph / 2}, math.Pi/2+between(rng, -0.02, 0.02))
	}
	for range 2 {
		w.fold(rng, w.anywhere(rng), between(rng, 0, math.Pi))
	}
}

func secondCopy(w *written, rng *rand.Rand) {
	w.copied(rng, 0.3, 1, span(58, 246), 4)
	w.resample(150)
	w.copied(rng, 0.3, 1.002, span(22, 243), 4)
}

type befalls = map[string]func(*written, *rand.Rand)

// Conditions are all that a page may go through, by name.
var Conditions = []Condition{
	{Name: "clean 150", DPI: 150},
	{Name: "clean 200", DPI: 200},
	{Name: "clean 300", DPI: 300},
	{Name: "skew 1", DPI: 200, scan: skewed(1)},
	{Name: "skew 3", DPI: 200, scan: skewed(3)},
	{Name: "skew 5", DPI: 200, scan: skewed(5)},
	{Name: "turned 90", DPI: 200, scan: turned(1)},
	{Name: "turned 180", DPI: 200, scan: turned(2)},
	{Name: "turned 270", DPI: 200, scan: turned(3)},
	{Name: "blur", DPI: 200, scan: func(w *written, rng *rand.Rand) { w.glass(rng, 0, 0, 0, 1, between(rng, 1.5, 2)) }},
	{Name: "jpeg 40", DPI: 200, file: jpegOf(40)},
	{Name: "jpeg 25", DPI: 200, file: jpegOf(25)},
	{Name: "bilevel 200", DPI: 200, keeps: 140, file: blackAndWhite(140)},
	{Name: "bilevel 200 otsu", DPI: 200, keeps: 140, file: blackAndWhite(0)},
	{Name: "bilevel 300", DPI: 300, keeps: 150, file: blackAndWhite(150)},
	{Name: "grease", DPI: 200, befall: befalls{"grease": greasy}},
	{Name: "grease, bilevel 200", DPI: 200, befall: befalls{"grease": greasy}, keeps: 140, file: blackAndWhite(140)},
	{Name: "coffee", DPI: 200, befall: befalls{"a coffee ring": func(w *written, rng *rand.Rand) {
		w.ring(rng, w.anywhere(rng))
		w.ring(rng, w.anywhere(rng))
	}}},
	{Name: "dog ear", DPI: 200, befall: befalls{"a dog ear": func(w *written, rng *rand.Rand) { w.dogEar(rng, rng.IntN(4)) }}},
	{Name: "torn corner", DPI: 200, befall: befalls{"a tear": func(w *written, rng *rand.Rand) { w.torn(rng, rng.IntN(4)) }}},
	{Name: "creases", DPI: 200, befall: befalls{"a fold": creased}},
	{Name: "holes and staple", DPI: 200, befall: befalls{"a hole": func(w *written, rng *rand.Rand) { w.holes(rng) }}},
	{Name: "faint copy", DPI: 200, scan: func(w *written, rng *rand.Rand) {
		w.copied(rng, 0, 1, span(between(rng, 120, 150), 252), 4)
		w.glass(rng, 0, 0, 0, 1, 0.55)
	}},
	{Name: "dark copy", DPI: 200, scan: func(w *written, rng *rand.Rand) {
		tones(w.img, span(20, 215))
		w.copied(rng, 0.4, 1.01, contrast(between(rng, 150, 165), 1.6), 9)
		w.dust(rng)
		w.glass(rng, 0, 0, 0, 1, 0.55)
	}},
	{Name: "second copy", DPI: 200, scan: secondCopy},
	{Name: "photo, mild", DPI: 250, scan: asItLies, file: photographed(mild)},
	{Name: "photo, strong", DPI: 200, scan: asItLies, file: photographed(strong)},
	{Name: "scaled 97 %", DPI: 200, scan: scaled(0.97)},
	{Name: "shifted 3 mm", DPI: 200, scan: shifted(3)},
	{Name: "pencil", DPI: 200, Pencil: true},
	{Name: "pencil, bilevel 200", DPI: 200, Pencil: true, keeps: 165, file: blackAndWhite(165)},
	{Name: "black bed", DPI: 200, scan: func(w *written, rng *rand.Rand) { w.bed(rng, 8, between(rng, -6, 6)) }},
	{Name: "white bed", DPI: 200, scan: func(w *written, rng *rand.Rand) { w.bed(rng, 252, between(rng, -6, 6)) }},
	{Name: "low toner", DPI: 200, print: func(w *written, rng *rand.Rand) { w.lowToner(rng) }},
	{Name: "worn", DPI: 200, file: jpegOf(60), befall: befalls{
		"a fold": creased, "grease": greasy,
		"a smear": func(w *written, rng *rand.Rand) { w.smear(rng, w.anywhere(rng)); w.smear(rng, w.anywhere(rng)) },
		"dust":    func(w *written, rng *rand.Rand) { w.dust(rng) },
	}, scan: skewed(1.5)},
}
