package scan

// findings is what the ink at a box comes to.
type findings struct {
	own       float64 // mm² inside the box, of strokes that are its own
	sure      float64 // mm² of own, without strokes that may be of a pen that slipped
	all       float64 // mm² inside the box, of any stroke
	dark      float64 // mean darkness of the sure ink, 0 to 1
	extent    float64 // mm, the diagonal of the sure ink
	share     float64 // of the sure strokes, how much lies inside
	core      float64 // darkness that the darkest tenth of it has, 0 to 1
	trace     float64 // mm, the diagonal of the largest faint trace inside
	crossings int     // places where strokes that are not another box's cross the ring
	fill      float64 // how much darker the inside is than what is around the box, 0 to 1
	loose     float64 // mm² of ink around the box that hangs together with none inside any: dirt
	solid     float64 // mm² inside the box that is dark over more than a stroke's width, but lighter than ink
	cut       bool    // part of the box lies outside the picture
	near      bool    // a stroke leaves the box's surroundings, towards another box
}

const stainDark = 100 // darkness, of 255, that writing under a stain may hide in

// sum says what the strokes come to. A stroke belongs to the box that holds most of it.
func (p *patch) sum(all []stroke, f *findings) {
	const mm2 = grain * grain
	ring := p.box.grow(max(round(ringReach*grain), p.band+2))
	last := int32(-1)
	p.around(ring, func(k, _ int) {
		l := p.label[k]
		if l != 0 && l != last && all[l].area >= speck && all[l].inside >= all[l].others {
			f.crossings++
			all[l].crosses = true
		}
		last = l
	})
	var own, sure stroke // sure: without what may be of a pen that slipped
	inside := 0
	for i := range all {
		s := &all[i]
		if s.inside == 0 && s.others == 0 {
			f.loose += float64(s.around) / mm2
		}
		if s.area < speck || s.inside == 0 {
			continue
		}
		inside += s.inside
		if s.others > s.inside {
			f.near = true
			continue
		}
		own.add(s)
		if !s.slipped(p.tick) {
			sure.add(s)
		}
	}
	f.own, f.all = float64(own.inside)/mm2, float64(inside)/mm2
	if sure.inside < own.inside && !p.tick && sure.inside > 0 && sure.bend() < textBend*grain {
		sure = stroke{} // the rest of the same line, where the pen skipped
	}
	if sure.inside > 0 {
		f.sure = float64(sure.inside) / mm2
		f.dark = float64(sure.dark) / float64(sure.inside) / 255
		f.share = float64(sure.inside) / float64(sure.area)
		f.extent, f.core = sure.extent()/grain, sure.core()
	}
	// What is dark here and not ink was taken for a stain.
	q := p.box.grow(-p.band-2).clip(p.ink.w, p.ink.h)
	stain := 0
	for y := q.y0; y < q.y1; y++ {
		for x := q.x0; x < q.x1; x++ {
			if k := y*p.ink.w + x; p.dark.pix[k] > stainDark && p.ink.pix[k] < inkLeast && p.label[k] == 0 {
				stain++
			}
		}
	}
	f.solid = float64(stain) / mm2
	f.fill = p.fill()
}
