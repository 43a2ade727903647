package figure

import (
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/page"
)

// isolation is a sketch of where the unit's isolation points are along a plain
// flow line: suction, pump, discharge, what branches off, and the drive above. It is not a
// piping diagram: it only says which point is on what.
var isolation = spec{
	name: "isolation", what: "Where the isolation points are", least: 70,
	needs: []Need{
		{Name: "points", Kind: List, What: "what each point is called", low: 1, high: 16, most: longestID},
		{Name: "energies", Kind: List, What: "what energy each point holds back", low: 1, high: 16, OneOf: energies},
		{Name: "devices", Kind: List, What: "what each point is", low: 1, high: 16},
		{Name: "at", Kind: List, What: "where each point is; where it is left out, electrical and mechanical points stand at the drive, the others apart; a place that the sketch does not have is apart too", low: 1, high: 16, OneOf: isolationPlaces, others: true, Optional: true},
		{Name: "machine", Kind: Text, What: "what stands in the box of a machine that is no pump; where it is given no pump is drawn", Optional: true},
	},
	words: append([]string{"suction", "discharge", "drain", "vent", "jacket_supply", "jacket_return", "jacket_drain", "seal_flush", "drive", "pump", "elsewhere"}, energyWords()...),
	draw:  drawIsolation,
}

var energies = []string{"electrical", "mechanical", "liquid", "pressure", "heat", "gravity", "air", "chemical"}

var isolationPlaces = []string{"drive", "suction", "discharge", "vent", "drain", "jacket supply", "jacket return", "jacket drain", "seal flush", "elsewhere"}

// wordOfPlace gives the word for a place.
func wordOfPlace(place string) string { return strings.ReplaceAll(place, " ", "_") }

func energyWords() []string {
	out := make([]string, len(energies))
	for i, e := range energies {
		out[i] = "energy." + e
	}
	return out
}

// longestID keeps a bubble within its part of the sketch.
const longestID = 12

// sketch is the isolation drawing in hand: which points are at which place, the
// middle of the figure, and how wide the room for the points is on each side of it.
type sketch struct {
	where              map[string][]string
	cx                 float64
	atDrive, apart     float64 // the room beside the drive, for what is apart from the line
	pipe, branch       float64 // beside the pump, at the end of a branch
	drive, pump, named float64 // heights: middle of the drive, of the pump, end of the line's names
}

const pumpR, driveGap = 8.0, 3.0

// branchRun is how far a branch reaches from the middle, with its valve.
const branchRun = 17.0

// branches are the pipes that leave the pump between it and the drive, from the
// top down on each side. A pipe further down stands further out, so that none
// crosses another; the flush goes to the seal, on the shaft.
var branches = []struct {
	place, word string
	side, from  float64 // from the middle
	inward      bool
}{
	{"seal flush", "seal_flush", -1, 1, true}, {"vent", "vent", -1, 4.4, false},
	{"jacket supply", "jacket_supply", 1, 4.4, true}, {"jacket return", "jacket_return", 1, 6.2, false},
	{"jacket drain", "jacket_drain", 1, 8, false},
}

func drawIsolation(g *pen) error {
	if g.param("machine") != "" {
		return drawIsolationBox(g)
	}
	where, err := g.isolationPoints()
	if err != nil {
		return err
	}
	cx := g.d.W / 2
	motor := max(9.0, note.width(g.words("drive"))/2+2)
	s := sketch{where: where, cx: cx, atDrive: cx - motor - driveGap, apart: cx - motor - driveGap - 4, pipe: cx - pumpR - 4, branch: min(cx-branchRun-2, 26)}

	top := max(11, g.bubblesTall(where["drive"], s.atDrive), g.bubblesTall(where["elsewhere"], s.apart)+note.tall(s.apart, g.words("elsewhere"))+1)
	s.drive = top / 2
	low := map[float64]float64{-1: top, 1: top}
	var rows []float64
	for _, b := range branches {
		tall := 0.0
		if points := where[b.place]; len(points) > 0 {
			tall = max(6, note.tall(s.branch, g.words(b.word))+g.bubblesTall(points, s.branch)) + 1
		}
		rows = append(rows, low[b.side]+tall/2)
		low[b.side] += tall
	}
	branched := max(low[-1], low[1])
	points := max(g.bubblesTall(where["suction"], s.pipe), g.bubblesTall(where["discharge"], s.pipe))
	s.pump = max(branched+5+pumpR, branched+3+points+5.5)
	s.named = s.pump + 3.2 + max(note.tall(s.pipe, g.words("suction")), note.tall(s.pipe, g.words("discharge")))

	g.isolationApart(&s)
	for _, side := range []float64{-1, 1} { // the shaft
		g.line(plain, cx+side, s.drive+5, cx+side, s.pump)
	}
	g.isolationDrive(&s, s.drive, motor)
	g.isolationPipe(&s, "suction", s.pump, -1)
	g.isolationPipe(&s, "discharge", s.pump, 1)
	for i, b := range branches {
		if len(where[b.place]) > 0 {
			g.isolationBranch(&s, where[b.place], g.words(b.word), rows[i], b.side, b.from, b.inward)
		}
	}
	if len(where["jacket supply"])+len(where["jacket return"]) > 0 {
		g.shape(plain, &white, page.Circle(cx, s.pump, pumpR+2))
	}
	g.shape(heavy, &white, page.Circle(cx, s.pump, pumpR))
	g.mid(note, cx, s.pump, g.words("pump"))
	end := max(g.isolationDrain(&s, s.pump, s.named), s.named)
	g.d.H = g.isolationLegend(end+2) + 0.3
	return nil
}

