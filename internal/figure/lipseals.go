package figure

import "jobsheaf/internal/page"

// lipSeals is the bearing housing above the shaft's axis, its two lip seals
// large, with the way that each lip points.
var lipSeals = spec{
	name: "lip-seals", what: "Lip seals the right way round", least: 85,
	needs: []Need{
		{Name: "inner", Kind: Text, What: "where the lip of the seal in the housing points", OneOf: lipWays},
		{Name: "outer", Kind: Text, What: "where the lip of the seal in the end cap points", OneOf: lipWays},
	},
	words: []string{"lip_inner", "lip_outer", "lip_to_rotor", "lip_to_end", "rotor_end", "shaft_end", "part.bearing", "part.shaft"},
	draw:  drawLipSeals,
}

var lipWays = []string{"rotor", "shaft-end"}

func drawLipSeals(g *pen) error {
	width := min(g.d.W, 140)
	f := frame{(g.d.W - width) / 2, 1, width / 100}
	// Housing, end cap, bearing, shaft.
	g.cut(f.polygon(8, 4, 92, 4, 92, 9, 30, 9, 30, 16, 12, 16, 12, 28, 8, 28), 135, 2)
	g.cut(f.polygon(62, 9, 92, 9, 92, 28, 88, 28, 88, 16, 70, 16, 70, 12, 62, 12), 45, 1.7)
	g.cut(f.rect(36, 9, 20, 8), 45, 1.3)
	g.cut(f.rect(36, 25, 20, 9), 45, 1.3)
	g.shape(plain, &white, f.circle(46, 21, 5.4))
	g.shape(plain, &white, f.polygon(2, 34, 98, 34, 98, 46, 2, 46))
	g.centre(f, 0.5, 46, 99.5)
	g.fill(&white, f.rect(1.5, 46.2, 97, 0.6))

	for i, seal := range []string{"inner", "outer"} {
		x1 := 14.0 + 58*float64(i)
		to := 1.0
		if g.param(seal) == "rotor" {
			to = -1
		}
		g.bigLip(f, x1, x1+14, to)
		// The arrow stands below the shaft's edge, clear of everything.
		mid := x1 + 7
		ax, ay := f.at(mid-to*7, 41)
		bx, _ := f.at(mid+to*9, 41)
		g.arrow(3*plain, 4, ax, ay, bx, ay)
		cx, cy := f.at(mid-to*10.5, 41)
		g.bubble(cx, cy, string(rune('1'+i)))
	}
	x, y := f.at(46, 21)
	g.bubble(x, y, "3")
	x, y = f.at(50, 40)
	g.bubble(x, y, "4")

	_, y = f.at(0, 47)
	y += 1
	left, right := "← "+g.words("rotor_end"), g.words("shaft_end")+" →"
	half := g.d.W/2 - 2
	low := g.para(strong, 0, y, half, left)
	for _, l := range strong.wrap(half, right) {
		g.text(strong, g.d.W-strong.width(l), y+strong.ascent(), l)
		y += strong.lead()
	}
	say := func(seal string) string {
		if g.param(seal) == "rotor" {
			return g.words("lip_"+seal) + ": " + g.words("lip_to_rotor")
		}
		return g.words("lip_"+seal) + ": " + g.words("lip_to_end")
	}
	g.d.H = g.legend(work, 0, max(y, low)+1.5, g.d.W, 2, []entry{{"1", say("inner")}, {"2", say("outer")}, {"3", g.words("part.bearing")}, {"4", g.words("part.shaft")}}) + 0.3
	return nil
}

// bigLip draws a lip seal between x1 and x2 whose open side, with lip and
// spring, is to the right where to is 1 and to the left where it is -1.
func (g *pen) bigLip(f frame, x1, x2, to float64) {
	back, open := x1, x2
	if to < 0 {
		back, open = x2, x1
	}
	at := func(t float64) float64 { return back + (open-back)*t }
	// Metal case and rubber, in one black piece with the lip running down to
	// the shaft at the open side.
	g.fill(&black, f.polygon(
		at(0), 16.2, at(0.85), 16.2, at(0.85), 18.6, at(0.2), 18.6, at(0.2), 25,
		at(0.45), 27.5, at(0.62), 29.5, at(0.92), 29.2, at(0.8), 33.9, at(0.72), 33.9, at(0.5), 31.6, at(0), 28.5))
	x, y := f.at(at(0.76), 27.6)
	g.shape(plain, &white, page.Circle(x, y, 1.9*f.k))
}
