package figure

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"jobsheaf/internal/page"
)

// trend is the readings of one worn feature by day, its limit, and the days
// between which the limit is forecast to be met.
var trend = spec{
	name: "trend", what: "Wear readings by day with limit and forecast", least: 80,
	needs: []Need{
		{Name: "days", Kind: List, What: "days of the readings, YYYY-MM-DD, in order", Low: 1, High: 60},
		{Name: "readings", Kind: List, What: "the readings, mm", Low: 1, High: 60, Numeric: true},
		{Name: "limit", Kind: Number, What: "the limit at which the part is rejected, mm", Low: -1e4, High: 1e4},
		{Name: "limit", Kind: Text, What: "the limit as printed elsewhere, with its unit"},
		{Name: "title", Kind: Text, What: "part and feature"},
		{Name: "us", Kind: Number, What: "1 for an axis in inches, 0 for mm", Low: 0, High: 1, Whole: true},
		{Name: "forecast", Kind: Text, What: "day on which the limit is forecast, YYYY-MM-DD", Optional: true},
		{Name: "earliest", Kind: Text, What: "earliest such day", Optional: true},
		{Name: "latest", Kind: Text, What: "latest such day", Optional: true},
	},
	words: []string{"trend_limit", "trend_forecast", "trend_reading", "strip_unit_mm", "strip_unit_in", decimal},
	draw:  drawTrend,
}

// dayNumber counts days, so that a chart's axis is even.
func dayNumber(name, s string) (float64, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return 0, fmt.Errorf("%s is %q, not a day such as 2026-11-30", name, s)
	}
	return float64(t.Unix()) / 86400, nil
}

// chart is a field with an even axis each way, on the figure in mm.
type chart struct{ left, right, top, bottom, x1, x2, y1, y2 float64 }

func (c chart) at(x, y float64) (float64, float64) {
	return c.left + (x-c.x1)/(c.x2-c.x1)*(c.right-c.left), c.bottom - (y-c.y1)/(c.y2-c.y1)*(c.bottom-c.top)
}

// niceStep gives a step of 1, 2 or 5 by a power of ten, of which about n make
// up the span.
func niceStep(span float64, n int) float64 {
	raw := span / float64(n)
	p := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 5} {
		if raw <= m*p*1.0000001 {
			return m * p
		}
	}
	return 10 * p
}

// decimals is how many a step needs.
func decimals(step float64) int {
	return max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
}