// isolationBranch draws a branch at the height y, with name and points at its end.
func (g *pen) isolationBranch(s *sketch, points []string, name string, y, side, from float64, inward bool) {
	x, end := s.cx+side*from, s.cx+side*branchRun
	if from > 1 {
		g.line(heavy, x, s.pump-pumpR*0.7, x, y, end-side*3, y)
	} else {
		g.line(heavy, x, y, end-side*3, y)
	}
	g.small(s.cx+side*(branchRun-6.4), y)
	if inward {
		g.head(end-side*3, y, 90+side*90, 2.6)
	} else {
		g.head(end-side*0.4, y, 90-side*90, 2.6)
	}
	left := s.cx + branchRun + 1
	if side < 0 {
		left = s.cx - branchRun - 1 - s.branch
	}
	tall := note.tall(s.branch, name) + g.bubblesTall(points, s.branch)
	g.bubbles(points, left, g.middle(note, left, y-tall/2, s.branch, name), s.branch, true)
}

// isolationPoints gives the names of the points by their place; what is at a place that a
// pump does not have stands apart.
func (g *pen) isolationPoints() (map[string][]string, error) {
	all, places, err := g.pointsByPlace()
	where := map[string][]string{}
	for _, place := range places {
		known := place
		if !slices.Contains(isolationPlaces, place) {
			known = "elsewhere"
		}
		where[known] = append(where[known], all[place]...)
	}
	return where, err
}

// pointsByPlace gives the names of the points by their place, and the places in the order of
// the table.
func (g *pen) pointsByPlace() (where map[string][]string, places []string, err error) {
	ids, kinds, devices, at := g.list("points"), g.list("energies"), g.list("devices"), g.list("at")
	if len(kinds) != len(ids) || len(devices) != len(ids) || at != nil && len(at) != len(ids) {
		return nil, nil, fmt.Errorf("lists \"points\", \"energies\", \"devices\" and \"at\" have %d, %d, %d and %d items, not the same number", len(ids), len(kinds), len(devices), len(at))
	}
	where = map[string][]string{}
	for i, id := range ids {
		place := "elsewhere"
		switch {
		case at != nil:
			place = at[i]
		case kinds[i] == "electrical" || kinds[i] == "mechanical":
			place = "drive"
		}
		if where[place] == nil {
			places = append(places, place)
		}
		where[place] = append(where[place], id)
	}
	return where, places, nil
}

// isolationDrive draws the drive at the height y, with its points to the right;
// motor is half its width.
func (g *pen) isolationDrive(s *sketch, y, motor float64) {
	g.shape(heavy, &white, pill(s.cx-motor, y-5, 2*motor, 10, 2))
	g.mid(note, s.cx, y, g.words("drive"))
	if points := s.where["drive"]; len(points) > 0 {
		g.line(thin, s.cx+motor, y, s.cx+motor+driveGap, y)
		g.bubbles(points, s.cx+motor+driveGap, y-g.bubblesTall(points, s.atDrive)/2, s.atDrive, false)
	}
}

// isolationApart sets what is neither at the drive nor on the line at the top left.
func (g *pen) isolationApart(s *sketch) {
	if points := s.where["elsewhere"]; len(points) > 0 {
		low := g.para(note, 0, 0, s.apart, g.words("elsewhere"))
		g.bubbles(points, 0, low+0.5, s.apart, false)
	}
}

