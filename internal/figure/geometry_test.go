package figure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"jobsheaf/internal/page"
)

// ruledLines gives the x of every upright line of a stroke width, with the
// heights between which it runs.
func ruledLines(d Drawing, width float64) (out [][3]float64) {
	for _, p := range d.Paths {
		if p.Stroke == nil || p.Width != width || p.Fill != nil {
			continue
		}
		for i := 0; i+1 < len(p.Segs); i++ {
			a, b := p.Segs[i], p.Segs[i+1]
			if a.Op == page.Move && b.Op == page.Line && a.P[0] == b.P[0] {
				out = append(out, [3]float64{a.P[0], min(a.P[1], b.P[1]), max(a.P[1], b.P[1])})
			}
		}
	}
	return out
}

// pieces gives the outlines of a strip's pieces: left, right, top.
func pieces(d Drawing) (out [][3]float64) {
	for _, p := range d.Paths {
		if len(p.Segs) == 5 && p.Fill == nil && p.Segs[4].Op == page.Close && math.Abs(p.Segs[2].P[1]-p.Segs[0].P[1]-stripH) < 1e-9 {
			out = append(out, [3]float64{p.Segs[0].P[0], p.Segs[1].P[0], p.Segs[0].P[1]})
		}
	}
	return out
}

// onStrip gives the distance from zero, along the strip, of each tick that
// stands on the top or the bottom edge.
func onStrip(d Drawing, top bool) (out []float64) {
	from := 0.0
	for _, p := range pieces(d) {
		for _, l := range ruledLines(d, thin) {
			edge := math.Abs(l[2]-(p[2]+stripH)) < 1e-9 && l[1] > p[2]+stripH/2
			if top {
				edge = math.Abs(l[1]-p[2]) < 1e-9 && l[2] < p[2]+stripH/2
			}
			if edge {
				out = append(out, from+l[0]-p[0])
			}
		}
		from += p[1] - p[0]
	}
	return out
}

func has(t *testing.T, what string, list []float64, want float64) {
	t.Helper()
	for _, v := range list {
		if math.Abs(v-want) <= 0.01 {
			return
		}
	}
	t.Errorf("%s: nothing at %.3f mm", what, want)
}

