package figure

import "slices"

// section is a lengthwise section through the plane of both axes: a generic
// internal gear pump, schematic, drawn from how such a pump works and not after
// any maker's drawing. The head is on the left, the shaft end on the right.
var section = spec{
	name: "section", what: "Section through the pump, with its parts named", least: 95,
	needs: []Need{
		{Name: "half_rings", Kind: Text, What: "whether a half-ring pair holds the collar", OneOf: yesNo},
		{Name: "relief_valve", Kind: Text, What: "where the relief valve is", OneOf: []string{"none", "on-head", "on-casing"}},
		{Name: "bearing", Kind: Text, What: "the thrust bearing", OneOf: []string{"ball", "taper"}},
		{Name: "seal", Kind: Text, What: "the shaft seal", OneOf: []string{"component", "cartridge", "packing", "lip"}},
		{Name: "parts", Kind: List, What: "the parts to name; all where it is left out", Low: 1, High: float64(len(partKeys)), OneOf: partKeys, Optional: true},
	},
	words: partWords(),
	draw:  drawSection,
}

var yesNo = []string{"yes", "no"}

// partKeys are the parts that the section can name; each has the word
// "part." and its key in the catalogue.
var partKeys = []string{
	"casing", "rotor", "shaft", "idler", "idler_pin", "crescent", "head", "head_gasket", "bracket", "bracket_bushing",
	"idler_bushing", "seal_seat", "rotary_member", "set_collar", "seal_spring", "seal_holder", "bearing_housing", "bearing",
	"end_cap", "lip_seals", "lock_nut", "half_rings", "collars", "relief_valve", "cartridge", "packing", "gland", "shaft_lip_seals",
}

func partWords() []string {
	out := make([]string, len(partKeys))
	for i, k := range partKeys {
		out[i] = "part." + k
	}
	return out
}

// sectionPlace says where a leader touches a part, in the section's units, and
// whether its number stands above.
type sectionPlace struct {
	key  string
	x, y float64
	top  bool
}

var sectionPlaces = []sectionPlace{
	{"head", 18, -31, true}, {"head_gasket", 22.4, -33, true}, {"casing", 32, -30.5, true}, {"idler", 29, -22, true},
	{"rotor", 39.5, -21, true}, {"lip_seals", 107, -10.7, true}, {"bearing_housing", 112, -19.5, true}, {"bearing", 118, -15.6, true},
	{"end_cap", 133, -15.4, true}, {"lock_nut", 143.6, -8, true},
	{"idler_pin", 17, -3, false}, {"crescent", 25, 15.3, false}, {"idler_bushing", 31, 1, false}, {"bracket_bushing", 48, 7.6, false},
	{"bracket", 57, 25, false}, {"shaft", 97, 3, false}, {"half_rings", 107.6, 6.6, false},
	{"collars", 127, 7.5, false}, {"lip_seals", 133.6, 10.7, false},
}

// sealPlaces are the parts of each kind of shaft seal.
var sealPlaces = map[string][]sectionPlace{
	"component": {{"set_collar", 64.5, -9.4, true}, {"rotary_member", 77, -9.5, true}, {"seal_seat", 83.3, -9, true}, {"seal_holder", 89, -20, true}, {"seal_spring", 70.5, 10, false}},
	"cartridge": {{"cartridge", 80, -10.5, true}, {"seal_holder", 89, -20, true}, {"set_collar", 95, 9, false}},
	"packing":   {{"packing", 71, -11, true}, {"gland", 90, -20, true}},
	"lip":       {{"shaft_lip_seals", 77, -11, true}, {"seal_holder", 89, -20, true}},
}

func drawSection(g *pen) error {
	valve := g.param("relief_valve")
	left, up := 11.0, -35.0
	switch valve {
	case "on-head":
		left = -4
	case "on-casing":
		up = -54
	}
	const right, down = 161.0, 37.0
	k := (g.d.W - 1) / (right - left)
	const rows = 2*ball + 3 // room for a row of numbers
	f := frame{0.5 - left*k, rows - up*k, k}

	g.bracketPart(f)
	g.pumpEnd(f)
	g.shaftLine(f)
	g.sealPart(f, g.param("seal"))
	g.bearingPart(f, g.param("bearing") == "taper", g.param("half_rings") == "yes")
	parts := slices.Concat(sectionPlaces, sealPlaces[g.param("seal")])
	switch valve {
	case "on-head":
		g.valveOnHead(f)
		parts = append(parts, sectionPlace{"relief_valve", 5, -19, true})
	case "on-casing":
		g.valveOnCasing(f)
		parts = append(parts, sectionPlace{"relief_valve", 44, -47, true})
	}

	wanted := g.list("parts")
	var rowsOf []callout
	for _, p := range parts {
		if p.key == "half_rings" && g.param("half_rings") == "no" || len(wanted) > 0 && !slices.Contains(wanted, p.key) {
			continue
		}
		x, y := f.at(p.x, p.y)
		rowsOf = append(rowsOf, callout{x, y, g.words("part." + p.key), p.top})
	}
	slices.SortStableFunc(rowsOf, func(a, b callout) int {
		if a.x < b.x {
			return -1
		}
		return 1
	})
	bottom := f.y + down*k + rows - ball
	names := g.callouts(rowsOf, ball+0.3, bottom, rim, g.d.W-rim)
	g.d.H = g.nameList(names, bottom+ball+2) + 0.5
	return nil
}

