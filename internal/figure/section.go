package figure

import "slices"

// section is a lengthwise section through the plane of both axes: a generic
// internal gear pump, schematic, drawn from how such a pump works and not after
// any maker's drawing. The head is on the left, the shaft end on the right.
var section = spec{
	name: "section", what: "Section through the pump, with its parts named", least: 160,
	needs: []Need{
		{Name: "half_rings", Kind: Text, What: "whether a half-ring pair holds the collar", OneOf: yesNo},
		{Name: "relief_valve", Kind: Text, What: "where the relief valve is", OneOf: []string{"none", "on-head", "on-casing"}},
		{Name: "bearing", Kind: Text, What: "the thrust bearing", OneOf: bearings},
		{Name: "seal", Kind: Text, What: "the shaft seal", OneOf: []string{"component", "cartridge", "packing", "lip"}},
		{Name: "parts", Kind: List, What: "the parts to name; all where it is left out", low: 1, high: float64(len(partKeys)), OneOf: partKeys, Optional: true},
	},
	words: append(partWords(), "section_turned", "section_ports"),
	draw:  drawSection,
}

var (
	yesNo    = []string{"yes", "no"}
	bearings = []string{"ball", "taper"}
)

// partKeys are the parts that the section can name; each has the word
// "part." and its key in the catalogue.
var partKeys = []string{
	"casing", "rotor", "shaft", "idler", "idler_pin", "crescent", "head", "head_gasket", "head_screw", "port", "gauge_port", "vent_plug", "drain_plug",
	"bracket", "bracket_bushing", "window", "access_plug", "idler_bushing", "seal_seat", "rotary_member", "set_collar", "seal_spring",
	"seal_holder", "holder_gasket", "holder_screw", "bearing_housing", "face_screw", "bearing", "end_cap", "radial_screw", "lip_seals",
	"lock_nut", "half_rings", "collars", "key", "relief_valve", "cartridge", "packing", "gland", "shaft_lip_seals",
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
	{"head_screw", 11.5, -30.5, true}, {"head", 18, -27, true}, {"head_gasket", 22.4, -34, true}, {"gauge_port", 26.5, -35, true}, {"vent_plug", 34.5, -35.5, true}, {"casing", 40, -32, true},
	{"idler", 29, -22, true}, {"rotor", 39.5, -21, true}, {"access_plug", 64.5, -24.5, true}, {"window", 95, -25.5, true},
	{"lip_seals", 107, -11.2, true}, {"bearing_housing", 113, -19.5, true}, {"bearing", 119, -16.2, true},
	{"end_cap", 128, -15.7, true}, {"face_screw", 136.8, -19.6, true}, {"lock_nut", 143.6, -8.5, true}, {"key", 153, -1, true},
	{"idler_pin", 17, -3, false}, {"crescent", 24.5, 15.3, false}, {"port", 24.2, 3.9, false}, {"idler_bushing", 29.5, 1.1, false}, {"drain_plug", 34.5, 35.5, false},
	{"bracket_bushing", 50, 7.6, false}, {"bracket", 55, 21, false}, {"shaft", 98, 3, false}, {"half_rings", 106.8, 6.6, false},
	{"collars", 128, 7.8, false}, {"lip_seals", 133.4, 11.2, false}, {"collars", 111.8, 7.8, false}, {"radial_screw", 136.2, 23.5, false},
}

// sealPlaces are the parts of each kind of shaft seal.
var sealPlaces = map[string][]sectionPlace{
	"component": {{"set_collar", 63, -10.5, true}, {"rotary_member", 77, -9.5, true}, {"seal_seat", 83.3, -9, true}, {"seal_holder", 88.5, -12, true}, {"holder_screw", 92.8, -18.4, true},
		{"holder_gasket", 86, 20, false}, {"seal_spring", 70.5, 10, false}},
	"cartridge": {{"cartridge", 80, -10.5, true}, {"seal_holder", 88.5, -14.2, true}, {"holder_screw", 92.8, -18.4, true}, {"holder_gasket", 86, 20, false}, {"set_collar", 95, 9, false}},
	"packing":   {{"packing", 71, -11, true}, {"gland", 89, -13.5, true}, {"holder_screw", 92.8, -18.4, true}},
	"lip":       {{"shaft_lip_seals", 77, -11, true}, {"seal_holder", 88.5, -12, true}, {"holder_screw", 92.8, -18.4, true}, {"holder_gasket", 86, 20, false}},
}

func drawSection(g *pen) error {
	valve := g.param("relief_valve")
	left, up := 8.0, -38.0
	switch valve {
	case "on-head":
		left = -4
	case "on-casing":
		up = -54
	}
	const right, down = 161.0, 38.0
	k := (g.d.W - 1) / (right - left)
	const rows = 2*ball + 3 // room for a row of numbers
	f := frame{0.5 - left*k, rows - up*k, k}
	d := driveEnd{taper: g.param("bearing") == "taper", halves: g.param("half_rings") == "yes"}

	g.bracketPart(f)
	g.pumpEnd(f)
	g.driveEndShaft(f, d, 36.4)
	for _, side := range []float64{-1, 1} {
		g.sealPart(f, g.param("seal"), side)
		g.bearingPart(f, d, side)
	}
	g.faceScrew(f, -1)
	g.radialScrew(f, 1)
	g.portBehind(f)
	g.centre(f, 37.5, 0, 160.5)
	parts := slices.Concat(sectionPlaces, sealPlaces[g.param("seal")])
	switch valve {
	case "on-head":
		g.valveOnHead(f)
		parts = append(parts, sectionPlace{"relief_valve", 0, -19.5, true})
	case "on-casing":
		g.valveOnCasing(f)
		parts = append(parts, sectionPlace{"relief_valve", 44, -50.5, true})
	}

	wanted := g.list("parts")
	var rowsOf []callout
	for _, p := range parts {
		if p.key == "half_rings" && !d.halves || (p.key == "vent_plug" || p.key == "gauge_port") && valve == "on-casing" || len(wanted) > 0 && !slices.Contains(wanted, p.key) {
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
	y := g.nameList(names, bottom+ball+2)
	y = g.para(note, 0, y+0.5, g.d.W, g.words("section_ports"))
	if valve != "none" {
		y = g.para(note, 0, y, g.d.W, g.words("section_turned"))
	}
	g.d.H = y + 0.5
	return nil
}

// nameList sets the numbered names in columns under a drawing.
func (g *pen) nameList(names []string, y float64) float64 {
	columns := min(6, max(2, int(g.d.W/29)))
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
