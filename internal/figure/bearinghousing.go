package figure

import "slices"

// bearingHousing is the upper half of the bearing housing as it is built up, for
// the bearing that the unit has, with every part named.
var bearingHousing = spec{
	name: "bearing-housing", what: "Bearing housing built up, by its bearing", least: 70,
	needs: []Need{
		{Name: "bearing", Kind: Text, What: "the thrust bearing", OneOf: bearings},
		{Name: "inner", Kind: Text, What: "where the lip of the seal in the housing points", OneOf: lipWays},
		{Name: "outer", Kind: Text, What: "where the lip of the seal in the end cap points", OneOf: lipWays},
		{Name: "half_rings", Kind: Text, What: "whether a half-ring pair holds the collar", OneOf: yesNo},
	},
	words: []string{"part.bearing_housing", "part.end_cap", "part.radial_screw", "part.lip_seals", "part.collars", "part.lock_nut", "part.half_rings",
		"ball_pressed", "taper_first", "taper_cones", "taper_last", "rotor_end", "shaft_end"},
	draw: drawBearingHousing,
}

func drawBearingHousing(g *pen) error {
	d := g.driveEndOf()
	const row = 2*ball + 3
	width := min(g.d.W, 80)
	f, low := g.upperHousing(d, width, row)
	places := []sectionPlace{
		{"part.bearing_housing", 107, -19.5, true}, {"part.end_cap", 128.5, -15.6, true}, {"part.radial_screw", 136.2, -24, true},
		{"part.lip_seals", 105, -12.9, false}, {"part.lip_seals", 133, -12.9, false}, {"part.collars", 111.6, -7.6, false}, {"part.collars", 128, -7.6, false}, {"part.lock_nut", 143.6, -8, false},
	}
	if d.halves {
		places = append(places, sectionPlace{"part.half_rings", 106.8, -6.2, false})
	}
	if d.taper {
		places = append(places, sectionPlace{"taper_first", 114.6, -16, true}, sectionPlace{"taper_last", 123.4, -16, true}, sectionPlace{"taper_cones", 119, -8, false})
	} else {
		places = append(places, sectionPlace{"ball_pressed", 119, -15.6, true})
	}
	var parts []callout
	for _, p := range places {
		x, y := f.at(p.x, p.y)
		parts = append(parts, callout{x, y, g.words(p.key), p.top})
	}
	slices.SortStableFunc(parts, func(a, b callout) int {
		if a.x < b.x {
			return -1
		}
		return 1
	})
	left := (g.d.W - width) / 2
	bottom := low + 2 + ball
	names := g.callouts(parts, ball+rim, bottom, left+rim, left+width-rim)
	y := g.ends(bottom + ball + 1)
	g.d.H = g.nameList(names, y+1) + 0.3
	return nil
}

// ends says at the left and right edge which way rotor and shaft end lie, and
// gives the y below.
func (g *pen) ends(y float64) float64 {
	left, right := "←\u00a0"+g.words("rotor_end"), g.words("shaft_end")+"\u00a0→"
	w := min(strong.width(left)+0.1, g.d.W/2-2)
	low := g.para(strong, 0, y, w, left)
	for _, l := range strong.wrap(g.d.W-w-3, right) {
		g.text(strong, g.d.W-strong.width(l), y+strong.ascent(), l)
		y += strong.lead()
	}
	return max(y, low)
}