func drawTrend(g *pen) error {
	names, texts := g.list("days"), g.list("readings")
	if len(names) != len(texts) {
		return fmt.Errorf("lists \"days\" and \"readings\" have %d and %d items, not the same number", len(names), len(texts))
	}
	scale, unit := 1.0, g.words("strip_unit_mm")
	if g.num("us") == 1 {
		scale, unit = 1/25.4, g.words("strip_unit_in")
	}
	days, values := make([]float64, len(names)), make([]float64, len(names))
	limit := g.num("limit") * scale
	low, high := limit, limit
	for i := range names {
		d, err := dayNumber(fmt.Sprintf("item %d of list \"days\"", i+1), names[i])
		if err != nil {
			return err
		}
		if i > 0 && d < days[i-1] {
			return fmt.Errorf("item %d of list \"days\" is %s, before the one ahead of it", i+1, names[i])
		}
		v, _ := strconv.ParseFloat(texts[i], 64) // Numeric: checked before
		if math.Abs(v) > 1e4 {
			return fmt.Errorf("item %d of list \"readings\" is %s mm, outside -10000 to 10000", i+1, texts[i])
		}
		days[i], values[i] = d, v*scale
		low, high = min(low, values[i]), max(high, values[i])
	}
	last := len(days) - 1
	end := days[last]
	ahead := map[string]float64{}
	for _, n := range []string{"earliest", "forecast", "latest"} {
		if s := g.param(n); s != "" {
			d, err := dayNumber(fmt.Sprintf("text %q", n), s)
			if err != nil {
				return err
			}
			if d < days[last] {
				return fmt.Errorf("text %q is %s, before the last reading", n, s)
			}
			ahead[n], end = d, max(end, d)
		}
	}
	if e, l := ahead["earliest"], ahead["latest"]; e > l && l > 0 {
		return fmt.Errorf("text \"earliest\" is %s, after %s", g.param("earliest"), g.param("latest"))
	}
	span := max(high-low, 1e-3*scale)
	step := niceStep(span*1.3, 5)
	digits := decimals(step)
	room := 0.0
	y1, y2 := math.Floor((low-span*0.12)/step)*step, math.Ceil((high+span*0.12)/step)*step
	for v := y1; v <= y2+step/2; v += step {
		room = max(room, note.width(decimalText(v, digits, g.words(decimal))))
	}
	y := g.para(strong, 0, 0, g.d.W, g.param("title")) + note.lead()
	days1, days2 := days[0], max(end, days[0]+1)
	pad := (days2 - days1) * 0.04
	c := chart{room + 2.5, g.d.W - 1, y + 2, y + 2 + min(44, g.d.W*0.4), days1 - pad, days2 + pad, y1, y2}

	// Axes.
	g.text(note, 0, y-note.lead()+note.ascent(), g.words("trend_reading")+", "+unit)
	for v := y1; v <= y2+step/2; v += step {
		_, py := c.at(days1, v)
		label := decimalText(v+0, digits, g.words(decimal)) // + 0: no minus sign before nought
		g.text(note, room-note.width(label), py+note.cap()/2, label)
		g.line(thin, c.left-1, py, c.left, py)
		g.add(page.Path{Segs: page.Polyline(c.left, py, c.right, py), Stroke: &grey, Width: thin, Dash: []float64{0.3, 1.5}})
	}
	g.line(plain, c.left, c.top, c.left, c.bottom, c.right, c.bottom)
	// What has a name on the time axis, the weightier first.
	busy := [][2]float64{}
	for _, d := range []struct {
		day  float64
		name string
		ok   bool
	}{
		{ahead["forecast"], g.param("forecast"), ahead["forecast"] > 0}, {days[last], names[last], true}, {days[0], names[0], true},
		{ahead["latest"], g.param("latest"), ahead["latest"] > 0}, {ahead["earliest"], g.param("earliest"), ahead["earliest"] > 0},
	} {
		if !d.ok {
			continue
		}
		px, _ := c.at(d.day, y1)
		g.line(thin, px, c.bottom, px, c.bottom+1)
		w := note.width(d.name)
		left := min(max(px-w/2, 0), g.d.W-w)
		free := true
		for _, b := range busy {
			free = free && (left+w+1.5 < b[0] || left > b[1]+1.5)
		}
		if free {
			busy = append(busy, [2]float64{left, left + w})
			g.text(note, left, c.bottom+1.6+note.ascent(), d.name)
		}
	}

	// Forecast, then limit, then readings on top.
	lx, ly := c.at(days[last], values[last])
	if e, l := ahead["earliest"], ahead["latest"]; e > 0 && l > 0 {
		ex, ey := c.at(e, limit)
		fx, fy := c.at(l, limit)
		g.hatch(page.Polygon(lx, ly, ex, ey, fx, fy), 60, 1.5)
		g.line(thin, lx, ly, ex, ey)
		g.line(thin, lx, ly, fx, fy)
	}
	if f := ahead["forecast"]; f > 0 {
		fx, fy := c.at(f, limit)
		g.add(page.Path{Segs: page.Polyline(lx, ly, fx, fy), Stroke: &white, Width: 4 * plain})
		g.dashed(plain, dashes, page.Polyline(lx, ly, fx, fy))
		g.dashed(thin, dashes, page.Polyline(fx, fy, fx, c.bottom))
		g.fill(&black, page.Polygon(fx, fy-1.5, fx+1.5, fy, fx, fy+1.5, fx-1.5, fy))
	}
	_, limY := c.at(days1, limit)
	g.line(heavy, c.left, limY, c.right, limY)
	xy := make([]float64, 0, 2*len(days))
	for i := range days {
		px, py := c.at(days[i], values[i])
		xy = append(xy, px, py)
	}
	g.line(plain, xy...)
	for i := 0; i < len(xy); i += 2 {
		g.fill(&black, page.Circle(xy[i], xy[i+1], 1))
	}
	y = g.para(work, 0, c.bottom+1.6+note.lead()+1, g.d.W, g.words("trend_limit")+": "+g.param("limit"))
	if f := g.param("forecast"); f != "" {
		s := g.words("trend_forecast") + ": " + f
		if ahead["earliest"] > 0 && ahead["latest"] > 0 {
			s += " (" + g.param("earliest") + " – " + g.param("latest") + ")"
		}
		y = g.para(work, 0, y, g.d.W, s)
	}
	g.d.H = y + 0.3
	return nil
}
