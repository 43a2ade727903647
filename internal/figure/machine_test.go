package figure

import (
	"math"
	"slices"
	"strconv"
	"testing"

	"jobsheaf/internal/page"
)

// alone draws one part in units, about the axis at zero.
func alone(draw func(*pen, frame)) []page.Path {
	g := &pen{d: Drawing{W: 200, H: 200}}
	draw(g, frame{0, 0, 1})
	return g.d.Paths
}

// points gives the corners of a path.
func points(p page.Path) (out [][2]float64) {
	for _, e := range flatten(nil, p.Segs) {
		out = append(out, [2]float64{e.x1, e.y1})
	}
	return out
}

// widestAt gives the greatest radius that a part has between two places of the
// axis, leastAt the smallest.
func widestAt(paths []page.Path, x1, x2 float64) float64 {
	r := 0.0
	for _, p := range paths {
		for _, c := range points(p) {
			if c[0] >= x1 && c[0] <= x2 {
				r = max(r, math.Abs(c[1]))
			}
		}
	}
	return r
}

func leastAt(paths []page.Path, x1, x2 float64) float64 {
	r := math.Inf(1)
	for _, p := range paths {
		for _, c := range points(p) {
			if c[0] >= x1 && c[0] <= x2 {
				r = min(r, math.Abs(c[1]))
			}
		}
	}
	return r
}

// What is screwed to the stuffing box comes off toward the shaft end, through the
// bore in which the bearing housing was.
func TestSealHolderPassesTheBoreThatItLeavesThrough(t *testing.T) {
	var bracket []page.Path
	for _, p := range alone((*pen).bracketPart) {
		if p.Even { // what is cut
			bracket = append(bracket, p)
		}
	}
	bore := leastAt(bracket, 104, 134)
	if bore < 15 || bore > 30 {
		t.Fatalf("the bore is %v", bore)
	}
	for _, seal := range []string{"component", "cartridge", "packing", "lip"} {
		paths := alone(func(g *pen, f frame) { g.sealPart(f, seal, 1) })
		if r := widestAt(paths, 86.5, 100); r >= bore || r < 12 {
			t.Errorf("%s: what comes off is %v in radius, the bore %v", seal, r, bore)
		}
		if r, box := widestAt(paths, 60, 78), leastAt(bracket, 60.1, 85); r > box {
			t.Errorf("%s: what turns is %v in radius, the stuffing box %v", seal, r, box)
		}
	}
	stack := stackOf("single-spring", true)
	holder := stack[len(stack)-1]
	if r := widestAt(alone(func(g *pen, f frame) { holder.draw(g, f, 0, 1) }), 0, 100); r >= bore {
		t.Errorf("the stack's holder is %v in radius, the bore %v", r, bore)
	}
	// The bearing housing fills the bore.
	if r := widestAt(alone(func(g *pen, f frame) { g.bearingPart(f, driveEnd{}, 1) }), 104, 134); math.Abs(r-bore) > 1e-9 {
		t.Errorf("the bearing housing is %v in radius, its bore %v", r, bore)
	}
}

func TestLipSealsRunOnTheCollars(t *testing.T) {
	for _, taper := range []bool{false, true} {
		for _, halves := range []bool{false, true} {
			for _, way := range lipWays {
				d := driveEnd{taper: taper, halves: halves, inner: way, outer: way}
				paths := alone(func(g *pen, f frame) { g.bearingPart(f, d, 1) })
				lips := 0
				for _, p := range paths {
					if len(p.Segs) != 14 || p.Fill == nil || *p.Fill != black {
						continue
					}
					lips++
					tip := [2]float64{0, math.Inf(1)}
					least, most := math.Inf(1), math.Inf(-1)
					for _, c := range points(p) {
						least, most = min(least, c[0]), max(most, c[0])
						if c[1] < tip[1] {
							tip = c
						}
					}
					if tip[1] <= d.seat()+1 {
						t.Errorf("%+v: a lip at %v is on the shaft", d, tip)
					}
					// Beneath it a part in section ends at just that radius.
					runs := slices.ContainsFunc(paths, func(q page.Path) bool {
						return q.Even && slices.ContainsFunc(flatten(nil, q.Segs), func(e edge) bool {
							return e.y1 == e.y2 && math.Abs(e.y1-tip[1]) < 1e-9 && min(e.x1, e.x2) < tip[0] && max(e.x1, e.x2) > tip[0]
						})
					})
					if !runs {
						t.Errorf("%+v: nothing is beneath the lip at %v", d, tip)
					}
					if toward := tip[0] < (least+most)/2; toward != (way == "rotor") {
						t.Errorf("lip %s: its tip is at %v between %v and %v", way, tip[0], least, most)
					}
				}
				if lips != 2 {
					t.Errorf("%+v: %d lips", d, lips)
				}
			}
		}
	}
}

