package figure

import (
	"fmt"
	"math"
	"slices"

	"jobsheaf/internal/page"
)

// strip is a paper strip, printed 1:1, to wrap round the bearing housing: it
// carries the travel along one edge and the end clearance that it makes along
// the other. It runs once round, so that its ends prove both the print and the
// diameter on record.
//
// The words beside it void it where a bar is off by more than 0.5 mm or the ends
// miss by more than 1 mm: common practice, no source. On the smallest housing
// taken that is 0.6 % of the travel.
var strip = spec{
	name: "strip", what: "1:1 marking strip for the bearing housing", least: 130,
	needs: []Need{
		{Name: "diameter", Kind: Number, What: "outside diameter of the bearing housing, mm", low: 40, high: 800},
		{Name: "lead", Kind: Number, What: "lead of the housing's thread, mm a turn", low: 0.25, high: 12},
		{Name: "travel", Kind: Number, What: "mark-to-mark travel to set, mm", low: 0.1, high: 2520},
		{Name: "max_clearance", Kind: Number, What: "end clearance at the end of the scale, mm; the scale ends after one turn", low: 0.01, high: 5},
		{Name: "us", Kind: Number, What: "1 for scales in inches, 0 for mm", low: 0, high: 1, whole: true},
		{Name: "travel", Kind: Text, What: "the travel as printed elsewhere, with its unit"},
		{Name: "clearance", Kind: Text, What: "the end clearance that it sets, as printed elsewhere"},
		turnIn,
	},
	words: append([]string{"strip_travel", "strip_clearance", "strip_unit_mm", "strip_unit_in", "strip_edge", "strip_glue", "strip_set", "strip_wrap", decimal}, barWords...),
	draw:  drawStrip,
}

var scaleBar = spec{
	name: "scale-bar", what: "Bars of 100 mm and 4 in that prove the print scale", least: barLeast,
	words: barWords,
	draw: func(g *pen) error {
		g.d.H = g.scaleBars(0)
		return nil
	},
}

var barWords = []string{"bar_100mm", "bar_4in", "bar_void"}

const (
	barLeast = 106.0
	barLeft  = 1.5 // of the bars' and strips' left end
)

// scaleBars draws the two bars from y down and gives the y below the words that
// go with them.
func (g *pen) scaleBars(y float64) float64 {
	for _, b := range []struct {
		word      string
		length    float64
		divisions int
	}{{"bar_100mm", 100, 10}, {"bar_4in", 4 * 25.4, 4}} {
		g.text(work, barLeft, y+work.ascent(), g.words(b.word))
		y += work.lead() + 0.4
		// Filled, not stroked, so that its ends are the black's own ends.
		g.fill(&black, page.Rect(barLeft, y+1.2, b.length, 1.4))
		for i := range b.divisions + 1 {
			x := barLeft + (b.length-thin)*float64(i)/float64(b.divisions)
			up := 0.0
			if i != 0 && i != b.divisions {
				x, up = barLeft+b.length*float64(i)/float64(b.divisions)-thin/2, 0.8
			}
			g.fill(&black, page.Rect(x, y+up, thin, 3.8-2*up))
		}
		y += 5
	}
	return g.para(strong, barLeft, y, g.d.W-barLeft, g.words("bar_void")) + 0.5
}

// ruled draws vertical lines at each x, as one path.
func (g *pen) ruled(w float64, xs []float64, y1, y2 float64) {
	if len(xs) == 0 {
		return
	}
	segs := make([]page.Seg, 0, 2*len(xs))
	for _, x := range xs {
		segs = append(segs, page.Seg{Op: page.Move, P: [6]float64{x, y1}}, page.Seg{Op: page.Line, P: [6]float64{x, y2}})
	}
	g.add(page.Path{Segs: segs, Stroke: &black, Width: w})
}

// The parts of a piece of strip, in mm from its top or bottom edge.
const (
	stripH    = 27.0
	glueW     = 12.0 // the tab beyond the end, which goes under the next piece
	tickShort = 2.4
	tickHalf  = 3.8
	tickLong  = 5.4
	bandTop   = 9.2 // of the middle band, between the scales' figures
	bandH     = stripH - 2*bandTop
	edgeRoom  = 7.6 // the match letters' part of the band
)

// tickmark is one line of a scale, by its distance from zero.
type tickmark struct {
	at    float64 // mm
	rank  int     // 0 short, 1 half, 2 long
	label string
}

// travelScale gives the ticks of the travel: millimetres, or sixteenths.
func travelScale(us bool, upto float64) []tickmark {
	step, ranks, label := 1.0, [2]int{5, 10}, func(k int) string { return fmt.Sprint(k) }
	if us {
		step, ranks = 25.4/16, [2]int{4, 8}
		label = func(k int) string { return inches(k) }
	}
	var out []tickmark
	for k := 0; float64(k)*step <= upto+1e-9; k++ {
		t := tickmark{at: float64(k) * step}
		switch {
		case k%ranks[1] == 0:
			t.rank, t.label = 2, label(k)
		case k%ranks[0] == 0:
			t.rank = 1
		}
		out = append(out, t)
	}
	return out
}

