package layout

import (
	"math"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
)

// signed draws a list whose items have signs, such as what to wear: each sign with
// the items that it is for, two signs in a row, or three where nothing is ticked.
func (f *flow) signed(l *packet.List) {
	var groups [][]packet.ListItem
	for i, it := range l.Items {
		if i > 0 && it.Sign == l.Items[i-1].Sign {
			groups[len(groups)-1] = append(groups[len(groups)-1], it)
		} else {
			groups = append(groups, l.Items[i:i+1:i+1])
		}
	}
	across, indent := 3, 0.0
	if l.Tick {
		across, indent = 2, tickSize+2.5
	}
	share := (f.width - float64(across-1)*gutter) / float64(across)
	gap, mark := f.gap(gapList), f.here()
	for i := 0; i < len(groups); i += across {
		f.reset()
		f.begin()
		row := groups[i:min(i+across, len(groups))]
		high := 0.0
		for c, g := range row {
			high = max(high, f.signedGroup(g, f.left+float64(c)*(share+gutter), share, indent))
		}
		if high > f.tall {
			f.errorf("too-tall", "split it", "the items of a sign are %.0f mm high, and a page has room for %.0f mm", high, f.tall)
		}
		f.end(gap, high, loose)
		gap = f.gap(gapSmall)
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
	texts := make([]prose, len(items))
	all := -tickGap
	for i := range items {
		texts[i] = f.set(items[i].Text, f.body(), width-indent)
		all += max(tickSize, texts[i].h) + tickGap
	}
	y := max(0, (high-all)/2) // level with the middle of the sign
	for i := range items {
		it, t := &items[i], texts[i]
		if it.ID != "" {
			f.box(page.Box{ID: it.ID, Kind: page.Tick, X: x, Y: y, W: tickSize, H: tickSize})
		}
		f.draw(t, x+indent, y+(tickSize-faceBody.line())/2, flushLeft)
		y += max(tickSize, t.h) + tickGap
	}
	return max(high, y-tickGap+outline)
}
