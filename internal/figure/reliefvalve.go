package figure

import "jobsheaf/internal/page"

// reliefValve is the pump seen from the head, its relief valve with the
// adjusting cap toward the suction side.
var reliefValve = spec{
	name: "relief-valve", what: "Relief valve with its cap toward suction", least: 80,
	needs: []Need{{Name: "side", Kind: Text, What: "on which side the suction port is, seen from the head", OneOf: []string{"left", "right"}}},
	words: []string{"suction", "discharge", "relief_toward", "relief_cap", "relief_seen"},
	draw:  drawReliefValve,
}

func drawReliefValve(g *pen) error {
	s := -1.0 // where suction is
	if g.param("side") == "right" {
		s = 1
	}
	width := min(g.d.W, 150)
	f := frame{g.d.W / 2, 0, width / 100}
	y := g.middle(strong, 0, 0, g.d.W, g.words("relief_toward")) + 1
	f.y = y
	// Pump body on its foot, with two ports.
	g.shape(plain, &white, f.polygon(-14, 46, -20, 54, 20, 54, 14, 46))
	for _, e := range []float64{-1, 1} {
		g.shape(plain, &white, f.rect(min(e*14, e*30), 24, 16, 15))
		g.shape(plain, &white, f.rect(min(e*30, e*33), 21, 3, 21))
	}
	g.shape(heavy, &white, f.circle(0, 31.5, 18))
	g.stroke(plain, f.circle(0, 31.5, 14))
	for i := range 8 {
		cx, cy := f.at(0, 31.5)
		x, y := clock(cx, cy, 16*f.k, 22.5+45*float64(i))
		g.fill(&black, page.Circle(x, y, 0.7*f.k))
	}
	// The valve: body, and the cap as the black end.
	g.shape(heavy, &white, f.rect(-16, 2, 32, 11.5))
	g.shape(plain, &black, mirrorX(f, s, 16, 3.5, 22, 3.5, 25, 5.5, 25, 10, 22, 12, 16, 12))
	x1, y1 := f.at(-9*s, 7.75)
	x2, _ := f.at(16*s, 7.75)
	g.shape(plain, &white, mirrorX(f, s, -13, 4, -13, 11.5, -9, 10.6, -9, 4.9))
	g.helix(x1, x2, y1, 2.6*f.k, 7)
	// Which way it points.
	ax, ay := f.at(27*s, 7.75)
	bx, _ := f.at(40*s, 7.75)
	g.arrow(3*plain, 4, ax, ay, bx, ay)
	cx, cy := f.at(20.5*s, 7.75)
	g.bubble(cx, cy, "A")

	// Flow.
	for _, e := range []struct {
		at   float64
		word string
		in   bool
	}{{s, g.words("suction"), true}, {-s, g.words("discharge"), false}} {
		x1, y1 := f.at(e.at*46, 31.5)
		x2, _ := f.at(e.at*34.5, 31.5)
		if e.in {
			g.arrow(3*plain, 4, x1, y1, x2, y1)
		} else {
			g.arrow(3*plain, 4, x2, y1, x1, y1)
		}
		// The word stands under its arrow, broken to its side of the figure.
		w := g.d.W/2 - 20*f.k
		left := 0.0
		if e.at > 0 {
			left = g.d.W - w
		}
		_, ty := f.at(0, 43)
		g.middle(strong, left, ty, w, e.word)
	}
	_, low := f.at(0, 55)
	for _, wd := range []string{"suction", "discharge"} {
		_, ty := f.at(0, 43)
		low = max(low, ty+strong.tall(g.d.W/2-20*f.k, g.words(wd))+1)
	}
	low = g.legend(note, 0, low, g.d.W, 1, []entry{{"A", g.words("relief_cap")}})
	g.d.H = g.para(note, 0, low, g.d.W, g.words("relief_seen")) + 0.5
	return nil
}

// mirrorX is polygon with every x on the other side of the frame's zero where
// side is -1.
func mirrorX(f frame, side float64, xy ...float64) []page.Seg {
	for i := 0; i < len(xy); i += 2 {
		xy[i] *= side
	}
	return f.polygon(xy...)
}