// inches prints k sixteenths, k a multiple of 8.
func inches(k int) string {
	switch {
	case k%16 == 0:
		return fmt.Sprint(k / 16)
	case k < 16:
		return "1/2"
	}
	return fmt.Sprintf("%d 1/2", k/16)
}

// leadDigit is the first digit of a whole number of one digit and noughts, else 0.
func leadDigit(n int) int {
	for n >= 10 {
		if n%10 != 0 {
			return 0
		}
		n /= 10
	}
	return n
}

// clearanceScale gives the ticks of the end clearance, which lie round/lead
// times further apart than the clearance that they stand for.
func clearanceScale(us bool, upto, ratio float64, sign string) []tickmark {
	unit := 1.0
	if us {
		unit = 25.4
	}
	const closest = 1.3 // mm between ticks
	// Steps count in ten-thousandths, so that they are exact.
	step := 0
	for _, step = range []int{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000} {
		if float64(step)/1e4*unit*ratio >= closest {
			break
		}
	}
	each, digits := 1, 0 // ticks to a figure, and its decimals
	for _, each = range []int{1, 2, 4, 5, 10, 20} {
		if lead := step * each; !slices.Contains([]int{1, 2, 5}, leadDigit(lead)) {
			continue
		}
		digits = 4
		for p := 10; digits > 0 && step*each%p == 0; p *= 10 {
			digits--
		}
		if float64(step*each)/1e4*unit*ratio >= note.width(decimalText(0, digits, sign))+2 {
			break
		}
	}
	var out []tickmark
	for k := 0; float64(k*step)/1e4*unit <= upto+1e-9; k++ {
		t := tickmark{at: float64(k*step) / 1e4 * unit * ratio}
		switch {
		case k == 0:
			t.rank, t.label = 2, "0"
		case k%each == 0:
			t.rank, t.label = 2, decimalText(float64(k*step)/1e4, digits, sign)
		case each%2 == 0 && k%(each/2) == 0:
			t.rank = 1
		}
		out = append(out, t)
	}
	return out
}

// cutsOf divides a length into pieces no longer than the longest, of which none
// is too short to handle, nor for the target's words if the target lies on it.
func cutsOf(round, longest, target float64) []float64 {
	const worded = 45
	shortest := 30.0
	if target >= round-worded {
		shortest = worded
	}
	cuts := []float64{0}
	for at := longest; at < round-1e-9; at += longest {
		cuts = append(cuts, min(at, round-shortest))
	}
	return append(cuts, round)
}

func drawStrip(g *pen) error {
	d, lead, travel, top := g.num("diameter"), g.num("lead"), g.num("travel"), g.num("max_clearance")
	round := math.Pi * d
	ratio := round / lead // of travel to clearance
	top = min(top, lead)
	if travel > top*ratio+1e-9 {
		return fmt.Errorf("number \"travel\" is %v mm, outside 0.1 to %.5g mm, where the scale ends", travel, top*ratio)
	}
	us := g.num("us") == 1
	y := g.scaleBars(0) + 2
	y = g.para(note, barLeft, y, g.d.W-barLeft, g.words("strip_wrap")) + 1.5

	longest := g.d.W - 2*barLeft - glueW
	s := &stripPen{
		pen: g, cuts: cutsOf(round, longest, travel), target: travel,
		travel:    travelScale(us, top*ratio),
		clearance: clearanceScale(us, top, ratio, g.words(decimal)),
		flip:      g.param("turn_in") == "ccw",
	}
	s.unit = g.words("strip_unit_mm")
	if us {
		s.unit = g.words("strip_unit_in")
	}
	for i := range len(s.cuts) - 1 {
		if s.flip {
			g.text(note, barLeft, y+note.ascent(), "▲ "+g.words("strip_edge")+" ▲")
			y += note.lead() + 0.6
		}
		if err := s.piece(i, y); err != nil {
			return err
		}
		y += stripH
		if !s.flip {
			g.text(note, barLeft, y+0.6+note.ascent(), "▼ "+g.words("strip_edge")+" ▼")
			y += note.lead() + 0.6
		}
		y += 2.5
	}
	g.d.H = y
	return nil
}

// stripPen draws the pieces of one strip.
type stripPen struct {
	*pen
	cuts              []float64 // where the pieces begin and end, mm from zero
	target            float64   // mm from zero
	travel, clearance []tickmark
	unit              string
	flip              bool // the travel is at the top edge
}

