package layout

import (
	"slices"
	"strconv"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
)

// heading draws a heading; it stays with what follows. One of level 1 opens a
// part of the sheet, below a line across the page.
func (f *flow) heading(h *packet.Heading) {
	base, gap, lift := faceHeading, gapPart, 1.4
	if f.halved {
		base.size, gap = sizeStage, gapStage
	}
	if h.Level > 1 {
		base, gap, lift = face{page.Bold, sizeStep, black}, gapBlock+1, 0
	}
	t := f.text(h.Text, base, f.width)
	f.begin()
	f.draw(t, f.left, lift, flushLeft)
	f.titles = append(f.titles, title{h.Text, max(1, h.Level)})
	f.end(gap, lift+t.h, loose)
	f.pieces[len(f.pieces)-1].title = int32(len(f.titles))
	if h.Level <= 1 {
		f.ruled(thick)
	}
	f.holdNext = true
	f.inStage = 0
}

// para draws a paragraph.
func (f *flow) para(p *packet.Para) {
	base, width := faceBody, min(f.width, measure)
	if p.Small {
		base = faceSmall
	}
	f.flowText(f.set(p.Text, base, width), f.left, gapBlock-1)
}

// flowText draws a text as one piece, or where it is high as several of two
// lines at least.
func (f *flow) flowText(t prose, x, gap float64) {
	if t.h <= paraWhole {
		f.begin()
		f.draw(t, x, 0, flushLeft)
		f.end(gap, t.h, loose)
		return
	}
	for l := t.l0; l < t.l1; {
		n := min(2, t.l1-l)
		if t.l1-l == 3 {
			n = 3
		}
		f.begin()
		h := f.drawLines(t, l, l+n, x, 0, flushLeft)
		f.end(gap, h, loose)
		l, gap = l+n, 0
	}
}

// parts draws a text that is higher than a page, or what is left of it, as
// pieces that hold on to what stands before them.
func (f *flow) parts(t prose, x float64) {
	for l := t.l0; l < t.l1; {
		n := t.fit(l, f.part())
		f.begin()
		f.end(0, f.drawLines(t, l, l+n, x, 0, flushLeft), joined)
		l += n
	}
}

// notes draws lined room to write: one box, its lines listed as printed ink.
func (f *flow) notes(n *packet.Notes) {
	lines := max(1, n.Lines)
	room := f.tall - f.text(n.Title+" "+f.words.say("continued"), faceStrong, f.width).h - 2*capGap
	most := max(1, int(room/noteLine))
	for from := 0; from < lines; from += most {
		k := min(most, lines-from)
		f.begin()
		id, title := n.ID, n.Title
		if from > 0 {
			id += ".more" + strconv.Itoa(from/most)
			title += " " + f.words.say("continued")
		}
		y := f.draw(f.text(title, faceStrong, f.width), f.left, 0, flushLeft) + capGap
		h := float64(k) * noteLine
		b := page.Box{ID: id, Kind: page.Blank, X: f.left, Y: y, W: f.width, H: h}
		at := len(f.printed)
		for i := 1; i < k; i++ {
			ly := y + float64(i)*noteLine
			f.level(f.left+2, f.left+f.width-2, ly, thin, &mid)
			f.printed = append(f.printed, page.Printed{X: f.left + 2, Y: ly - thin/2, W: f.width - 4, H: thin})
		}
		b.Printed = f.printed[at:len(f.printed):len(f.printed)]
		f.boxes = append(f.boxes, b)
		f.end(gapBlock, y+h+capGap, loose)
	}
}

// pairs reports whether a list takes clearly less room with two items in a row;
// least is the height of a line with its tick box, gap that between items.
func (f *flow) pairs(l *packet.List, base face, width, least, gap float64) bool {
	one, two, last := 0.0, 0.0, 0.0
	for i, it := range l.Items {
		f.reset()
		one += gap + max(least, f.set(it.Text, base, min(f.width, measure)).h)
		h := gap + max(least, f.set(it.Text, base, width).h)
		if i%2 == 0 {
			last = 0
		}
		two += max(0, h-last)
		last = max(last, h)
	}
	return two <= 0.8*one
}

// list draws a list; its items stand two in a row where they are many and
// short, or beside their signs.
func (f *flow) list(l *packet.List) {
	if slices.ContainsFunc(l.Items, func(it packet.ListItem) bool { return it.Sign != "" }) {
		f.signed(l)
		return
	}
	base := faceBody
	if l.Large {
		base = faceLarge
	}
	indent, gap, least := 5.0, gapTight, 0.0
	if l.Tick {
		indent, gap, least = tickSize+2.5, tickGap, tickSize
	}
	half := (f.width - gutter) / 2
	cols := 1
	if len(l.Items) >= pairsLeast && !l.Large && f.pairs(l, base, half-indent, least, gap) {
		cols = 2
	}
	above, mark := gapList, f.here()
	for i := 0; i < len(l.Items); i += cols {
		f.begin()
		f.reset()
		h := 0.0
		for c := 0; c < cols && i+c < len(l.Items); c++ {
			it := &l.Items[i+c]
			x := f.left + float64(c)*(half+gutter)
			width := min(f.width, measure) - indent
			if cols == 2 {
				width = half - indent
			} else if l.Large {
				width = f.width - indent
			}
			t := f.set(it.Text, base, width)
			if t.h > f.tall { // never so in practice; the lines then flow without their box
				f.errorf("too-tall", "split it", "an item of a list is %.0f mm high, and a page has room for %.0f mm", t.h, f.tall)
			}
			y := 0.0
			if l.Tick {
				y = max(0, (tickSize-base.line())/2)
				top := max(0, (base.line()-tickSize)/2)
				f.box(page.Box{ID: it.ID, Kind: page.Tick, X: x, Y: top, W: tickSize, H: tickSize})
				h = max(h, top+tickSize)
			} else {
				f.fill(x+0.6, base.line()/2-0.7, 1.4, 1.4, &black)
			}
			f.draw(t, x+indent, y, flushLeft)
			h = max(h, y+t.h)
		}
		f.end(above, h, loose)
		above = gap
	}
	f.pairEnds(mark)
}

// facts draws a grid of labels, each with its value below it.
func (f *flow) facts(g *packet.Facts) {
	cols := max(1, g.Columns)
	w := (f.width - float64(cols-1)*gutter) / float64(cols)
	gap := gapBlock - 1
	for i := 0; i < len(g.Rows); i += cols {
		row := g.Rows[i:min(i+cols, len(g.Rows))]
		f.reset()
		f.blanks, f.cells = f.blanks[:0], f.cells[:0]
		for c := range row {
			k := &row[c]
			var cl cell
			cl.x, cl.w = f.left+float64(c)*(w+gutter), w
			cl.label = f.text(k.Label, faceLabel, w)
			cl.text = f.set(k.Value, faceBody, w)
			f.cells = append(f.cells, cl)
		}
		f.drawRow(gap, loose, &black)
		gap = 0
	}
}
