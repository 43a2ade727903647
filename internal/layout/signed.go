package layout

import (
	"math"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
)

// signed draws a list whose items have signs, such as what to wear: each sign with
// the items that it is for, two signs in a row.
func (f *flow) signed(l *packet.List) {
	var groups [][]packet.ListItem
	for i, it := range l.Items {
		if i > 0 && it.Sign == l.Items[i-1].Sign {
			groups[len(groups)-1] = append(groups[len(groups)-1], it)
		} else {
			groups = append(groups, l.Items[i:i+1:i+1])
		}
	}
	const indent = tickSize + 2.5
	half := (f.width - gutter) / 2
	gap, mark := gapList, f.here()
	for i := 0; i < len(groups); i += 2 {
		f.reset()
		f.begin()
		row := groups[i:min(i+2, len(groups))]
		high := 0.0
		for c, g := range row {
			high = max(high, f.signedGroup(g, f.left+float64(c)*(half+gutter), half, indent))
		}
		if high > f.tall {
			f.errorf("too-tall", "split it", "the items of a sign are %.0f mm high, and a page has room for %.0f mm", high, f.tall)
		}
		f.end(gap, high, loose)
		gap = gapSmall
	}
	f.pairEnds(mark)
}

// signedGroup draws a sign and its items and gives how high they are.
func (f *flow) signedGroup(items []packet.ListItem, x, width, indent float64) float64 {
	high := 0.0
	if items[0].Sign != "" {
		if d, ok := f.figure(&packet.Figure{Name: items[0].Sign}, signSize); ok {
			f.drawing(&d, x, 0, math.Inf(-1), math.Inf(1))
			high = d.H
		}
	}
	x, width = x+signSize+gapSmall, width-signSize-gapSmall
	step := 2.0
	if len(items) == 1 {
		step = max(0, (high-tickSize)/2) // level with the middle of its sign
	}
	y := step
	for i := range items {
		it := &items[i]
		t := f.set(it.Text, faceBody, width-indent)
		if it.ID != "" {
			f.box(page.Box{ID: it.ID, Kind: page.Tick, X: x, Y: y, W: tickSize, H: tickSize})
		}
		f.draw(t, x+indent, y+(tickSize-faceBody.line())/2, flushLeft)
		y += max(tickSize, t.h) + tickGap
	}
	return max(high, y-tickGap+outline)
}
