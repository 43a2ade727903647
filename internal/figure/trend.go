package figure

import (
	"fmt"
	"math"
	"time"

	"jobsheaf/internal/page"
)

// trend is the readings of one worn feature by day, its limit, and the days
// between which the limit is forecast to be met.
var trend = spec{
	name: "trend", what: "Wear readings by day with limit and forecast", least: 80,
	needs: []Need{
		{Name: "days", Kind: List, What: "days of the readings, YYYY-MM-DD, in order", low: 1, high: 60},
		{Name: "readings", Kind: Series, What: "the readings, mm or in the unit", low: 1, high: 60, each: [2]float64{-1e7, 1e7}},
		{Name: "limit", Kind: Number, What: "the limit at which the part is rejected, mm or in the unit", low: -1e7, high: 1e7},
		{Name: "limit", Kind: Text, What: "the limit as printed elsewhere, with its unit"},
		{Name: "title", Kind: Text, What: "part and feature"},
		{Name: "unit", Kind: Text, What: "the unit of readings and limit where they are no lengths", Optional: true},
		{Name: "us", Kind: Number, What: "1 for an axis in inches, 0 for mm", low: 0, high: 1, whole: true},
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

// course is what a trend shows: readings and limit in the unit of the axis, and
// the days of the forecast, 0 where there is none.
type course struct {
	names                      []string // the days of the readings, as written
	days, values               []float64
	limit                      float64
	earliest, forecast, latest float64
	scale                      float64 // of the axis's unit, from mm
	unit                       string
}

func (c *course) last() int { return len(c.days) - 1 }

// banded says whether the forecast has its two bounds.
func (c *course) banded() bool { return c.earliest > 0 && c.latest > 0 }

func (g *pen) course() (course, error) {
	c := course{names: g.list("days"), scale: 1, unit: g.words("strip_unit_mm")}
	if g.num("us") == 1 {
		c.scale, c.unit = 1/25.4, g.words("strip_unit_in")
	}
	if u := g.param("unit"); u != "" {
		c.scale, c.unit = 1, u
	}
	c.limit = g.num("limit") * c.scale
	readings := g.series("readings")
	if len(c.names) != len(readings) {
		return c, fmt.Errorf("\"days\" and \"readings\" have %d and %d items, not the same number", len(c.names), len(readings))
	}
	for i := range c.names {
		d, err := dayNumber(fmt.Sprintf("item %d of list \"days\"", i+1), c.names[i])
		if err != nil {
			return c, err
		}
		if i > 0 && d < c.days[i-1] {
			return c, fmt.Errorf("item %d of list \"days\" is %s, before the one ahead of it", i+1, c.names[i])
		}
		c.days, c.values = append(c.days, d), append(c.values, readings[i]*c.scale)
	}
	for _, n := range []struct {
		name string
		day  *float64
	}{{"earliest", &c.earliest}, {"forecast", &c.forecast}, {"latest", &c.latest}} {
		s := g.param(n.name)
		if s == "" {
			continue
		}
		d, err := dayNumber(fmt.Sprintf("text %q", n.name), s)
		if err != nil {
			return c, err
		}
		if d < c.days[c.last()] {
			return c, fmt.Errorf("text %q is %s, before the last reading", n.name, s)
		}
		*n.day = d
	}
	if c.earliest > c.latest && c.latest > 0 {
		return c, fmt.Errorf("text \"earliest\" is %s, after %s", g.param("earliest"), g.param("latest"))
	}
	return c, nil
}

// valueAxis is the upright axis: even steps from low to high.
type valueAxis struct {
	low, high, step float64
	digits          int
}

// axisFor spans readings and limit with some room beyond both.
func axisFor(c *course) valueAxis {
	low, high := c.limit, c.limit
	for _, v := range c.values {
		low, high = min(low, v), max(high, v)
	}
	span := max(high-low, 1e-3*c.scale)
	step := niceStep(span*1.3, 5)
	return valueAxis{math.Floor((low-span*0.12)/step) * step, math.Ceil((high+span*0.12)/step) * step, step, decimals(step)}
}

// each calls f with every step of the axis and its label.
func (a valueAxis) each(sign string, f func(v float64, label string)) {
	for v := a.low; v <= a.high+a.step/2; v += a.step {
		f(v, decimalText(v+0, a.digits, sign)) // + 0: no minus sign before nought
	}
}

func drawTrend(g *pen) error {
	c, err := g.course()
	if err != nil {
		return err
	}
	a := axisFor(&c)
	room := 0.0 // for the labels of the upright axis
	a.each(g.words(decimal), func(_ float64, label string) { room = max(room, note.width(label)) })
	y := g.para(strong, 0, 0, g.d.W, g.param("title")) + note.lead()
	first, end := c.days[0], max(c.days[c.last()], c.earliest, c.forecast, c.latest)
	end = max(end, first+1)
	pad := (end - first) * 0.04
	on := chart{room + 2.5, g.d.W - 1, y + 2, y + 2 + min(44, g.d.W*0.3), first - pad, end + pad, a.low, a.high}

	g.text(note, 0, y-note.lead()+note.ascent(), g.words("trend_reading")+", "+c.unit)
	g.trendValues(on, a, room)
	g.line(plain, on.left, on.top, on.left, on.bottom, on.right, on.bottom)
	g.trendDays(on, &c)
	g.trendForecast(on, &c)
	g.trendReadings(on, &c)
	g.d.H = g.trendWords(on.bottom+1.6+note.lead()+1, &c) + 0.3
	return nil
}

// trendValues draws the ticks of the upright axis, each with its label in the
// room at the left and a dotted line across the chart.
func (g *pen) trendValues(on chart, a valueAxis, room float64) {
	a.each(g.words(decimal), func(v float64, label string) {
		_, y := on.at(on.x1, v)
		g.text(note, room-note.width(label), y+note.cap()/2, label)
		g.line(thin, on.left-1, y, on.left, y)
		g.add(page.Path{Segs: page.Polyline(on.left, y, on.right, y), Stroke: &grey, Width: thin, Dash: []float64{0.3, 1.5}})
	})
}

// trendDays marks on the level axis what has a day, the weightier first: a name
// that would meet one before it is left out.
func (g *pen) trendDays(on chart, c *course) {
	busy := [][2]float64{}
	for _, d := range []struct {
		day   float64
		name  string
		given bool
	}{
		{c.forecast, g.param("forecast"), c.forecast > 0}, {c.days[c.last()], c.names[c.last()], true}, {c.days[0], c.names[0], true},
		{c.latest, g.param("latest"), c.latest > 0}, {c.earliest, g.param("earliest"), c.earliest > 0},
	} {
		if !d.given {
			continue
		}
		x, _ := on.at(d.day, on.y1)
		g.line(thin, x, on.bottom, x, on.bottom+1)
		w := note.width(d.name)
		left := min(max(x-w/2, 0), g.d.W-w)
		free := true
		for _, b := range busy {
			free = free && (left+w+1.5 < b[0] || left > b[1]+1.5)
		}
		if free {
			busy = append(busy, [2]float64{left, left + w})
			g.text(note, left, on.bottom+1.6+note.ascent(), d.name)
		}
	}
}

// trendForecast draws how the last reading runs on to the limit: between the
// forecast's bounds a hatched wedge, on the day itself a dashed line.
func (g *pen) trendForecast(on chart, c *course) {
	x, y := on.at(c.days[c.last()], c.values[c.last()])
	if c.banded() {
		ex, ey := on.at(c.earliest, c.limit)
		lx, ly := on.at(c.latest, c.limit)
		g.hatch(page.Polygon(x, y, ex, ey, lx, ly), 60, 1.5)
		g.line(thin, x, y, ex, ey)
		g.line(thin, x, y, lx, ly)
	}
	if c.forecast > 0 {
		fx, fy := on.at(c.forecast, c.limit)
		g.add(page.Path{Segs: page.Polyline(x, y, fx, fy), Stroke: &white, Width: 4 * plain})
		g.dashed(plain, dashes, page.Polyline(x, y, fx, fy))
		g.dashed(thin, dashes, page.Polyline(fx, fy, fx, on.bottom))
		g.fill(&black, page.Polygon(fx, fy-1.5, fx+1.5, fy, fx, fy+1.5, fx-1.5, fy))
	}
}

// trendReadings draws the limit, and the readings on top of it.
func (g *pen) trendReadings(on chart, c *course) {
	_, limit := on.at(on.x1, c.limit)
	g.line(heavy, on.left, limit, on.right, limit)
	xy := make([]float64, 0, 2*len(c.days))
	for i := range c.days {
		x, y := on.at(c.days[i], c.values[i])
		xy = append(xy, x, y)
	}
	g.line(plain, xy...)
	for i := 0; i < len(xy); i += 2 {
		g.fill(&black, page.Circle(xy[i], xy[i+1], 1))
	}
}

// trendWords says limit and forecast below the chart and gives the y below them.
func (g *pen) trendWords(y float64, c *course) float64 {
	y = g.para(strong, 0, y, g.d.W, g.words("trend_limit")+": "+g.param("limit"))
	f := g.param("forecast")
	if f == "" {
		return y
	}
	s := g.words("trend_forecast") + ": " + f
	if c.banded() {
		s += " (" + g.param("earliest") + " – " + g.param("latest") + ")"
	}
	return g.para(strong, 0, y, g.d.W, s)
}
