package layout

import (
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
	gap, lift = f.gap(gap), f.gap(lift)
	t := f.text(h.Text, base, f.width)
	f.begin()
	f.draw(t, f.left, lift, flushLeft)
	f.titles = append(f.titles, title{text: h.Text, level: max(1, h.Level), index: h.Index})
	f.end(gap, lift+t.h, loose)
	f.pieces[len(f.pieces)-1].title = int32(len(f.titles))
	if h.Level <= 1 {
		f.ruled(thick)
	}
	f.holdNext = true
	f.inStage = 0
}

// running is how wide running text is set.
func (f *flow) running() float64 {
	if f.dense {
		return f.width
	}
	return min(f.width, measure)
}

// para draws a paragraph.
func (f *flow) para(p *packet.Para) {
	base, width := f.body(), f.running()
	if p.Small {
		base = faceSmall
	}
	f.flowText(f.set(p.Text, base, width), f.left, f.gap(gapBlock-1))
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
	lines := max(1, n.Lines-f.squeeze)
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
		f.end(f.blockGap(), y+h+capGap, loose)
	}
}

// facts draws a grid of labels, each with its value below it.
func (f *flow) facts(g *packet.Facts) {
	cols := max(1, g.Columns)
	w := (f.width - float64(cols-1)*gutter) / float64(cols)
	gap := f.gap(gapBlock - 1)
	if f.dense {
		f.pad = rowPadDense
	}
	for i := 0; i < len(g.Rows); i += cols {
		row := g.Rows[i:min(i+cols, len(g.Rows))]
		f.reset()
		f.blanks, f.cells = f.blanks[:0], f.cells[:0]
		for c := range row {
			k := &row[c]
			var cl cell
			cl.x, cl.w = f.left+float64(c)*(w+gutter), w
			if f.dense { // label and value in one line
				f.phrase = append(append(f.phrase[:0], packet.Span{Text: k.Label + "  ", Style: packet.Soft}), k.Value...)
				for i := range f.phrase {
					if f.phrase[i].Style == packet.Plain {
						f.phrase[i].Style = packet.Strong
					}
				}
				cl.text = f.set(f.phrase, f.body(), w)
			} else {
				cl.label = f.text(k.Label, faceLabel, w)
				cl.text = f.set(k.Value, faceBody, w)
			}
			f.cells = append(f.cells, cl)
		}
		f.drawRow(gap, loose, &black)
		gap = 0
	}
	f.pad = rowPad
}
