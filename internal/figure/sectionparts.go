package figure

// bracketPart draws the bracket: what carries seal and bearing, on its foot. At
// the top it is cut through a window between stuffing box and bearing housing.
func (g *pen) bracketPart(f frame) {
	// What stands behind the window: the far wall of the bracket.
	g.shape(thin, &white, f.rect(86, -24, 18, 48))
	g.cut(f.mirror(-1, 43, 9.2, 60, 9.2, 60, boxR, 86, boxR, 86, 23, 50, 23, 50, 34, 43, 34), 45, 1.9)
	g.cut(f.mirror(-1, 104, threadR, 134, threadR, 134, 28, 104, 28), 45, 1.9)
	g.cut(f.mirror(1, 43, 9.2, 60, 9.2, 60, boxR, 86, boxR, 86, 24, 104, 24, 104, threadR, 134, threadR, 134, 29, 80, 29, 74, 23, 50, 23, 50, 34, 43, 34), 45, 1.9)
	g.shape(plain, &white, f.polygon(88, 29, 126, 29, 130, 37, 84, 37))
	for _, side := range []float64{-1, 1} { // bracket bushing
		g.cut(f.mirror(side, 42.8, shaftR+0.1, 60, shaftR+0.1, 60, 9.2, 42.8, 9.2), 135, 1.1)
	}
	g.plug(f, -1, 64.5, 1.9, boxR, 23)
}

// pumpEnd draws head, casing, idler on its pin, crescent and rotor.
func (g *pen) pumpEnd(f frame) {
	for _, side := range []float64{-1, 1} {
		g.cut(f.mirror(side, 22.8, 26.5, 43, 26.5, 43, 34, 22.8, 34), 135, 1.9)
		g.fill(&black, f.mirror(side, 21.9, 26.5, 22.9, 26.5, 22.9, 34, 21.9, 34)) // head gasket
		g.plug(f, side, 34.5, 1.6, 26.5, 34)
	}
	// The gauge port: a hole to the end of the rotor's teeth, and its cover.
	g.shape(thin, &white, f.rect(24.6, -34, 4, 7.5))
	g.cut(f.rect(23.2, -36, 6.8, 2), 45, 0.9)
	// The head is one piece with the crescent; its hole holds the pin.
	g.cut(f.polygon(14, 0, 22, 0, 22, 13.4, 36, 13.4, 36, 17, 22, 17, 22, 34, 14, 34), 45, 1.7)
	g.cut(f.polygon(14, -34, 22, -34, 22, -12, 14, -12), 45, 1.7)
	for _, side := range []float64{-1, 1} {
		g.screw(f, side, 10.4, 14, 30, 30.5, 1.2)
	}
	// Rotor: teeth stand out from its web toward the head. At the top a gap
	// between teeth is cut, into which the idler's tooth reaches.
	g.cut(f.polygon(22.6, 17.5, 36.4, 17.5, 36.4, 6, 42.4, 6, 42.4, 26.1, 22.6, 26.1), 135, 1.3)
	g.cut(f.polygon(36.4, -6, 42.4, -6, 42.4, -26.1, 36.4, -26.1), 135, 1.3)
	g.stroke(thin, f.line(22.6, -26.1, 36.4, -26.1))
	// Idler: its teeth are not hatched, as is the custom for gears.
	g.shape(plain, &white, f.rect(22.5, -25.2, 13.6, 11))
	g.shape(plain, &white, f.rect(22.5, 2.2, 13.6, 10.9))
	g.cut(f.rect(22.5, -18.5, 13.6, 4.3), 45, 1.2)
	g.cut(f.rect(22.5, 2.2, 13.6, 4.2), 45, 1.2)
	// Bushing and pin: a pin is not hatched lengthwise.
	g.cut(f.rect(22.5, -14.2, 13.6, 2.2), 135, 0.9)
	g.cut(f.rect(22.5, 0, 13.6, 2.2), 135, 0.9)
	g.shape(plain, &white, f.rect(14, -12, 22, 12))
	g.centre(f, 11.5, -6, 38)
}

// portBehind draws the outline of a port, which lies behind the plane of the
// section.
func (g *pen) portBehind(f frame) {
	g.dashed(thin, dashes, f.circle(30.5, -2, 8.6))
}

// centre draws the chain line of an axis, in units.
func (g *pen) centre(f frame, x1, y, x2 float64) {
	ax, ay := f.at(x1, y)
	bx, _ := f.at(x2, y)
	g.centreLine(ax, ay, bx, ay)
}

