package figure

// lipSeals is the bearing housing above the shaft's axis, with the way that each
// lip points. The lips run on the collars.
var lipSeals = spec{
	name: "lip-seals", what: "Lip seals the right way round", least: 60,
	needs: []Need{
		{Name: "inner", Kind: Text, What: "where the lip of the seal in the housing points", OneOf: lipWays},
		{Name: "outer", Kind: Text, What: "where the lip of the seal in the end cap points", OneOf: lipWays},
		{Name: "bearing", Kind: Text, What: "the thrust bearing; a ball bearing where it is left out", OneOf: bearings, Optional: true},
		{Name: "half_rings", Kind: Text, What: "whether a half-ring pair holds the collar; left out, it does not", OneOf: yesNo, Optional: true},
	},
	words: []string{"lip_inner", "lip_outer", "lip_to_rotor", "lip_to_end", "rotor_end", "shaft_end", "part.bearing", "part.collars"},
	draw:  drawLipSeals,
}

var lipWays = []string{"rotor", "shaft-end"}

func drawLipSeals(g *pen) error {
	d := g.driveEndOf()
	f, low := g.upperHousing(d, min(g.d.W, 80), 0.3)
	// An arrow below each seal, on the shaft: its number stands at the tail.
	for i, seal := range []struct {
		x   float64
		way string
	}{{107, d.inner}, {133.4, d.outer}} {
		to := 1.0
		if seal.way == "rotor" {
			to = -1
		}
		const long = ball + 6.5
		x, y := f.at(seal.x-to*2, -2.4)
		x = min(max(x, long+0.5), g.d.W-long-0.5)
		g.arrow(3*plain, 4, x+to*(ball+0.6), y, x+to*long, y)
		g.bubble(x, y, string(rune('1'+i)))
	}
	for i, to := range [][4]float64{{119, -20, 117, -15.2}, {120.5, -2.4, 128, -7.6}} {
		x, y := f.at(to[0], to[1])
		px, py := f.at(to[2], to[3])
		g.leader(x, y, px, py)
		g.bubble(x, y, string(rune('3'+i)))
	}

	y := g.ends(low + 0.5)
	say := func(seal, way string) string {
		if way == "rotor" {
			return g.words("lip_"+seal) + ": " + g.words("lip_to_rotor")
		}
		return g.words("lip_"+seal) + ": " + g.words("lip_to_end")
	}
	g.d.H = g.legend(work, 0, y+1, g.d.W, max(1, int(g.d.W/42)), []entry{
		{"1", say("inner", d.inner)}, {"2", say("outer", d.outer)}, {"3", g.words("part.bearing")}, {"4", g.words("part.collars")}}) + 0.3
	return nil
}

// driveEndOf reads which drive end a figure is to show.
func (g *pen) driveEndOf() driveEnd {
	return driveEnd{taper: g.param("bearing") == "taper", halves: g.param("half_rings") == "yes", inner: g.param("inner"), outer: g.param("outer")}
}

// upperHousing draws the upper half of the bearing housing on its shaft, as wide
// as said, from the height top down, and gives its frame and the y below it.
func (g *pen) upperHousing(d driveEnd, width, top float64) (frame, float64) {
	const from, to = 101.0, 149.0
	k := (width - 1) / (to - from)
	f := frame{(g.d.W-width)/2 + 0.5 - from*k, top + 25.6*k, k}
	s := d.seat()
	g.fill(&white, f.rect(101, -shaftR, 48, shaftR))
	g.stroke(plain, f.line(101, -shaftR, 104.8, -shaftR, 104.8, -s, 149, -s))
	if !d.halves {
		g.stroke(plain, f.line(104.8, -s, 104.8, 0))
	}
	g.stroke(thin, f.line(139.8, -s+0.7, 148, -s+0.7))
	g.centre(f, 101, 0, 149)
	g.bearingPart(f, d, -1)
	g.radialScrew(f, -1)
	_, low := f.at(0, 0.6)
	return f, low
}