// nameList sets the numbered names in columns under a drawing.
func (g *pen) nameList(names []string, y float64) float64 {
	columns := min(5, max(2, int(g.d.W/33)))
	each := g.d.W / float64(columns)
	per := (len(names) + columns - 1) / columns
	inset := mark.width("00") + 1.4
	lowest := y
	for c := range columns {
		at := y
		for i := c * per; i < min(len(names), (c+1)*per); i++ {
			x := float64(c) * each
			no := decimalText(float64(i+1), 0, "")
			g.text(mark, x+inset-1.4-mark.width(no), at+note.ascent(), no)
			at = g.para(note, x+inset, at, each-inset-2, names[i]) + 0.5
		}
		lowest = max(lowest, at)
	}
	return lowest
}

// bracketPart draws the bracket: what carries seal and bearing, on its foot.
func (g *pen) bracketPart(f frame) {
	for _, side := range []float64{-1, 1} {
		g.cut(f.mirror(side, 43, 9.2, 60, 9.2, 60, 16, 86, 16, 86, 25, 104, 25, 104, 22, 134, 22, 134, 29, 50, 29, 50, 34, 43, 34), 45, 1.9)
	}
	g.shape(plain, &white, f.polygon(84, 29, 128, 29, 132, 36.5, 80, 36.5))
	// Bracket bushing.
	for _, side := range []float64{-1, 1} {
		g.cut(f.mirror(side, 42.8, 6.1, 60, 6.1, 60, 9.2, 42.8, 9.2), 135, 1.1)
	}
}

// pumpEnd draws head, casing, idler on its pin, crescent and rotor.
func (g *pen) pumpEnd(f frame) {
	for _, side := range []float64{-1, 1} {
		g.cut(f.mirror(side, 22.8, 26.5, 43, 26.5, 43, 34, 22.8, 34), 135, 1.9)
		g.fill(&black, f.mirror(side, 21.9, 26.5, 22.9, 26.5, 22.9, 34, 21.9, 34)) // head gasket
	}
	// The head is one piece with the crescent; its hole holds the pin.
	g.cut(f.polygon(14, 0, 22, 0, 22, 13.4, 36, 13.4, 36, 17, 22, 17, 22, 34, 14, 34), 45, 1.7)
	g.cut(f.polygon(14, -34, 22, -34, 22, -12, 14, -12), 45, 1.7)
	// Rotor: teeth stand out from its web toward the head. At the top a gap
	// between teeth is cut, into which the idler's tooth reaches.
	g.cut(f.polygon(22.6, 17.5, 36.4, 17.5, 36.4, 6, 42.4, 6, 42.4, 26.1, 22.6, 26.1), 135, 1.3)
	g.cut(f.polygon(36.4, -6, 42.4, -6, 42.4, -26.1, 36.4, -26.1), 135, 1.3)
	g.stroke(thin, f.line(22.6, -26.1, 36.4, -26.1))
	// Idler: its teeth are not hatched, as is the custom for gears.
	g.shape(plain, &white, f.rect(22.5, -25.2, 13.6, 11))
	g.shape(plain, &white, f.rect(22.5, 2.2, 13.6, 10.9))
	g.cut(f.rect(22.5, -18.5, 13.6, 4.3), 45, 1.2)
	g.cut(f.rect(22.5, 2.2, 13.6, 4.2), 45, 1.2)
	// Bushing and pin: a pin is not hatched lengthwise.
	g.cut(f.rect(22.5, -14.2, 13.6, 2.2), 135, 0.9)
	g.cut(f.rect(22.5, 0, 13.6, 2.2), 135, 0.9)
	g.shape(plain, &white, f.rect(14, -12, 22, 12))
	g.centre(f, 11.5, -6, 38)
}