// piece draws the i-th piece with its top at y.
func (s *stripPen) piece(i int, y float64) error {
	g := s.pen
	from, to, last := s.cuts[i], s.cuts[i+1], i == len(s.cuts)-2
	x0, x1 := barLeft, barLeft+to-from
	g.add(page.Path{Segs: page.Rect(x0, y, to-from, stripH), Stroke: &black, Width: thin})
	g.dashed(thin, dashes, page.Polyline(x1, y, x1+glueW, y+2, x1+glueW, y+stripH-2, x1, y+stripH))
	glue := g.words("strip_glue")
	g.middle(note, x1+0.5, y+stripH/2-note.tall(glueW-1, glue)/2, glueW-1, glue)

	// What meets what: letters at the joints, a triangle where the ends meet.
	name := func(k int) string {
		if k == 0 || k == len(s.cuts)-1 {
			return "▲"
		}
		return string(rune('A' + k - 1))
	}
	mid := y + stripH/2
	g.bubble(x0+ball+0.8, mid, name(i))
	g.bubble(x1-ball-0.8, mid, name(i+1))
	if i == 0 {
		g.ruled(heavy, []float64{x0}, y, y+stripH)
	}
	marked := s.target >= from-1e-9 && (s.target < to-1e-9 || last)
	tx := x0 + s.target - from
	edge, other := y+stripH, y
	if s.flip {
		edge, other = y, y+stripH
	}
	skip := math.Inf(1)
	if marked {
		skip = tx
	}
	s.ticks(s.travel, from, to, x0, x1, edge, math.Copysign(1, other-edge), skip, last)
	s.ticks(s.clearance, from, to, x0, x1, other, math.Copysign(1, edge-other), skip, last)
	if marked {
		g.ruled(heavy, []float64{tx}, y, y+stripH)
		g.head(tx, edge, math.Copysign(90, edge-other), 3)
	}
	return s.band(x0, x1, mid, tx, marked, from <= s.travel[len(s.travel)-1].at)
}

// band sets the middle of a piece: the target's words beside its line,
// and elsewhere the scales' names where the scales reach the piece.
func (s *stripPen) band(x0, x1, mid, tx float64, marked, scaled bool) error {
	g := s.pen
	free := [2]float64{x0 + edgeRoom, x1 - edgeRoom}
	names := [2]string{g.words("strip_clearance") + ", " + s.unit, g.words("strip_travel") + ", " + s.unit}
	if s.flip {
		names[0], names[1] = names[1], names[0]
	}
	names[0], names[1] = "↑ "+names[0], "↓ "+names[1]
	one, two := g.words("strip_set")+" "+g.param("travel"), g.param("clearance")
	first, second, small := strong, strong, note
	widths := func() (label, name float64) {
		return max(first.width(one), second.width(two)) + 2, max(small.width(names[0]), small.width(names[1]))
	}
	label, name := widths()
	if marked && label+name+2 > free[1]-free[0] {
		first.face, second.face, small.face = page.BoldCondensed, page.BoldCondensed, page.BoldCondensed
		label, name = widths()
	}
	if marked {
		left := max(tx+1, free[0])
		if left+label > free[1] {
			left = min(tx-1, free[1]) - label
		}
		if left < free[0] {
			// The line is in the middle of a short piece: the words go across it.
			left = max(free[0], free[1]-label)
			if left+label > free[1] {
				return fmt.Errorf("texts \"travel\" and \"clearance\" take %.0f mm of a piece of the strip, which has %.0f mm", label, free[1]-free[0])
			}
			g.fill(&white, page.Rect(left, mid-bandH/2, label, bandH))
		}
		top := mid - (first.lead()+second.lead())/2
		g.text(first, left+1, top+first.ascent(), one)
		g.text(second, left+1, top+first.lead()+second.ascent(), two)
		if left-free[0] > free[1]-left-label {
			free[1] = left - 1
		} else {
			free[0] = left + label + 1
		}
	}
	if !scaled {
		return nil // only there to close the ring
	}
	if free[1]-free[0] < name {
		return nil // a housing of little more than 40 mm: the target's words show which scale is which
	}
	g.text(small, free[0], mid-1, names[0])
	g.text(small, free[0], mid+1+small.cap(), names[1])
	return nil
}

// ticks draws the part of a scale that lies on a piece. The scale stands on the
// line y and rises by up (1 down the page, -1 up). A figure that the target's
// line would strike is left out.
func (s *stripPen) ticks(scale []tickmark, from, to, x0, x1, y, up, skip float64, last bool) {
	var at [3][]float64
	busy := math.Inf(-1) // right end of the last figure
	for _, t := range scale {
		if t.at < from-1e-9 || (t.at >= to-1e-9 && !last) {
			continue
		}
		x := x0 + t.at - from
		at[t.rank] = append(at[t.rank], x)
		if t.label == "" {
			continue
		}
		w := note.width(t.label)
		left := min(max(x-w/2, x0+0.8), x1-0.8-w)
		if left < busy+1 || (skip > left-1 && skip < left+w+1) {
			continue
		}
		busy = left + w
		base := y + up*(tickLong+0.7)
		if up > 0 {
			base += note.cap()
		}
		s.text(note, left, base, t.label)
	}
	for rank, length := range []float64{tickShort, tickHalf, tickLong} {
		s.ruled(thin, at[rank], y, y+up*length)
	}
}