// isolationPipe draws the line on one side of the pump at the height y, with its
// valve and points above it and its name below; sign is -1 to the left.
func (g *pen) isolationPipe(s *sketch, place string, y, sign float64) {
	mid := s.cx + sign*(pumpR+4+s.pipe/2)
	g.line(heavy, s.cx+sign*pumpR, y, s.cx+sign*(s.cx-1), y)
	if points := s.where[place]; len(points) > 0 {
		g.line(thin, mid, y-2, mid, y-4)
		g.valve(mid, y)
		left := 0.0
		if sign > 0 {
			left = g.d.W - s.pipe
		}
		g.bubbles(points, left, y-4.2-g.bubblesTall(points, s.pipe), s.pipe, true)
	}
	// Flow runs from suction to discharge.
	end := s.cx + sign*(s.cx-3)
	g.head(end+1.5, y, 0, 3)
	g.middle(note, min(mid-s.pipe/2, g.d.W-s.pipe), y+3.2, s.pipe, g.words(place))
}

// isolationDrain draws the drain below the pump, with its points to the right, and
// gives the y below it. It keeps clear of the names of the line, which end at the
// height named.
func (g *pen) isolationDrain(s *sketch, pump, named float64) float64 {
	points := s.where["drain"]
	if len(points) == 0 {
		return pump + pumpR + 4
	}
	tall := g.bubblesTall(points, s.cx-8)
	y := max(pump+pumpR+6, named+tall/2+0.5)
	g.line(heavy, s.cx, pump+pumpR, s.cx, y+6)
	g.head(s.cx, y+7.5, 90, 3)
	g.valveUp(s.cx, y)
	g.line(thin, s.cx+2, y, s.cx+8, y)
	g.bubbles(points, s.cx+8, y-tall/2, s.cx-8, false)
	right := s.cx - 5
	lines := note.wrap(right, g.words("drain"))
	at := y - float64(len(lines))*note.lead()/2
	for _, l := range lines {
		g.text(note, right-note.width(l), at+note.ascent(), l)
		at += note.lead()
	}
	return max(y+tall/2, y+8)
}

// isolationLegend says what each point is, from y down, and gives the y below.
func (g *pen) isolationLegend(y float64) float64 {
	ids, kinds, devices := g.list("points"), g.list("energies"), g.list("devices")
	entries := make([]entry, len(ids))
	for i := range ids {
		entries[i] = entry{ids[i], devices[i] + " (" + g.words("energy."+kinds[i]) + ")"}
	}
	columns := 1
	if len(ids) > 3 {
		columns = max(1, int(g.d.W/41))
	}
	return g.legend(note, 0, y, g.d.W, columns, entries)
}

const bubbleRow = 2*ball + 0.9

// bubbleLines shares points out over rows no wider than w.
func (g *pen) bubbleLines(ids []string, w float64) [][]string {
	var rows [][]string
	used := 0.0
	from := 0
	for i, id := range ids {
		need := 2*bubbleHalf(id) + 1
		if used+need > w && i > from {
			rows = append(rows, ids[from:i])
			from, used = i, 0
		}
		used += need
	}
	return append(rows, ids[from:])
}

// bubblesTall is how high points are that share rows of width w.
func (g *pen) bubblesTall(ids []string, w float64) float64 {
	if len(ids) == 0 {
		return 0
	}
	return float64(len(g.bubbleLines(ids, w))) * bubbleRow
}

// bubbles sets points in rows from (x, y) down; each row begins at the left of
// w, or lies in the middle of it.
func (g *pen) bubbles(ids []string, x, y, w float64, middle bool) {
	for _, row := range g.bubbleLines(ids, w) {
		total := -1.0
		for _, id := range row {
			total += 2*bubbleHalf(id) + 1
		}
		at := x + rim
		if middle {
			at += (w - total) / 2
		}
		for _, id := range row {
			h := bubbleHalf(id)
			g.bubble(at+h, y+bubbleRow/2, id)
			at += 2*h + 1
		}
		y += bubbleRow
	}
}

// valve draws a valve in a level pipe, valveUp in an upright one.
func (g *pen) valve(x, y float64) {
	g.shape(plain, &white, page.Polygon(x-3.4, y-2, x+3.4, y+2, x+3.4, y-2, x-3.4, y+2))
}

// small draws a valve in a branch.
func (g *pen) small(x, y float64) {
	g.shape(plain, &white, page.Polygon(x-2.4, y-1.4, x+2.4, y+1.4, x+2.4, y-1.4, x-2.4, y+1.4))
}

func (g *pen) valveUp(x, y float64) {
	g.shape(plain, &white, page.Polygon(x-2, y-3.4, x+2, y+3.4, x-2, y+3.4, x+2, y-3.4))
}