// centre draws the chain line of an axis, in units.
func (g *pen) centre(f frame, x1, y, x2 float64) {
	ax, ay := f.at(x1, y)
	bx, _ := f.at(x2, y)
	g.centreLine(ax, ay, bx, ay)
}

// shaftLine draws the shaft, which is not hatched, as is the custom.
func (g *pen) shaftLine(f frame) {
	g.shape(plain, &white, f.polygon(36.4, -6, 157, -6, 158, -5, 158, 5, 157, 6, 36.4, 6))
	g.stroke(thin, f.polygon(148.5, -2, 157, -2, 157, 2, 148.5, 2)) // key
	g.centre(f, 37.5, 0, 160.5)
}

// sealPart draws the shaft seal in its chamber.
func (g *pen) sealPart(f frame, kind string) {
	for _, side := range []float64{-1, 1} {
		switch kind {
		case "component":
			g.componentSeal(f, side)
		case "cartridge":
			g.cut(f.mirror(side, 61, 6, 97.5, 6, 97.5, 8, 61, 8), 45, 1.2) // sleeve
			g.cut(f.mirror(side, 92.8, 8, 97.5, 8, 97.5, 12, 92.8, 12), 135, 1.2)
			g.cut(f.mirror(side, 86, 9, 92, 9, 92, 25, 86, 25, 86, 15.8, 82, 15.8, 82, 13.6, 86, 13.6), 45, 1.4)
			g.cut(f.mirror(side, 77, 9, 86, 9, 86, 13.4, 82, 13.4, 82, 11, 77, 11), 135, 0.9)
			g.cut(f.mirror(side, 70, 8, 77, 8, 77, 12.4, 70, 12.4), 45, 1)
			x1, y := f.at(63, side*10.2)
			x2, _ := f.at(70, side*10.2)
			g.helix(x1, x2, y, 1.8*f.k, 4)
			g.shape(plain, &white, f.mirror(side, 61, 8, 63, 8, 63, 12.4, 61, 12.4))
		case "packing":
			for i := range 4 {
				x := 61 + 5*float64(i)
				g.crossed(f, x, x+5, side, 6.2, 15.8)
			}
			g.cut(f.mirror(side, 81.4, 7, 92, 7, 92, 25, 88, 25, 88, 15.6, 81.4, 15.6), 135, 1.4)
		case "lip":
			g.cut(f.mirror(side, 86, 7.4, 92, 7.4, 92, 25, 86, 25, 86, 15.8, 70, 15.8, 70, 13, 86, 13), 45, 1.4)
			g.crossed(f, 71, 77.5, side, 6.2, 13)
			g.crossed(f, 78.5, 85, side, 6.2, 13)
		}
	}
}

// componentSeal draws collar, spring, rotary member, seat and holder.
func (g *pen) componentSeal(f frame, side float64) {
	g.cut(f.mirror(side, 62, 6, 67, 6, 67, 12, 62, 12), 45, 1.2)
	g.shape(plain, &black, f.mirror(side, 63.8, 8, 65.2, 8, 65.2, 12, 63.8, 12)) // set screw
	x1, y := f.at(67, side*9)
	x2, _ := f.at(74.5, side*9)
	g.helix(x1, x2, y, 2.6*f.k, 4)
	g.cut(f.mirror(side, 74.5, 6, 80.4, 6, 80.4, 10.6, 77.6, 10.6, 77.6, 12.4, 74.5, 12.4), 135, 1)
	g.fill(&black, f.mirror(side, 75.3, 6, 77, 6, 77, 7.4, 75.3, 7.4)) // O-ring
	g.cut(f.mirror(side, 86, 7, 92, 7, 92, 25, 86, 25, 86, 15.8, 80.9, 15.8, 80.9, 13.4, 86, 13.4), 45, 1.4)
	g.cut(f.mirror(side, 80.4, 7, 86, 7, 86, 13.4, 82.2, 13.4, 82.2, 10.6, 80.4, 10.6), 45, 0.9)
}