// sealPart draws one side of the shaft seal in its chamber.
func (g *pen) sealPart(f frame, kind string, side float64) {
	gasket := true
	switch kind {
	case "component":
		g.componentSeal(f, side)
	case "cartridge":
		g.cut(f.mirror(side, 61, 6, 98.5, 6, 98.5, 8, 61, 8), 45, 1.2) // sleeve
		g.cut(f.mirror(side, 93.8, 8, 98.5, 8, 98.5, 12, 93.8, 12), 135, 1.2)
		g.cut(f.mirror(side, 86.6, 9, 92, 9, 92, holderR, 86.6, holderR, 86.6, 15.8, 82, 15.8, 82, 13.6, 86.6, 13.6), 45, 1.4)
		g.cut(f.mirror(side, 77, 9, 86.6, 9, 86.6, 13.4, 82, 13.4, 82, 11, 77, 11), 135, 0.9)
		g.cut(f.mirror(side, 70, 8, 77, 8, 77, 12.4, 70, 12.4), 45, 1)
		x1, y := f.at(63, side*10.2)
		x2, _ := f.at(70, side*10.2)
		g.helix(x1, x2, y, 1.8*f.k, 4)
		g.shape(plain, &white, f.mirror(side, 61, 8, 63, 8, 63, 12.4, 61, 12.4))
	case "packing":
		for i := range 4 {
			x := 61 + 5*float64(i)
			g.crossed(f, x, x+5, side, 6.2, 15.8)
		}
		g.cut(f.mirror(side, 81.4, 7, 92, 7, 92, holderR, 88, holderR, 88, 15.6, 81.4, 15.6), 135, 1.4)
		gasket = false
	case "lip":
		g.cut(f.mirror(side, 86.6, 7.4, 92, 7.4, 92, holderR, 86.6, holderR, 86.6, 15.8, 70, 15.8, 70, 13, 86.6, 13), 45, 1.4)
		g.crossed(f, 71, 77.5, side, 6.2, 13)
		g.crossed(f, 78.5, 85, side, 6.2, 13)
	}
	if gasket {
		g.fill(&black, f.mirror(side, 85.9, boxR, 86.7, boxR, 86.7, holderR, 85.9, holderR))
	}
	g.screw(f, side, 95, 92, 79, 18.5, 1)
}

// componentSeal draws collar, spring, washer, rotary member, seat and holder.
func (g *pen) componentSeal(f frame, side float64) {
	g.cut(f.mirror(side, 62, 6, 67, 6, 67, 12, 62, 12), 45, 1.2)
	g.shape(plain, &black, f.mirror(side, 63.8, 6, 65.2, 6, 65.2, 12, 63.8, 12)) // set screw
	x1, y := f.at(67, side*9)
	x2, _ := f.at(73.6, side*9)
	g.helix(x1, x2, y, 2.6*f.k, 4)
	g.fill(&black, f.mirror(side, 73.6, 6.4, 74.3, 6.4, 74.3, 11.8, 73.6, 11.8)) // washer
	g.cut(f.mirror(side, 74.5, 6, 80.4, 6, 80.4, 10.6, 77.6, 10.6, 77.6, 12.4, 74.5, 12.4), 135, 1)
	g.fill(&black, f.mirror(side, 75.3, 6, 77, 6, 77, 7.4, 75.3, 7.4)) // O-ring
	g.cut(f.mirror(side, 86.6, 7, 92, 7, 92, holderR, 86.6, holderR, 86.6, 15.8, 80.9, 15.8, 80.9, 13.4, 86.6, 13.4), 45, 1.4)
	g.cut(f.mirror(side, 80.4, 7, 86.6, 7, 86.6, 13.4, 82.2, 13.4, 82.2, 10.6, 80.4, 10.6), 45, 0.9)
}

// valveOnHead draws a relief valve on the head's outside.
func (g *pen) valveOnHead(f frame) {
	g.cut(f.polygon(14, -22, -2, -22, -2, 12, 14, 12, 14, 9, 2, 9, 2, -17, 10, -17, 10, 5, 14, 5), 135, 1.7)
	g.shape(plain, &white, f.rect(2, -17, 8, 26))
	g.valveInside(f, 6, -17, 9)
	g.shape(plain, &white, f.polygon(1.5, -22, 1.5, -27, 3.5, -29, 8.5, -29, 10.5, -27, 10.5, -22))
}

// valveOnCasing draws a relief valve on top of the casing, lying across it.
func (g *pen) valveOnCasing(f frame) {
	g.cut(f.polygon(24, -34, 24, -52, 50, -52, 50, -36, 42, -36, 42, -34), 135, 1.7)
	g.shape(plain, &white, f.rect(27, -49, 20, 10))
	x1, y := f.at(33, -44)
	x2, _ := f.at(46.5, -44)
	g.shape(plain, &white, f.polygon(28, -40.5, 28, -47.5, 33, -47, 33, -41))
	g.helix(x1, x2, y, 2.6*f.k, 5)
	g.shape(plain, &white, f.polygon(50, -48.5, 55, -48.5, 57, -46.5, 57, -41.5, 55, -39.5, 50, -39.5))
}

// valveInside draws poppet and spring of a valve that stands upright.
func (g *pen) valveInside(f frame, x, top, bottom float64) {
	g.shape(plain, &white, f.polygon(x-3.4, bottom-1, x+3.4, bottom-1, x+3, bottom-6, x-3, bottom-6))
	px, y1 := f.at(x, top)
	_, y2 := f.at(x, bottom-6)
	g.helixUp(px, y1, y2, 2.6*f.k, 6)
}