func stripOf(t *testing.T, d, lead, travel, top, us, width float64, turn string) Drawing {
	t.Helper()
	out, err := Draw("strip", Params{
		Numbers: map[string]float64{"diameter": d, "lead": lead, "travel": travel, "max_clearance": top, "us": us},
		Texts:   map[string]string{"travel": "so far", "clearance": "so much", "turn_in": turn},
		Words:   english(t),
	}, width)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// The worked example of the issue: an outside arc that is 250 times the
// clearance makes 0.003 in of clearance 0.75 in of travel.
func TestStripMarksThreeThousandthsAtThreeQuartersOfAnInch(t *testing.T) {
	d := 250 * 2 / math.Pi
	s := stripOf(t, d, 2, 0.75*25.4, 0.3, 1, 170, "cw")
	zero := pieces(s)[0][0]
	var heavyAt []float64
	for _, l := range ruledLines(s, heavy) {
		if l[2]-l[1] == stripH {
			heavyAt = append(heavyAt, l[0]-zero)
		}
	}
	has(t, "zero mark", heavyAt, 0)
	has(t, "target mark", heavyAt, 19.05)
	has(t, "clearance tick of 0.003 in", onStrip(s, true), 19.05)
	has(t, "travel tick of 3/4 in", onStrip(s, false), 19.05)
}

func TestStripTicksAreExactOverAllPieces(t *testing.T) {
	for _, c := range []struct {
		d, lead, top, us, width float64
		turn                    string
	}{
		{140, 2, 0.3, 0, 170, "cw"}, {140, 2, 0.3, 0, 170, "ccw"}, {85, 1.5, 1.2, 0, 130, "cw"}, {200, 3, 1.5, 1, 172, "cw"}, {400, 2, 1, 0, 190, "ccw"},
	} {
		name := fmt.Sprint(c)
		s := stripOf(t, c.d, c.lead, 1, c.top, c.us, c.width, c.turn)
		round := 0.0
		for _, p := range pieces(s) {
			round += p[1] - p[0]
		}
		if math.Abs(round-math.Pi*c.d) > 0.001 {
			t.Errorf("%s: the strip is %.3f mm long, round the housing it is %.3f mm", name, round, math.Pi*c.d)
		}
		travel, clearance := onStrip(s, c.turn == "ccw"), onStrip(s, c.turn == "cw")
		step := 1.0
		if c.us == 1 {
			step = 25.4 / 16
		}
		end := c.top / c.lead * round
		count := 0
		for x := 0.0; x <= end+1e-9; x += step {
			has(t, name+" travel", travel, x)
			count++
		}
		if len(travel) != count {
			t.Errorf("%s: %d travel ticks, not %d", name, len(travel), count)
		}
		// Labelled ticks of the clearance stand where a housing of this lead has
		// moved by what the label says.
		unit := 1.0
		if c.us == 1 {
			unit = 25.4
		}
		labelled := 0
		for _, tx := range s.Texts {
			v, err := strconv.ParseFloat(tx.S, 64)
			if err != nil || !strings.Contains(tx.S, ".") {
				continue
			}
			labelled++
			has(t, name+" clearance "+tx.S, clearance, v*unit/c.lead*round)
		}
		if labelled < 2 {
			t.Errorf("%s: %d clearance labels", name, labelled)
		}
		for i := range clearance {
			for j := range i {
				if math.Abs(clearance[i]-clearance[j]) < 1 {
					t.Fatalf("%s: clearance ticks at %.3f and %.3f mm", name, clearance[i], clearance[j])
				}
			}
		}
	}
}

func TestTravelLabelsStandAtTheirTicks(t *testing.T) {
	s := stripOf(t, 140, 2, 95.5, 1, 0, 170, "cw")
	p := pieces(s)[0]
	n := 0
	for _, tx := range s.Texts {
		v, err := strconv.Atoi(tx.S)
		// The last row of figures, above the bottom edge, not held back by an end.
		if err != nil || tx.Y < p[2]+stripH/2 || tx.Y > p[2]+stripH || v < 10 || v > 130 {
			continue
		}
		n++
		if x := tx.X + note.width(tx.S)/2 - p[0]; math.Abs(x-float64(v)) > 0.01 {
			t.Errorf("%d stands at %.3f mm", v, x)
		}
	}
	if n < 8 {
		t.Errorf("%d labels found", n)
	}
}

// The scale goes once round at most, and a travel beyond it is refused.
func TestStripEndsAfterOneTurn(t *testing.T) {
	p := Params{
		Numbers: map[string]float64{"diameter": 100, "lead": 1, "travel": 310, "max_clearance": 1.9, "us": 0},
		Texts:   map[string]string{"travel": "a", "clearance": "b", "turn_in": "cw"}, Words: english(t),
	}
	d, err := Draw("strip", p, 170)
	if err != nil {
		t.Fatal(err)
	}
	if ticks := onStrip(d, false); len(ticks) != 315 { // 0 to 314 mm
		t.Errorf("%d travel ticks on a strip of 314.16 mm", len(ticks))
	}
	p.Numbers["travel"] = 315
	if _, err := Draw("strip", p, 170); err == nil || !strings.Contains(err.Error(), `"travel" is 315 mm, outside`) {
		t.Errorf("error %v", err)
	}
}

func TestScaleBarsAreOneHundredMillimetresAndFourInches(t *testing.T) {
	d, err := Draw("scale-bar", Params{Words: english(t)}, 110)
	if err != nil {
		t.Fatal(err)
	}
	var lengths []float64
	for _, p := range d.Paths {
		low, high := math.Inf(1), math.Inf(-1)
		for _, e := range flatten(nil, p.Segs) {
			low, high = min(low, e.x1), max(high, e.x1)
		}
		if p.Stroke != nil || p.Fill == nil {
			t.Errorf("a bar is stroked: its ends are not its ink's ends")
		}
		if high-low > 10 {
			lengths = append(lengths, high-low)
		}
		if low < barLeft-1e-9 || high > barLeft+101.6+1e-9 {
			t.Errorf("ink from %v to %v beyond the bar's ends", low, high)
		}
	}
	if len(lengths) != 2 || math.Abs(lengths[0]-100) > 1e-9 || math.Abs(lengths[1]-101.6) > 1e-9 {
		t.Errorf("bars of %v mm", lengths)
	}
}

// marksOf gives the clock angles of the two casing marks, first the zero mark.
func marksOf(t *testing.T, d Drawing) (zero, set float64) {
	t.Helper()
	// The housing is the largest heavy circle; its centre is the axis.
	var cx, cy, r float64
	for _, p := range d.Paths {
		if len(p.Segs) == 6 && p.Width == heavy && p.Fill != nil {
			if w := (p.Segs[0].P[0] - p.Segs[2].P[4]) / 2; w > r {
				r, cx, cy = w, p.Segs[0].P[0]-w, p.Segs[0].P[1]
			}
		}
	}
	var at []float64
	for _, p := range d.Paths {
		if len(p.Segs) != 2 || p.Width != heavy || p.Stroke == nil || *p.Stroke != black {
			continue
		}
		x1, y1, x2, y2 := p.Segs[0].P[0]-cx, p.Segs[0].P[1]-cy, p.Segs[1].P[0]-cx, p.Segs[1].P[1]-cy
		if math.Abs(math.Hypot(x1, y1)-r) < 1e-6 && math.Abs(math.Hypot(x2, y2)-r-6) < 1e-6 {
			at = append(at, math.Atan2(x1, -y1)*180/math.Pi)
		}
	}
	if len(at) != 2 {
		t.Fatalf("%d marks on the casing", len(at))
	}
	return at[0], at[1]
}

func TestHousingMarksShowTheTrueAngleOnTheRightSide(t *testing.T) {
	for _, c := range []struct {
		diameter, travel float64
		turn             string
		degrees          float64 // clockwise from the zero mark to the second
	}{
		// An arc as long as the radius is one radian; a quarter of the way round is
		// 90 degrees. Screwed in clockwise, it is backed off counter-clockwise.
		{140, 70, "cw", -180 / math.Pi}, {140, 70, "ccw", 180 / math.Pi},
		{100, math.Pi * 25, "cw", -90}, {100, math.Pi * 75, "ccw", 270}, {300, math.Pi * 300 / 720, "cw", -0.5},
	} {
		d, err := Draw("housing-marks", Params{
			Numbers: map[string]float64{"diameter": c.diameter, "travel": c.travel},
			Texts:   map[string]string{"travel": "so far", "turn_in": c.turn}, Words: english(t),
		}, 100)
		if err != nil {
			t.Fatal(err)
		}
		zero, set := marksOf(t, d)
		got := set - zero
		for _, turn := range []float64{-360, 0, 360} {
			if math.Abs(got+turn-c.degrees) < 1e-3 {
				got += turn
			}
		}
		if math.Abs(got-c.degrees) > 1e-3 {
			t.Errorf("%+v: the second mark is at %.4f degrees from the first", c, got)
		}
	}
	p := Params{Numbers: map[string]float64{"diameter": 100, "travel": math.Pi * 95}, Texts: map[string]string{"travel": "x", "turn_in": "cw"}, Words: english(t)}
	if _, err := Draw("housing-marks", p, 100); err == nil || !strings.Contains(err.Error(), "the marks would meet") {
		t.Errorf("a travel almost once round gives %v", err)
	}
}

func TestBoltNumbersStandClockwiseFromTwelve(t *testing.T) {
	for _, n := range []int{3, 8, 17, 48} {
		order := make([]float64, n)
		for i := range order {
			order[i] = float64((i*5+2)%n + 1)
			if n%5 == 0 {
				order[i] = float64(i + 1)
			}
		}
		d, err := Draw("bolt-circle", Params{
			Numbers: map[string]float64{"count": float64(n)}, Texts: map[string]string{"title": "a joint", "seat": "hex"},
			Series: map[string][]float64{"order": order}, Words: english(t),
		}, 100)
		if err != nil {
			t.Fatal(err)
		}
		// The largest circle is the joint's edge; its centre is the axis.
		var cx, cy, r float64
		for _, p := range d.Paths {
			if len(p.Segs) == 6 {
				if w := (p.Segs[0].P[0] - p.Segs[2].P[4]) / 2; w > r {
					r, cx, cy = w, p.Segs[0].P[0]-w, p.Segs[0].P[1]
				}
			}
		}
		found := 0
		for _, tx := range d.Texts {
			if _, err := strconv.Atoi(tx.S); err != nil {
				continue
			}
			f := font{tx.Face, tx.Size}
			x, y := tx.X+f.width(tx.S)/2-cx, tx.Y-f.cap()/2-cy
			a := math.Mod(math.Atan2(x, -y)*180/math.Pi+360, 360)
			place := a / 360 * float64(n)
			if math.Abs(place-math.Round(place)) > 1e-6 || strconv.Itoa(int(order[int(math.Round(place))%n])) != tx.S {
				t.Errorf("%d bolts: %s stands at place %.3f", n, tx.S, place)
			}
			found++
		}
		if found != n {
			t.Errorf("%d bolts: %d numbers", n, found)
		}
	}
	bad := func(order ...float64) error {
		_, err := Draw("bolt-circle", Params{
			Numbers: map[string]float64{"count": 3}, Texts: map[string]string{"title": "a joint", "seat": "hex"},
			Series: map[string][]float64{"order": order}, Words: english(t),
		}, 100)
		return err
	}
	for _, order := range [][]float64{{1, 2, 2}, {0, 1, 2}, {1, 2, 4}, {1, 2, 3, 4}, {1.5, 2, 3}, {math.NaN(), 2, 3}} {
		if bad(order...) == nil {
			t.Errorf("the order %v is taken", order)
		}
	}
}

func TestOutlinesOfSignsCanBeRead(t *testing.T) {
	for _, bad := range []string{"", "M1 2", "M1 2L3", "M1 2L3 4Q5 6Z", "M1 2L3 4C1 2 3 4 5Z"} {
		if _, ok := readOutline(bad); ok {
			t.Errorf("%q is read", bad)
		}
	}
	segs, ok := readOutline("M1 2L3 4C5 6 7 8 9 -10.5Z")
	if !ok || len(segs) != 4 || segs[2].P != [6]float64{5, 6, 7, 8, 9, -10.5} {
		t.Errorf("read as %v, %v", segs, ok)
	}
	for i := range specs {
		s := &specs[i]
		if len(s.needs)+len(s.words) > 0 {
			continue
		}
		d, err := Draw(s.name, Params{}, 100)
		if err != nil {
			t.Fatal(err)
		}
		if d.W != 100 || d.H != 100 {
			t.Errorf("%s is %v by %v", s.name, d.W, d.H)
		}
		for k, p := range d.Paths {
			if len(p.Segs) < 3 || p.Segs[0].Op != page.Move || p.Segs[len(p.Segs)-1].Op != page.Close {
				t.Errorf("%s: shape %d is not a closed outline", s.name, k)
			}
			// A symbol that runs into its red frame is not read at arm's length.
			if strings.HasPrefix(s.name, "ghs") && k > 1 {
				for _, e := range flatten(nil, p.Segs) {
					if math.Abs(e.x1-50)+math.Abs(e.y1-50) > 40.2 {
						t.Errorf("%s: shape %d touches the frame at (%.1f, %.1f)", s.name, k, e.x1, e.y1)
						break
					}
				}
			}
			if *p.Fill != black && *p.Fill != white && *p.Fill != red {
				t.Errorf("%s: shape %d has another ink", s.name, k)
			}
		}
	}
}

// Red must stay dark where there is no red: as grey by the weights of
// Rec. ITU-R BT.601 it is far below half.
func TestRedPrintsDarkInGrey(t *testing.T) {
	if y := 0.299*float64(red.R) + 0.587*float64(red.G) + 0.114*float64(red.B); y > 0.3*255 {
		t.Errorf("red is %.0f of 255 in grey", y)
	}
}

func TestPinLiesEvenlyBetweenThePorts(t *testing.T) {
	for _, angle := range []float64{60, 90, 180} {
		for pin, way := range pinWay {
			p := Params{Numbers: map[string]float64{"port_angle": angle}, Words: english(t)}
			if pin != "" {
				p.Texts = map[string]string{"pin": pin}
			}
			d, err := Draw("gears", p, 100)
			if err != nil {
				t.Fatal(err)
			}
			// The three chain lines from the axis: one through the pin, one a port.
			var at []float64
			for _, q := range d.Paths {
				if len(q.Dash) == len(chain) {
					a, b := q.Segs[0].P, q.Segs[1].P
					at = append(at, math.Atan2(b[0]-a[0], a[1]-b[1])*180/math.Pi)
				}
			}
			if len(at) != 3 {
				t.Fatalf("%d lines", len(at))
			}
			turn := func(a, b float64) float64 { return math.Mod(a-b+540, 360) - 180 }
			if math.Abs(turn(at[0], way)) > 1e-6 || math.Abs(math.Abs(turn(at[1], at[0]))-angle/2) > 1e-6 || math.Abs(math.Abs(turn(at[2], at[0]))-angle/2) > 1e-6 {
				t.Errorf("ports %v degrees apart, pin %q: lines at %v", angle, pin, at)
			}
		}
	}
}

// TestReliefValvePointsToSuction holds cap and words of both drawings to the side
// on which suction is: the other way round, the valve never opens.
func TestReliefValvePointsToSuction(t *testing.T) {
	words := english(t)
	for _, place := range []string{"on-head", "on-casing"} {
		for side, sign := range map[string]float64{"left": -1, "right": 1} {
			d, err := Draw("relief-valve", Params{Texts: map[string]string{"side": side, "place": place}, Words: words}, 100)
			if err != nil {
				t.Fatal(err)
			}
			at := map[string]float64{} // from the middle, of the topmost text of its words
			for _, x := range d.Texts {
				if _, seen := at[x.S]; !seen || x.S != "A" {
					at[x.S] = x.X + note.width(x.S)/2 - 50
				}
				if x.S == "A" && at["A"]*sign < 5 {
					t.Errorf("%s, suction %s: the cap is %.1f mm from the middle", place, side, at["A"])
				}
			}
			if s, d := at[words("figure.suction")], at[words("figure.discharge")]; s*sign < 20 || d*sign > -20 {
				t.Errorf("%s, suction %s: the word suction is at %.1f mm, discharge at %.1f mm", place, side, s, d)
			}
			if _, top := at[words("figure.top")]; top != (place == "on-head") {
				t.Errorf("%s: the mark of the top is there: %v", place, top)
			}
			// What points outward on the suction side is the cap's arrow alone.
			outward := 0
			for _, p := range d.Paths {
				if p.Fill != nil && p.Stroke == nil && len(p.Segs) == 4 && (p.Segs[0].P[0]-p.Segs[1].P[0])*sign > 0.1 && (p.Segs[0].P[0]-50)*sign > 0 {
					outward++
				}
			}
			if outward != 1 {
				t.Errorf("%s, suction %s: %d arrows point outward on the suction side", place, side, outward)
			}
		}
	}
}
