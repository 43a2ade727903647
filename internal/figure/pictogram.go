package figure

import (
	"math"
	"slices"

	"jobsheaf/internal/page"
)

// pictograms are the nine hazard pictograms of the GHS: a black symbol on white
// in a red frame, a square standing on a point. Drawn by us from simple shapes.
// Source: what each shows, United Nations GHS, annex 1 (from memory).
var pictograms = []spec{
	hazard("ghs01", "Exploding bomb", bomb()...),
	hazard("ghs02", "Flame", shift(flame, 0, 1), flat{&black, page.Rect(34, 69, 32, 3.6)}, shift(lick, 0, 1)),
	hazard("ghs03", "Flame over circle", resize(flame, 0.66, 0.66, 17, 4), resize(lick, 0.66, 0.66, 17, 4),
		disc(&black, 50, 58, 11.5), disc(&white, 50, 58, 7), flat{&black, page.Rect(36.5, 71.4, 27, 3.4)}),
	hazard("ghs04", "Gas cylinder", cylinder()...),
	hazard("ghs05", "Corrosion", corrosion...),
	hazard("ghs06", "Skull and crossbones", skull()...),
	hazard("ghs07", "Exclamation mark",
		shapeOf(&black, "M50 20C56 20 59.5 24 59 30L55.5 58C55 63 45 63 44.5 58L41 30C40.5 24 44 20 50 20Z"),
		disc(&black, 50, 73.5, 6.5)),
	hazard("ghs08", "Health hazard", bust()...),
	hazard("ghs09", "Environment", environment...),
}

// hazard frames a symbol. The frame is filled, 6 units wide, and dark enough to
// stay black on a printer without grey.
func hazard(name, what string, parts ...flat) spec {
	frame := []flat{
		shapeOf(&red, "M50 0.5L99.5 50L50 99.5L0.5 50Z"),
		shapeOf(&white, "M50 9.5L90.5 50L50 90.5L9.5 50Z"),
	}
	return signSpec(name, what, append(frame, parts...)...)
}

// across gives the vector of a length that stands square on a line.
func across(x1, y1, x2, y2, length float64) (dx, dy float64) {
	d := math.Hypot(x2-x1, y2-y1)
	return -(y2 - y1) / d * length, (x2 - x1) / d * length
}

// shift moves a shape.
func shift(f flat, dx, dy float64) flat { return resize(f, 1, 1, dx, dy) }

// resize stretches a shape about the origin, then moves it.
func resize(f flat, kx, ky, dx, dy float64) flat {
	segs := slices.Clone(f.segs)
	for i := range segs {
		for j := range segs[i].P {
			if j%2 == 0 {
				segs[i].P[j] = segs[i].P[j]*kx + dx
			} else {
				segs[i].P[j] = segs[i].P[j]*ky + dy
			}
		}
	}
	return flat{f.ink, segs}
}

var (
	flame = shapeOf(&black, "M50 66C37 66 31 57 34 47C36 40 42 37 40 27C46 30 49 36 48 41C52 35 54 27 50 17C61 24 66 35 62 44C65 43 66 40 65 36C71 44 71 53 67 59C63 64 58 66 50 66Z")
	lick  = shapeOf(&white, "M50 65C43 64 41 57 45 51C46 54 48 54 48 50C52 48 53 44 51 39C58 45 60 52 56 57C58 57 60 55 60 52C62 59 57 65 50 65Z")
)

// bomb is a sphere that bursts at its top right, with splinters flying off.
func bomb() []flat {
	star := make([]float64, 0, 44)
	for i := range 22 {
		r := 10.5
		if i%2 == 0 {
			r = 15 + 2.4*float64(i%3)
		}
		x, y := clock(55, 43, r, 360.0/22*float64(i))
		star = append(star, x, y)
	}
	out := []flat{
		disc(&black, 44, 56, 17.5),
		{&white, page.Polygon(star...)},
		// Cracks run from the burst into the sphere.
		shapeOf(&white, "M50 50L46 55L47.5 59L43 64L44.5 60L41.5 56L46 51Z"),
		shapeOf(&white, "M46 48L39 47L35 50L38 45L46 44Z"),
	}
	for _, i := range []float64{0, 1, 2, 3, 4, 5, 6} {
		a := -60 + 35*i
		l, m := clock(55, 43, 7, a-8)
		x, y := clock(55, 43, 16, a)
		n, o := clock(55, 43, 7, a+8)
		out = append(out, flat{&black, page.Polygon(l, m, x, y, n, o)})
	}
	for _, p := range [][3]float64{{68, 34, 3.4}, {73, 46, 2.6}, {62, 26, 2.6}, {52, 22, 3.4}, {43, 27, 2.8}, {70, 57, 3.2}, {79, 52, 2}, {35, 34, 2.6}, {60, 68, 2.4}} {
		out = append(out, flat{&black, page.Polygon(p[0]-p[2], p[1]+p[2]*0.3, p[0]-p[2]*0.1, p[1]-p[2], p[0]+p[2], p[1]-p[2]*0.2, p[0]+p[2]*0.3, p[1]+p[2])})
	}
	return out
}

// cylinder is a gas cylinder lying aslant.
func cylinder() []flat {
	turn := func(f flat) flat {
		f = resize(f, 0.92, 0.92, 4, 4)
		s, c := math.Sincos(-25 * math.Pi / 180)
		segs := slices.Clone(f.segs)
		for i := range segs {
			for j := 0; j < 6; j += 2 {
				x, y := segs[i].P[j]-50, segs[i].P[j+1]-50
				segs[i].P[j], segs[i].P[j+1] = 50+x*c-y*s, 50+x*s+y*c
			}
		}
		return flat{f.ink, segs}
	}
	return []flat{
		turn(shapeOf(&black, "M23 42C23 40 24 39 26 39L62 39C67 39 69 43 71 46.5L76 46.5L76 44L80 44L80 56L76 56L76 53.5L71 53.5C69 57 67 61 62 61L26 61C24 61 23 60 23 58Z")),
		turn(shapeOf(&white, "M27 42.5L62 42.5C64 42.5 65.5 44 66 45.5L27 45.5Z")),
	}
}

