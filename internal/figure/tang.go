package figure

import (
	"math"

	"jobsheaf/internal/page"
)

// tang is the lock nut seen from the shaft end with a tang of its washer bent
// into a slot.
var tang = spec{
	name: "tang", what: "Lock-washer tang in a slot of the lock nut", least: 66,
	needs: []Need{
		{Name: "slots", Kind: Number, What: "slots in the lock nut", low: 2, high: 24, whole: true, Optional: true},
		{Name: "tangs", Kind: Number, What: "tangs round the lock washer", low: 1, high: 31, whole: true, Optional: true},
		{Name: "thread", Kind: Text, What: "hand of the lock nut's thread", OneOf: []string{"right", "left"}},
	},
	words: []string{"tang_bent", "tang_on", "tang_never", "shaft_end_seen"},
	draw:  drawTang,
}

func drawTang(g *pen) error {
	slots, tangs := 4, 13
	if g.given("slots") {
		slots = int(g.num("slots"))
	}
	if g.given("tangs") {
		tangs = int(g.num("tangs"))
	}
	turn := 1.0 // clockwise tightens
	if g.param("thread") == "left" {
		turn = -1
	}
	side := min(g.d.W*0.5, 66)
	k := (side/2 - 3.7) / 29.5 // what stands about the nut does not shrink with it
	cx, cy := side/2, side/2+0.5
	// Washer with its tangs, the first at twelve o'clock.
	for i := range tangs {
		half := min(360/float64(tangs)*0.24, 9)
		g.shape(plain, &white, sector(cx, cy, 18*k, 24*k, 360*float64(i)/float64(tangs)-half, 2*half))
	}
	g.shape(plain, &white, page.Circle(cx, cy, 20*k))
	// Nut.
	g.add(page.Path{Segs: ring(cx, cy, 9*k, 18.5*k), Fill: &white, Even: true})
	g.stroke(heavy, page.Circle(cx, cy, 18.5*k))
	w := min(5.4, math.Pi*16/float64(slots)) * k
	for i := range slots {
		a := 360 * float64(i) / float64(slots)
		g.slot(cx, cy, 13.6*k, 18.9*k, w/2, a, &white)
	}
	// The bent tang: the only black thing in the nut.
	g.slot(cx, cy, 14.1*k, 24*k, w/2-0.45, 0, &black)
	// Shaft with its keyway and the washer's tongue in it.
	g.shape(heavy, &white, page.Circle(cx, cy, 9.5*k))
	g.slot(cx, cy, 6*k, 9.8*k, 1.6*k, 180, &black)
	g.line(thin, cx-1.5, cy, cx+1.5, cy)
	g.line(thin, cx, cy-1.5, cx, cy+1.5)

	// On, and never back.
	r := 28.5 * k
	g.arcArrow(3*plain, 4, cx, cy, r, turn*25, turn*85)
	g.arcArrow(plain, 3, cx, cy, r, -turn*40, -turn*70)
	x, y := clock(cx, cy, r, -turn*72)
	g.cross(x, y, 6)
	bx, by := clock(cx, cy, r, turn*25)
	g.bubble(bx, by, "2")
	bx, by = clock(cx, cy, r, -turn*40)
	g.bubble(bx, by, "3")
	px, py := clock(cx, cy, 19*k, 0)
	qx, qy := clock(cx, cy, r+1*k, 0)
	g.line(thin, px, py, qx, qy)
	g.bubble(qx, qy, "1")

	left := side + 5
	y = g.legend(work, left, 2, g.d.W-left, 1, []entry{{"1", g.words("tang_bent")}, {"2", g.words("tang_on")}, {"3", g.words("tang_never")}})
	y = g.para(note, left, y+1, g.d.W-left, g.words("shaft_end_seen"))
	g.d.H = max(y, side+1) + 0.3
	return nil
}

// slot draws a straight-sided notch between two radii, half wide to either
// side of the radius at clock angle a.
func (g *pen) slot(cx, cy, r1, r2, half, a float64, ink *page.Ink) {
	dx, dy := clock(0, 0, half, a+90)
	x1, y1 := clock(cx, cy, r1, a)
	x2, y2 := clock(cx, cy, r2, a)
	g.shape(plain, ink, page.Polygon(x1-dx, y1-dy, x2-dx, y2-dy, x2+dx, y2+dy, x1+dx, y1+dy))
}