// Adjusted by the end cap, the wide ends of the outer rings are toward each other
// and the large ends of the inner rings together; anything else falls apart or
// cannot be assembled.
func TestTaperedBearingsFaceEachOther(t *testing.T) {
	const middle = 119.0
	rings := map[string]int{}
	for _, p := range alone(func(g *pen, f frame) { g.taperedPair(f, neckR, 1) }) {
		if !p.Even && (p.Fill == nil || len(p.Segs) != 5) {
			continue
		}
		near, far := [2]float64{math.Inf(1), 0}, [2]float64{math.Inf(1), 0} // least and greatest radius
		for _, c := range points(p) {
			end := &far
			if math.Abs(c[0]-middle) < 3 {
				end = &near
			}
			end[0], end[1] = min(end[0], c[1]), max(end[1], c[1])
		}
		switch {
		case near[0] == neckR: // inner ring
			rings["inner"]++
			if near[1] <= far[1] {
				t.Errorf("the large end of an inner ring is outside")
			}
		case near[1] == 17: // outer ring
			rings["outer"]++
			if near[0] <= far[0] {
				t.Errorf("the wide end of an outer ring is outside")
			}
		default:
			rings["roller"]++
			if near[1]-near[0] <= far[1]-far[0]-1e-9 || near[0] <= far[0] {
				t.Errorf("a roller's large end is outside")
			}
		}
	}
	if rings["inner"] != 2 || rings["outer"] != 2 || rings["roller"] != 2 {
		t.Errorf("found %v", rings)
	}
}

// drawnTeeth counts the teeth of a rotor or of an idler in a drawing.
func drawnTeeth(d Drawing) (rotor, idler int) {
	for _, p := range d.Paths {
		curves := 0
		for _, s := range p.Segs {
			if s.Op == page.Curve {
				curves++
			}
		}
		switch n := len(p.Segs) - 1; {
		case p.Fill == nil:
		case p.Even && curves == 0 && n == 4, !p.Even && curves == 2 && n == 4 && p.Stroke != nil: // a tooth that stands alone
			rotor++
		case curves == 0 && n%4 == 0 && n >= 16 && *p.Fill == white:
			idler = n / 4
		}
	}
	return rotor, idler
}

func TestTeethAreTheSameInAllFigures(t *testing.T) {
	words := english(t)
	for _, c := range []struct {
		given        map[string]float64
		odd          string
		rotor, idler int
	}{
		{nil, "", usualRotor, usualIdler}, {nil, "yes", usualRotor, usualIdler}, {nil, "no", usualRotor - 1, usualIdler},
		{map[string]float64{"rotor_teeth": 9, "idler_teeth": 6}, "", 9, 6},
	} {
		count := func(name string, texts map[string]string) (int, int) {
			t.Helper()
			numbers := map[string]float64{}
			for k, v := range c.given {
				numbers[k] = v
			}
			if name == "gears" {
				numbers["port_angle"] = 180
			}
			if c.odd != "" {
				texts["odd_teeth"] = c.odd
			}
			d, err := Draw(name, Params{Numbers: numbers, Texts: texts, Words: words}, 90)
			if err != nil {
				t.Fatal(err)
			}
			return drawnTeeth(d)
		}
		if r, i := count("gears", map[string]string{}); r != c.rotor || i != c.idler {
			t.Errorf("gears: %d and %d teeth", r, i)
		}
		if r, _ := count("wear-points", map[string]string{"part": "rotor"}); r != c.rotor {
			t.Errorf("worn rotor: %d teeth", r)
		}
		if _, i := count("wear-points", map[string]string{"part": "idler"}); i != c.idler {
			t.Errorf("worn idler: %d teeth", i)
		}
		if r, _ := count("feature", map[string]string{"feature": "rotor_outside"}); r != c.rotor {
			t.Errorf("small rotor: %d teeth", r)
		}
	}
	if usualRotor <= usualIdler || usualRotor%2 == 0 {
		t.Errorf("%d teeth round %d: the idler within has fewer, and the usual number is the odd one", usualRotor, usualIdler)
	}
}

