package layout

import (
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
)

// Desk is memory that one packet after another is laid out in: a packet of ten pages
// takes two megabytes, which would else be garbage. It is for one goroutine at a time.
type Desk struct {
	body           canvas // the pieces, before they are put together as pages
	pieces         []piece
	carried, annex canvas // the pages
}

// desks are those on which no packet lies now. A sync.Pool would lose some to each
// garbage collection.
var desks = make(chan *Desk, 32)

// NewDesk gives one that another packet is done with, where there is one.
func NewDesk() *Desk {
	select {
	case k := <-desks:
		return k
	default:
		return new(Desk)
	}
}

// Done hands the memory on: the pages that were laid out in it are good no longer.
func (k *Desk) Done() {
	k.carried.empty()
	k.annex.empty()
	select {
	case desks <- k:
	default:
	}
}

// begin gives a flow for pages so wide and with a body so high, that draws into the
// memory, with room for about what the sheets come to.
func (k *Desk) begin(p *packet.Packet, sheets []packet.Sheet, problems *diag.List, w, tall float64) *flow {
	f := &flow{
		left: marginLeft, width: w - marginLeft - marginRight, tall: tall,
		words: wordsOf(p, problems), problems: problems, packet: p, pad: rowPad,
	}
	f.bad = f.missingGlyph
	n := 64
	for _, s := range sheets {
		n += 24 * len(s.Blocks)
		for _, b := range s.Blocks {
			switch {
			case b.Table != nil:
				n += 2 * len(b.Table.Rows) * len(b.Table.Columns)
			case b.Working != nil:
				n += 32 * len(b.Working.Entries)
			case b.Index != nil:
				n += 4 * len(b.Index.Rows)
			}
		}
	}
	f.canvas, f.pieces = k.body.grown(n, n/2, 2*n, n/4), slices.Grow(k.pieces, n/2)
	return f
}

// takeBack takes the memory that a flow drew into, for the next.
func (k *Desk) takeBack(f *flow) {
	k.body, k.pieces = f.canvas, f.pieces[:0]
	k.body.empty()
}

// empty keeps the memory of a canvas but nothing that was drawn, nor what that points to.
func (c *canvas) empty() {
	*c = canvas{emptied(c.texts), emptied(c.paths), emptied(c.boxes), c.segs[:0], emptied(c.printed)}
}

func emptied[T any](s []T) []T { return slices.Delete(s, 0, len(s)) }

// grown gives the canvas with room for so much more.
func (c *canvas) grown(texts, paths, segs, boxes int) canvas {
	return canvas{slices.Grow(c.texts, texts), slices.Grow(c.paths, paths), slices.Grow(c.boxes, boxes), slices.Grow(c.segs, segs), c.printed}
}

// reserve gives the canvas with room for another's drawing and the furniture of pages.
func (c *canvas) reserve(o *canvas, pages int) canvas {
	return c.grown(len(o.texts)*9/8+32*pages, len(o.paths)*9/8+16*pages, len(o.segs)*9/8+80*pages, len(o.boxes)+pages)
}
