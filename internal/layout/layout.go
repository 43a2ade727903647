// Package layout places a packet on pages: it breaks lines and pages, draws the
// frames, and says where each box to write in lies.
//
// Entry point: Layout. It belongs here if it decides where something stands on
// paper or how it looks; every value of style is in style.go. It is not for
// deciding what a packet says (compose), what a drawing shows (figure), or how
// a page is written into a file (pdf).
//
// A packet's blocks become pieces, strips across the page that are never cut;
// each says how strongly it holds on to the one before it. The pieces are then
// cut into pages (pages.go), and each page gets its header, footer, codes and
// marks (furniture.go), which need the number of pages.
package layout

import (
	"slices"
	"sync"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

// papers are the sizes in mm. Source: ISO 216 for A4; for the others IEEE-ISTO PWG
// 5101.1, media size names (na_letter, na_legal, na_foolscap, om_folio), from memory.
var papers = map[string][2]float64{
	"A4": {210, 297}, "Letter": {215.9, 279.4}, "Legal": {215.9, 355.6}, "Foolscap": {215.9, 330.2}, "Folio": {210, 330},
}

// Paper gives the width and height in mm of a paper, one of record.Papers; ok is
// false for any other.
func Paper(name string) (w, h float64, ok bool) {
	size, ok := papers[name]
	return size[0], size[1], ok
}

// Layout places a packet on pages. Problems are errors where something cannot
// be printed as the packet says it: a missing word or glyph, a part that fits
// no page, an unknown paper or figure; the document is then not to be used.
// They are warnings where it prints less well than it could. The same packet
// gives the same document.
func Layout(p packet.Packet) (page.Doc, diag.List) {
	var problems diag.List
	w, h, ok := Paper(p.Paper)
	if !ok {
		problems.Errorf(diag.Pos{File: p.Job.ID}, "unknown-paper", "write A4, Letter, Legal, Foolscap or Folio", "there is no paper %q", p.Paper)
		return page.Doc{}, problems
	}
	f := &flow{
		left: marginLeft, width: w - marginLeft - marginRight, tall: h - bodyTop - bodyFoot,
		words: &words{packet: &p, problems: &problems}, problems: &problems, packet: &p, pad: rowPad,
	}
	b := bodies.Get().(*body)
	defer b.release(f)
	f.take(b, &p)
	f.bad = f.missingGlyph

	var leaves []leaf
	for i, s := range p.Sheets {
		f.sheet, f.lastStep = s.ID, [2]int{}
		f.inStage = stepsFirst
		f.halve(s.Columns == 2, w)
		f.bold = s.ID != "working" // the working is read at a desk
		mark := f.here()
		f.blocks(s.Blocks)
		f.bold = false
		if f.here() == mark {
			problems.Warnf(diag.Pos{File: p.Job.ID + " " + s.ID}, "empty-sheet", "", "the sheet %q says nothing and is left out", s.Title)
			continue
		}
		leaves = f.cut(leaves, i, mark)
	}

	doc := page.Doc{
		Title:    p.Job.ID + " · " + p.Job.Unit + " · " + p.Job.Title,
		Subject:  p.Job.UnitName,
		Language: p.Language,
		Created:  p.Job.Day + "T00:00:00Z",
		ID:       p.Fingerprint,
		Pages:    make([]page.Page, len(leaves)),
	}
	d := pageFrame{
		flow: f, w: w, h: h, of: len(leaves), finder: f.finder(p.Sheets, leaves, w),
		name: f.shortened(UnitName, w, p.Job.UnitName), title: f.shortened(ProcedureTitle, w, p.Job.Title),
		by: f.shortened(PrintedBy, w, f.words.say("printed_by", "program", p.Program, "site", p.Site)),
	}
	d.out.reserve(&f.canvas, len(leaves))
	for n, l := range leaves {
		s := p.Sheets[l.sheet]
		f.sheet = s.ID
		from := d.out.from()
		code := d.dress(n+1, l, s)
		f.put(&d.out, l, bodyTop)
		at := d.out.upTo(from)
		pg := page.Page{W: w, H: h, Sheet: s.ID, Title: s.Title, Codes: code, Marks: marks(w, h),
			Texts: d.out.texts[at.t0:at.t1:at.t1], Paths: d.out.paths[at.p0:at.p1:at.p1], Boxes: d.out.boxes[at.b0:at.b1:at.b1]}
		doc.Pages[n] = pg
		if !l.more {
			doc.Outline = append(doc.Outline, page.Mark{Title: s.Title, Page: n})
		}
		for _, q := range f.pieces[l.i:l.end()] {
			if q.title != 0 {
				t := f.titles[q.title-1]
				level := min(t.level, doc.Outline[len(doc.Outline)-1].Level+1) // no level is skipped
				doc.Outline = append(doc.Outline, page.Mark{Title: t.text, Page: n, Level: level})
			}
		}
	}
	return doc, problems.Sorted()
}

// body is memory that one packet after another is laid out in, before its pages
// are put together: it saves a packet of ten pages a third of a megabyte.
type body struct {
	canvas
	pieces []piece
}

var bodies = sync.Pool{New: func() any { return new(body) }}

// take lets a flow draw into the memory, with room for about what a packet comes to.
func (f *flow) take(b *body, p *packet.Packet) {
	n := 64 + 8*len(p.Working)
	for _, s := range p.Sheets {
		n += 24 * len(s.Blocks)
		for _, b := range s.Blocks {
			if b.Table != nil {
				n += 2 * len(b.Table.Rows) * len(b.Table.Columns)
			}
		}
	}
	f.texts, f.paths = slices.Grow(b.texts, n), slices.Grow(b.paths, n/2)
	f.segs, f.boxes = slices.Grow(b.segs, 2*n), slices.Grow(b.boxes, n/4)
	f.printed, f.pieces = b.printed, slices.Grow(b.pieces, n/2)
}

// release hands the memory that a flow drew into on, without what points elsewhere.
func (b *body) release(f *flow) {
	b.canvas, b.pieces = f.canvas, f.pieces[:0]
	b.texts, b.paths, b.boxes, b.printed = emptied(b.texts), emptied(b.paths), emptied(b.boxes), emptied(b.printed)
	b.segs = b.segs[:0]
	bodies.Put(b)
}

// emptied keeps the memory of a list but nothing that was in it.
func emptied[T any](s []T) []T {
	var zero T
	for i := range s {
		s[i] = zero
	}
	return s[:0]
}

// reserve makes room for another canvas's drawing with the furniture of pages.
func (c *canvas) reserve(o *canvas, pages int) {
	c.texts = make([]page.Text, 0, len(o.texts)*9/8+32*pages)
	c.paths = make([]page.Path, 0, len(o.paths)*9/8+16*pages)
	c.segs = make([]page.Seg, 0, len(o.segs)*9/8+80*pages)
	c.boxes = make([]page.Box, 0, len(o.boxes)+pages)
}

// missingGlyph notes a text that its face cannot print.
func (f *flow) missingGlyph(text string, c face) {
	if len(text) > 60 {
		text = string([]rune(text)[:40]) + "..."
	}
	f.errorf("missing-glyph", "use other characters", "no typeface of the pages has %q, in the text %q",
		string(typeface.Missing(c.Face, text)), text)
}

// blocks lays out a row of blocks.
func (f *flow) blocks(bs []packet.Block) {
	for i := range bs {
		f.block(&bs[i])
	}
}

func (f *flow) block(b *packet.Block) {
	f.reset()
	f.blanks, f.cells = f.blanks[:0], f.cells[:0]
	switch {
	case b.Heading != nil:
		f.heading(b.Heading)
	case b.Para != nil:
		f.para(b.Para)
	case b.Hazard != nil:
		f.hazard(b.Hazard)
	case b.Alert != nil:
		gap, hazard := gapPanel, f.inStage == 0
		if hazard { // it stands between a stage's heading and its first step
			gap = gapAlert
		}
		f.alert(b.Alert, gap, loose)
		f.holdNext = hazard
	case b.Facts != nil:
		f.facts(b.Facts)
	case b.List != nil:
		f.list(b.List)
	case b.Table != nil:
		f.table(b.Table)
	case b.Step != nil:
		f.step(b.Step)
	case b.Done != nil:
		f.done(b.Done)
	case b.Sign != nil:
		f.signOff(b.Sign)
	case b.Figures != nil:
		f.drawFigures(b.Figures, f.left, f.width, gapBlock, loose)
	case b.Notes != nil:
		f.notes(b.Notes)
	case b.Entries != nil:
		f.entries(b.Entries)
	case b.Keep != nil:
		mark := f.here()
		f.blocks(b.Keep)
		f.bind(mark, kept)
	default:
		f.errorf("unknown-block", "a kind of block is drawn by a case of flow.block", "a block of the packet is of no kind that can be drawn")
	}
}