// The head's fasteners stand where the figure of their tightening has them.
func TestHeadBoltsStandAlike(t *testing.T) {
	for _, place := range []string{"on-head", "on-casing"} {
		for _, n := range []int{6, 8} {
			d, err := Draw("relief-valve", Params{Numbers: map[string]float64{"head_bolts": float64(n)},
				Texts: map[string]string{"side": "left", "place": place}, Words: english(t)}, 100)
			if err != nil {
				t.Fatal(err)
			}
			var at [][2]float64
			for _, p := range d.Paths {
				if len(p.Segs) == 6 && p.Fill != nil && *p.Fill == black && p.Stroke == nil {
					r := (p.Segs[0].P[0] - p.Segs[2].P[4]) / 2
					at = append(at, [2]float64{p.Segs[0].P[0] - r, p.Segs[0].P[1]})
				}
			}
			if len(at) != n {
				t.Fatalf("%s: %d bolts of %d", place, len(at), n)
			}
			cx, cy := 0.0, 0.0
			for _, p := range at {
				cx, cy = cx+p[0]/float64(n), cy+p[1]/float64(n)
			}
			for i, p := range at {
				a := math.Atan2(p[0]-cx, cy-p[1]) * 180 / math.Pi
				if off := math.Mod(a-boltAngle(i, n)+540, 360) - 180; math.Abs(off) > 1e-6 {
					t.Errorf("%s: bolt %d of %d stands at %.2f degrees", place, i+1, n, a)
				}
			}
		}
	}
}

// Number 1 of the seal's parts is on the drive side, and the stack is in the order
// in which the parts sit on the shaft.
func TestSealStackIsInOrderFromTheDriveSide(t *testing.T) {
	words := english(t)
	for kind, want := range map[string][]string{
		"single-spring":    {"seal_holder", "holder_gasket", "seat_ring", "seal_seat", "rotary_member", "member_ring", "washer", "seal_spring", "set_collar"},
		"multiple-springs": {"seal_holder", "holder_gasket", "seat_ring", "seal_seat", "rotary_member", "member_ring", "seal_springs", "spring_holder"},
		"bellows":          {"seal_holder", "holder_gasket", "seat_ring", "seal_seat", "bellows"},
	} {
		d, err := Draw("seal-stack", Params{Texts: map[string]string{"type": kind}, Words: words}, 110)
		if err != nil {
			t.Fatal(err)
		}
		right := math.Inf(1)
		for n := range want {
			for _, b := range bubblesOf(d) {
				if b.what == "bubble "+strconv.Itoa(n+1) {
					if b.x1 >= right {
						t.Errorf("%s: number %d is not to the left of the one before", kind, n+1)
					}
					right = b.x1
				}
			}
			// The name stands beside its number in the list.
			word := words("figure.part." + want[n])
			beside := slices.ContainsFunc(d.Texts, func(a page.Text) bool {
				return a.S == strconv.Itoa(n+1) && slices.ContainsFunc(d.Texts, func(b page.Text) bool {
					return b.Y == a.Y && b.X > a.X && b.X-a.X < 8 && len(word) >= len(b.S) && word[:len(b.S)] == b.S
				})
			})
			if !beside {
				t.Errorf("%s: %q is not number %d", kind, word, n+1)
			}
		}
		if len(bubblesOf(d)) != len(want) {
			t.Errorf("%s: %d numbers", kind, len(bubblesOf(d)))
		}
	}
}

