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
// memory.
func (k *Desk) begin(p *packet.Packet, problems *diag.List, w, tall float64) *flow {
	f := &flow{
		left: marginLeft, width: w - marginLeft - marginRight, tall: tall,
		words: wordsOf(p, problems), problems: problems, packet: p, pad: rowPad,
	}
	f.bad = f.missingGlyph
	f.canvas, f.pieces = k.body, k.pieces
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
