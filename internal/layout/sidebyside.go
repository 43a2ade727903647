package layout

import "jobsheaf/internal/packet"

// sideBySide puts two rows of blocks side by side, as one piece; one below the other
// where that would be higher than a page.
func (f *flow) sideBySide(b *packet.Beside) {
	left, width, mark, before := f.left, f.width, f.here(), f.save()
	share := b.Share
	if share == 0 {
		share = 0.5
	}
	f.width = (width - columnGap) * share
	f.blocks(b.Left)
	middle := f.here()
	f.left, f.width = left+f.width+columnGap, width-columnGap-f.width
	f.holdNext = false
	f.blocks(b.Right)
	f.left, f.width, f.holdNext = left, width, false
	both, h, y := f.pieces[mark:len(f.pieces):len(f.pieces)], 0.0, 0.0
	f.begin()
	for i, p := range both {
		switch {
		case i == 0 || i == middle-mark:
			y = 0
		default:
			y += p.gap
		}
		f.copy(&f.canvas, p.span, 0, y)
		y += p.h
		h = max(h, y)
	}
	if h > f.tall {
		f.restore(before)
		f.blocks(b.Left)
		f.blocks(b.Right)
		return
	}
	f.pieces = f.pieces[:mark]
	f.end(f.blockGap(), h, loose)
	for i := range both {
		if both[i].title != 0 { // the outline leads to the first of their headings
			f.pieces[mark].title = both[i].title
			break
		}
	}
}