// The idler slides off a pin that points down: the head is drawn with its pin
// pointing up and clear of the rotor, and crossed out the other way.
func TestHeadIsTiltedWithItsPinUp(t *testing.T) {
	for _, lift := range []string{"hands", "sling"} {
		d, err := Draw("head-off", Params{Texts: map[string]string{"lift": lift}, Words: english(t)}, 88)
		if err != nil {
			t.Fatal(err)
		}
		var idlers [][]edge // each begins with its upper edge, from head to tip
		rotor := math.Inf(1)
		for _, p := range d.Paths {
			switch {
			case p.Width == heavy && len(p.Segs) == 5 && p.Fill != nil && *p.Fill == white:
				idlers = append(idlers, flatten(nil, p.Segs))
			case p.Even && len(p.Segs) == 7: // the rotor, cut
				for _, c := range points(p) {
					rotor = min(rotor, c[0])
				}
			}
		}
		if len(idlers) != 2 || math.IsInf(rotor, 1) {
			t.Fatalf("%s: %d idlers, the rotor at %v", lift, len(idlers), rotor)
		}
		if e := idlers[0][0]; e.y2 >= e.y1 || e.x2 <= e.x1 {
			t.Errorf("%s: the pin runs from (%.1f, %.1f) to (%.1f, %.1f)", lift, e.x1, e.y1, e.x2, e.y2)
		}
		for _, e := range idlers[0] {
			if e.x1 >= rotor {
				t.Errorf("%s: the idler is still in the rotor at %.1f", lift, e.x1)
			}
		}
		if e := idlers[1][0]; e.y2 <= e.y1 {
			t.Errorf("%s: what is crossed out has its pin up", lift)
		}
	}
}

// Each point of the sketch that is on the pump hangs on it.
func TestIsolationShowsVentAndJacketOnThePump(t *testing.T) {
	lists := func(at ...string) map[string][]string {
		out := map[string][]string{"at": at}
		for i := range at {
			out["points"] = append(out["points"], "P"+strconv.Itoa(i))
			out["energies"] = append(out["energies"], "liquid")
			out["devices"] = append(out["devices"], "valve")
		}
		return out
	}
	valves := func(at ...string) (n int, ring bool) {
		d, err := Draw("isolation", Params{Lists: lists(at...), Words: english(t)}, 90)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range d.Paths {
			switch {
			case len(p.Segs) == 5 && p.Width == plain && p.Fill != nil && *p.Fill == white && p.Segs[0].P[1] != p.Segs[1].P[1]:
				n++
			case len(p.Segs) == 6 && p.Width == plain && p.Segs[0].P[0]-p.Segs[2].P[4] > 2*pumpR:
				ring = true
			}
		}
		return n, ring
	}
	for _, c := range []struct {
		at    []string
		count int
		ring  bool
	}{
		{[]string{"drive", "suction"}, 1, false}, {[]string{"suction", "vent", "drain"}, 3, false},
		{[]string{"suction", "jacket supply"}, 2, true}, {[]string{"suction", "jacket supply", "jacket return"}, 3, true}, {[]string{"vent", "seal flush"}, 2, false}, {[]string{"elsewhere"}, 0, false},
	} {
		if n, ring := valves(c.at...); n != c.count || ring != c.ring {
			t.Errorf("%v: %d valves, jacket %v", c.at, n, ring)
		}
	}
}

// The points of a machine that is no pump stand around a box, each place by its name once,
// and no pipe is drawn.
func TestIsolationOfAMachineThatIsNoPump(t *testing.T) {
	p := Params{Words: english(t), Texts: map[string]string{"machine": "C-07"}, Lists: map[string][]string{
		"points": {"E1", "A1", "A2", "S1", "X1"}, "energies": {"electrical", "air", "air", "mechanical", "air"},
		"devices": {"starter", "valve", "bleed", "spring", "valve"}, "at": {"drive", "gate air", "gate bleed", "take up", "elsewhere"},
	}}
	for _, w := range []float64{70, 90, 180} {
		d, err := Draw("isolation", p, w)
		if err != nil {
			t.Fatal(err)
		}
		count := map[string]int{}
		for _, text := range d.Texts {
			count[text.S]++
		}
		for _, want := range []string{"C-07", "gate air", "gate bleed", "take up", p.Words("figure.drive")} {
			if count[want] != 1 {
				t.Errorf("at %v mm: %q stands %d times", w, want, count[want])
			}
		}
		for _, not := range []string{"suction", "discharge", "pump"} {
			if count[p.Words("figure."+not)] > 0 {
				t.Errorf("at %v mm: %q is drawn", w, not)
			}
		}
		for _, path := range d.Paths {
			if len(path.Segs) == 5 && path.Segs[0].P[1] != path.Segs[1].P[1] {
				t.Errorf("at %v mm: a valve is drawn", w)
			}
		}
	}
}