// bearingPart draws the bearing housing with what is in it.
func (g *pen) bearingPart(f frame, taper, halves bool) {
	for _, side := range []float64{-1, 1} {
		g.cut(f.mirror(side, 104, 12.2, 110, 12.2, 110, 17, 138, 17, 138, 25, 134.5, 25, 134.5, 22, 104, 22), 135, 1.6)
		g.cut(f.mirror(side, 123.2, 13.9, 130.5, 13.9, 130.5, 12.2, 136.6, 12.2, 136.6, 9.7, 139.2, 9.7, 139.2, 17, 123.2, 17), 45, 1.4)
		// Collars; the inner one is hollow toward the rotor where half rings sit in
		// it.
		if halves {
			g.cut(f.mirror(side, 106, 8, 110, 8, 110, 6, 113, 6, 113, 9.4, 106, 9.4), 135, 1)
			g.shape(plain, &black, f.mirror(side, 106.2, 4.6, 109.6, 4.6, 109.6, 7.7, 106.2, 7.7))
		} else {
			g.cut(f.mirror(side, 106, 6, 113, 6, 113, 9.4, 106, 9.4), 135, 1)
		}
		g.cut(f.mirror(side, 123, 6, 139.6, 6, 139.6, 9.4, 123, 9.4), 135, 1)
		g.crossed(f, 104.8, 109.4, side, 9.4, 12.2)
		g.crossed(f, 131.2, 136, side, 9.4, 12.2)
		g.fill(&black, f.mirror(side, 139.8, 6, 141.2, 6, 141.2, 11, 139.8, 11)) // lock washer
		g.cut(f.mirror(side, 141.2, 6, 146.4, 6, 146.4, 10.4, 141.2, 10.4), 45, 1)
		// Bearing.
		if taper {
			for _, s := range []float64{0, 1} {
				x := 113 + 5*s
				g.cut(f.mirror(side, x, 6, x+5, 6, x+5, 8.4+1.6*s, x, 10-1.6*s), 45, 1)
				g.cut(f.mirror(side, x, 17, x+5, 17, x+5, 13.4+1.6*s, x, 15-1.6*s), 45, 1)
				g.shape(plain, &white, f.mirror(side, x+0.5, 10-1.6*s+0.1, x+4.5, 8.5+1.6*s+0.1, x+4.5, 13.3+1.6*s, x+0.5, 14.8-1.6*s))
			}
		} else {
			g.cut(f.mirror(side, 113, 6, 123, 6, 123, 9.6, 113, 9.6), 45, 1)
			g.cut(f.mirror(side, 113, 13.4, 123, 13.4, 123, 17, 113, 17), 45, 1)
			g.shape(plain, &white, f.circle(118, side*11.5, 2.7))
		}
	}
}

// crossed draws a soft seal in section as a crossed block, as is the custom:
// which way a lip points, another figure says.
func (g *pen) crossed(f frame, x1, x2, side, y1, y2 float64) {
	g.shape(plain, &white, f.mirror(side, x1, y1, x2, y1, x2, y2, x1, y2))
	g.stroke(thin, f.mirror(side, x1, y1, x2, y2))
	g.stroke(thin, f.mirror(side, x2, y1, x1, y2))
}

// valveOnHead draws a relief valve on the head's outside.
func (g *pen) valveOnHead(f frame) {
	g.cut(f.polygon(14, -22, -2, -22, -2, 12, 14, 12, 14, 9, 2, 9, 2, -17, 10, -17, 10, 5, 14, 5), 135, 1.7)
	g.shape(plain, &white, f.rect(2, -17, 8, 26))
	g.valveInside(f, 6, -17, 9)
	g.shape(plain, &white, f.polygon(1.5, -22, 1.5, -27, 3.5, -29, 8.5, -29, 10.5, -27, 10.5, -22))
}

// valveOnCasing draws a relief valve on top of the casing, lying across it.
func (g *pen) valveOnCasing(f frame) {
	g.cut(f.polygon(24, -34, 24, -52, 50, -52, 50, -36, 42, -36, 42, -34), 135, 1.7)
	g.shape(plain, &white, f.rect(27, -49, 20, 10))
	x1, y := f.at(33, -44)
	x2, _ := f.at(46.5, -44)
	g.shape(plain, &white, f.polygon(28, -40.5, 28, -47.5, 33, -47, 33, -41))
	g.helix(x1, x2, y, 2.6*f.k, 5)
	g.shape(plain, &white, f.polygon(50, -48.5, 55, -48.5, 57, -46.5, 57, -41.5, 55, -39.5, 50, -39.5))
}

// valveInside draws poppet and spring of a valve that stands upright.
func (g *pen) valveInside(f frame, x, top, bottom float64) {
	g.shape(plain, &white, f.polygon(x-3.4, bottom-1, x+3.4, bottom-1, x+3, bottom-6, x-3, bottom-6))
	px, y1 := f.at(x, top)
	_, y2 := f.at(x, bottom-6)
	g.helixUp(px, y1, y2, 2.6*f.k, 6)
}
