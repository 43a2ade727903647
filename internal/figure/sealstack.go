package figure

// sealStack is every part of a component seal drawn apart along the shaft, in
// order, numbered from the drive side to the pump side.
var sealStack = spec{
	name: "seal-stack", what: "Parts of the component seal in order", least: 60,
	needs: []Need{
		{Name: "type", Kind: Text, What: "how the seal is sprung", OneOf: []string{"single-spring", "multiple-springs", "bellows"}},
		{Name: "washer", Kind: Text, What: "whether a washer stands between a single spring and the rotary member; left out, it does", OneOf: yesNo, Optional: true},
	},
	words: []string{"part.seal_holder", "part.holder_gasket", "part.seat_ring", "part.seal_seat", "part.rotary_member", "part.member_ring", "part.bellows",
		"part.washer", "part.seal_spring", "part.seal_springs", "part.set_collar", "part.spring_holder", "stack_lapped", "rotor_end", "shaft_end"},
	draw: drawSealStack,
}

// stackPart is one part of the seal: its word, its length along the shaft in
// units, the radius at which its number's leader ends, and what draws one side
// of it from its pump end at x.
type stackPart struct {
	word    string
	long, r float64
	draw    func(g *pen, f frame, x, side float64)
	bore    float64 // whose edges are seen beyond the cut; 0 for none
}

// stackOf gives the parts from the pump side to the drive side.
func stackOf(kind string, washer bool) []stackPart {
	block := func(r1, r2, long, angle, gap float64) func(*pen, frame, float64, float64) {
		return func(g *pen, f frame, x, side float64) {
			g.cut(f.mirror(side, x, r1, x+long, r1, x+long, r2, x, r2), angle, gap)
		}
	}
	rubber := func(r float64) func(*pen, frame, float64, float64) {
		return func(g *pen, f frame, x, side float64) { g.fill(&black, f.circle(x+1.1, side*r, 1.1)) }
	}
	thinRing := func(r1, r2 float64) func(*pen, frame, float64, float64) {
		return func(g *pen, f frame, x, side float64) { g.fill(&black, f.mirror(side, x, r1, x+1, r1, x+1, r2, x, r2)) }
	}
	collar := stackPart{"part.set_collar", 5, 11, func(g *pen, f frame, x, side float64) {
		block(shaftR, 12, 5, 45, 1.2)(g, f, x, side)
		g.shape(thin, &black, f.mirror(side, x+1.8, shaftR-0.8, x+3.2, shaftR-0.8, x+3.2, 11.4, x+1.8, 11.4)) // set screw
	}, shaftR}
	face := func(g *pen, f frame, x, side, r1, r2 float64) { g.stroke(2*heavy, f.mirror(side, x, r1, x, r2)) }
	member := stackPart{"part.rotary_member", 6, 8.4, func(g *pen, f frame, x, side float64) {
		g.cut(f.mirror(side, x, shaftR, x+6, shaftR, x+6, 10.6, x+3.2, 10.6, x+3.2, 12.4, x, 12.4), 135, 1)
		face(g, f, x+6, side, 6.4, 10.4)
	}, shaftR}
	seat := stackPart{"part.seal_seat", 6, 11, func(g *pen, f frame, x, side float64) {
		g.cut(f.mirror(side, x, 7, x+6, 7, x+6, 13.3, x+2, 13.3, x+2, 10.8, x, 10.8), 45, 0.9)
		face(g, f, x, side, 7.2, 10.6)
	}, 7}
	holder := stackPart{"part.seal_holder", 10, 17.5, func(g *pen, f frame, x, side float64) {
		g.cut(f.mirror(side, x+5, 7, x+10, 7, x+10, holderR, x+5, holderR, x+5, 15.8, x, 15.8, x, 13.4, x+5, 13.4), 45, 1.4)
		g.fill(&white, f.mirror(side, x+4.9, 18, x+10.1, 18, x+10.1, 19.4, x+4.9, 19.4)) // hole of a screw
		for _, r := range []float64{18, 19.4} {
			g.stroke(thin, f.mirror(side, x+5, r, x+10, r))
		}
	}, 7}
	spring := func(r, half float64, turns int) func(*pen, frame, float64, float64) {
		return func(g *pen, f frame, x, side float64) {
			x1, y := f.at(x, side*r)
			x2, _ := f.at(x+8, side*r)
			g.helix(x1, x2, y, half*f.k, turns)
		}
	}
	tail := []stackPart{seat, {"part.seat_ring", 2.2, 13.2, rubber(12.3), 0}, {"part.holder_gasket", 1, holderR - 0.3, thinRing(boxR, holderR), 0}, holder}
	ring := stackPart{"part.member_ring", 2.2, 8, rubber(7.1), 0}
	var head []stackPart
	switch kind {
	case "single-spring":
		head = []stackPart{collar, {"part.seal_spring", 8, 9, spring(9, 2.7, 4), 0}}
		if washer {
			head = append(head, stackPart{"part.washer", 1, 11.6, thinRing(6.6, 11.8), 0})
		}
		head = append(head, ring, member)
	case "multiple-springs":
		held := collar
		held.word = "part.spring_holder"
		head = []stackPart{held, {"part.seal_springs", 8, 9.6, spring(9.6, 1.1, 7), 0}, ring, member}
	case "bellows": // one piece: drive ring, bellows, rotary member
		head = []stackPart{{"part.bellows", 19, 11, func(g *pen, f frame, x, side float64) {
			collar.draw(g, f, x, side)
			spring(9.2, 2.4, 5)(g, f, x+5, side)
			member.draw(g, f, x+13, side)
		}, shaftR}}
	}
	return append(head, tail...)
}

func drawSealStack(g *pen) error {
	parts := stackOf(g.param("type"), g.param("washer") != "no")
	const gap = 2.4
	total := gap * float64(len(parts)-1)
	for _, p := range parts {
		total += p.long
	}
	k := min((g.d.W-1)/(total+3), 1.1)
	width := k * (total + 3)
	const row = 2*ball + 2.5
	f := frame{(g.d.W-width)/2 + 1.5*k, row + holderR*k, k}
	g.centre(f, -1.5, 0, total+1.5)
	var rowOf []callout
	x := 0.0
	for _, p := range parts {
		for _, side := range []float64{-1, 1} {
			if p.bore > 0 && side < 0 {
				for _, e := range []float64{x, x + p.long} {
					g.stroke(thin, f.line(e, -p.bore, e, p.bore))
				}
			}
			p.draw(g, f, x, side)
		}
		at := x + p.long/2
		if p.word == "part.seal_holder" {
			at = x + 7.5
		}
		px, py := f.at(at, -p.r)
		rowOf = append(rowOf, callout{px, py, g.words(p.word), true})
		x += p.long + gap
	}
	// Numbers run from the drive side, which is on the right.
	names := make([]string, len(rowOf))
	for i, bx := range spread(rowOf, 2*ball+0.6, rim+ball, g.d.W-rim-ball) {
		n := len(rowOf) - i
		g.leader(bx, ball+rim, rowOf[i].x, rowOf[i].y)
		g.bubble(bx, ball+rim, decimalText(float64(n), 0, ""))
		names[n-1] = rowOf[i].name
	}
	_, y := f.at(0, holderR)
	y = g.ends(y + 1)
	y = g.nameList(names, y+1)
	g.d.H = g.para(note, 0, y+0.5, g.d.W, g.words("stack_lapped")) + 0.3
	return nil
}
