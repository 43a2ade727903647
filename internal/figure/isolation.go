package figure

import (
	"fmt"

	"jobsheaf/internal/page"
)

// isolation is a sketch of where the unit's isolation points are along a plain
// flow line: suction, pump, discharge, drain, and the drive above. It is not a
// piping diagram: it only says which point is on what.
var isolation = spec{
	name: "isolation", what: "Where the isolation points are", least: 90,
	needs: []Need{
		{Name: "points", Kind: List, What: "what each point is called", Low: 1, High: 16, Most: longestID},
		{Name: "energies", Kind: List, What: "what energy each point holds back", Low: 1, High: 16, OneOf: energies},
		{Name: "devices", Kind: List, What: "what each point is", Low: 1, High: 16},
		{Name: "puts", Kind: List, What: "how each point is put", Low: 1, High: 16, Optional: true},
		{Name: "at", Kind: List, What: "where each point is; where it is left out, electrical and mechanical points stand at the drive, the others apart", Low: 1, High: 16, OneOf: isolationPlaces, Optional: true},
	},
	words: append([]string{"suction", "discharge", "drain", "drive", "pump", "elsewhere"}, energyWords()...),
	draw:  drawIsolation,
}

var energies = []string{"electrical", "mechanical", "liquid", "pressure", "heat", "gravity", "air", "chemical"}

var isolationPlaces = []string{"drive", "suction", "discharge", "drain", "elsewhere"}

func energyWords() []string {
	out := make([]string, len(energies))
	for i, e := range energies {
		out[i] = "energy." + e
	}
	return out
}

// longestID keeps a bubble within its part of the sketch.
const longestID = 12

func drawIsolation(g *pen) error {
	ids, kinds, devices, at, puts := g.list("points"), g.list("energies"), g.list("devices"), g.list("at"), g.list("puts")
	if len(kinds) != len(ids) || len(devices) != len(ids) || at != nil && len(at) != len(ids) || puts != nil && len(puts) != len(ids) {
		return fmt.Errorf("lists \"points\", \"energies\", \"devices\", \"puts\" and \"at\" have %d, %d, %d, %d and %d items, not the same number", len(ids), len(kinds), len(devices), len(puts), len(at))
	}
	where := map[string][]string{}
	for i, id := range ids {
		place := "elsewhere"
		switch {
		case at != nil:
			place = at[i]
		case kinds[i] == "electrical" || kinds[i] == "mechanical":
			place = "drive"
		}
		where[place] = append(where[place], id)
	}

	w, cx := g.d.W, g.d.W/2
	const pumpR, gap = 8.0, 3.0
	sideW := cx - pumpR - 4

	// The drive, with its points to the right; what is elsewhere to the left.
	motor := max(9.0, note.width(g.words("drive"))/2+2)
	topH := max(11, g.bubblesTall(where["drive"], cx-motor-gap), g.bubblesTall(where["elsewhere"], cx-motor-gap-4)+note.lead()+1)
	y := topH / 2
	g.shape(heavy, &white, pill(cx-motor, y-5, 2*motor, 10, 2))
	g.mid(note, cx, y, g.words("drive"))
	if len(where["drive"]) > 0 {
		g.line(thin, cx+motor, y, cx+motor+gap, y)
		g.bubbles(where["drive"], cx+motor+gap, y-g.bubblesTall(where["drive"], cx-motor-gap)/2, cx-motor-gap, false)
	}
	if len(where["elsewhere"]) > 0 {
		low := g.para(note, 0, 0, cx-motor-gap-4, g.words("elsewhere"))
		g.bubbles(where["elsewhere"], 0, low+0.5, cx-motor-gap-4, false)
	}
	// The line with its valves, points above them.
	rows := max(g.bubblesTall(where["suction"], sideW), g.bubblesTall(where["discharge"], sideW))
	pipe := max(topH+7+pumpR, topH+3+rows+5.5)
	g.line(plain, cx-1, y+5, cx-1, pipe)
	g.line(plain, cx+1, y+5, cx+1, pipe)
	for _, s := range []struct {
		place string
		sign  float64
	}{{"suction", -1}, {"discharge", 1}} {
		x1, x2 := cx+s.sign*pumpR, cx+s.sign*(cx-1)
		mid := cx + s.sign*(pumpR+4+sideW/2)
		g.line(heavy, x1, pipe, x2, pipe)
		if points := where[s.place]; len(points) > 0 {
			tall := g.bubblesTall(points, sideW)
			g.line(thin, mid, pipe-2, mid, pipe-4)
			g.valve(mid, pipe)
			left := 0.0
			if s.sign > 0 {
				left = w - sideW
			}
			g.bubbles(points, left, pipe-4.2-tall, sideW, true)
		}
		// Flow runs from suction to discharge.
		end := cx + s.sign*(cx-3)
		g.head(end+1.5, pipe, 0, 3)
		g.middle(note, min(mid-sideW/2, w-sideW), pipe+3.2, sideW, g.words(s.place))
	}
	g.shape(heavy, &white, page.Circle(cx, pipe, pumpR))
	g.mid(note, cx, pipe, g.words("pump"))

	// The drain, with its points to the right.
	low := pipe + pumpR + 4
	words := pipe + 3.2 + max(note.tall(sideW, g.words("suction")), note.tall(sideW, g.words("discharge")))
	if points := where["drain"]; len(points) > 0 {
		tall := g.bubblesTall(points, cx-8)
		vy := max(pipe+pumpR+6, words+tall/2+0.5)
		g.line(heavy, cx, pipe+pumpR, cx, vy+6)
		g.head(cx, vy+7.5, 90, 3)
		g.valveUp(cx, vy)
		g.line(thin, cx+2, vy, cx+8, vy)
		g.bubbles(points, cx+8, vy-tall/2, cx-8, false)
		dw := cx - 5
		lines := note.wrap(dw, g.words("drain"))
		ty := vy - float64(len(lines))*note.lead()/2
		for _, l := range lines {
			g.text(note, dw-note.width(l), ty+note.ascent(), l)
			ty += note.lead()
		}
		low = max(vy+tall/2, vy+8)
	}
	low = max(low, words)

	entries := make([]entry, len(ids))
	for i := range ids {
		text := devices[i] + " (" + g.words("energy."+kinds[i]) + ")"
		if puts != nil {
			text += ": " + puts[i]
		}
		entries[i] = entry{ids[i], text}
	}
	columns := 1
	if len(ids) > 3 {
		columns = max(1, int(w/48))
	}
	g.d.H = g.legend(note, 0, low+2, w, columns, entries) + 0.3
	return nil
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

func (g *pen) valveUp(x, y float64) {
	g.shape(plain, &white, page.Polygon(x-2, y-3.4, x+2, y+3.4, x-2, y+3.4, x+2, y-3.4))
}