// skull, with crossed bones under it.
func skull() []flat {
	out := []flat{}
	for _, s := range []float64{-1, 1} {
		x1, y1, x2, y2 := 50-s*14, 60.0, 50+s*14, 68.0
		out = append(out, bar(&black, x1, y1, x2, y2, 5))
		for _, e := range [][2]float64{{x1, y1}, {x2, y2}} {
			dx, dy := across(x1, y1, x2, y2, 2.7)
			out = append(out, disc(&black, e[0]+dx, e[1]+dy, 3), disc(&black, e[0]-dx, e[1]-dy, 3))
		}
	}
	return append(out,
		shapeOf(&white, "M50 18.6C62 18.6 70 28 69.6 40C69 47 65 50 62 52L61 63L39 63L38 52C35 50 31 47 30.4 40C30 28 38 18.6 50 18.6Z"),
		shapeOf(&black, "M50 20C62 20 68.5 29 68 39C67.5 45 63 48 60.5 50L59.5 61L40.5 61L39.5 50C37 48 32.5 45 32 39C31.5 29 38 20 50 20Z"),
		disc(&white, 42.5, 40, 5), disc(&white, 57.5, 40, 5),
		shapeOf(&white, "M50 45L53.2 51L46.8 51Z"),
		bar(&white, 45.2, 55, 45.2, 61, 1.4), bar(&white, 50, 55, 50, 61, 1.4), bar(&white, 54.8, 55, 54.8, 61, 1.4))
}

// bust is a head and shoulders with a star burst in the chest.
func bust() []flat {
	star := make([]float64, 0, 32)
	for i := range 16 {
		r := 14.0
		if i%2 == 1 {
			r = 4.6
		} else if i%4 == 2 {
			r = 10
		}
		x, y := clock(50, 56, r, 22.5*float64(i))
		star = append(star, x, y)
	}
	return []flat{
		disc(&black, 50, 26.5, 8.6),
		shapeOf(&black, "M43 35L57 35C64 38 70 42 71 50L66 74L34 74L29 50C30 42 36 38 43 35Z"),
		{&white, page.Polygon(star...)},
	}
}

// corrosion: drops from two tubes eat into a block and a hand.
var corrosion = []flat{
	// Tubes, tipped away from each other, half full.
	bar(&black, 48.5, 22, 36, 36, 9), disc(&black, 48.2, 22.4, 4.5), bar(&white, 46.6, 21.6, 37, 32.4, 3.6), bar(&black, 30.6, 33.4, 38.6, 40.4, 2.4),
	bar(&black, 51.5, 22, 64, 36, 9), disc(&black, 51.8, 22.4, 4.5), bar(&white, 53.4, 21.6, 63, 32.4, 3.6), bar(&black, 69.4, 33.4, 61.4, 40.4, 2.4),
	// Drops.
	shapeOf(&black, "M34 43C36 47 36.5 49 34 49C31.5 49 32 47 34 43Z"), shapeOf(&black, "M34 51C36 55 36.5 57 34 57C31.5 57 32 55 34 51Z"),
	shapeOf(&black, "M66 43C68 47 68.5 49 66 49C63.5 49 64 47 66 43Z"), shapeOf(&black, "M66 51C68 55 68.5 57 66 57C63.5 57 64 55 66 51Z"),
	// The block, eaten.
	shapeOf(&black, "M24 58L29 58C29 62 32 61 33 65C36 66 36 60 40 58L47 58L47 68L31 68Z"),
	// The hand, eaten: palm down, fingers to the left.
	shapeOf(&black, "M74.8 57L74.8 64L67 69.5C59 71 52 70 50.5 68C49.5 66 51.5 64.5 54 65L60 65C55 63.5 52 61.5 53 59.8C54 58.4 58 59.6 61 60.6C61.6 64 64 62.6 65.4 66C68 66 68 60.6 70 58Z"),
	// Fumes.
	bar(&black, 29, 53, 28, 48, 1.4), bar(&black, 39, 53, 40, 48, 1.4), bar(&black, 61, 53, 60, 48, 1.4), bar(&black, 71, 53, 72, 48, 1.4),
}

// environment: a bare tree and a dead fish.
var environment = []flat{
	// Tree.
	shapeOf(&black, "M40 68L41 54L31 46L32.5 44L41 50L41 40L34 31L36 30L42 37L44 24L46 24L45.5 38L52 29L54 30L46.5 42L46.5 49L56 40L57.5 42L47 54L48.5 68Z"),
	// Ground and water.
	shapeOf(&black, "M31 67C38 65 46 66 52 69C46 73 40 76 36 73Z"),
	shapeOf(&black, "M50 61C55 55 65 55.5 70 60L74.5 55.5L73.5 60.5L74.3 65.4L70 63.2C65 68.5 56 69 50 61Z"),
	bar(&white, 54.8, 58.6, 58, 61.8, 1.2), bar(&white, 58, 58.6, 54.8, 61.8, 1.2),
	shapeOf(&black, "M59 57L64.5 51.5L65.5 58Z"),
	shapeOf(&black, "M46 76C50 73 54 79 58 76C60 74.5 62 74.5 64 76L62 78C58 78 56 82 50 78Z"),
}
