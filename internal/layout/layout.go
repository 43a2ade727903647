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

// paperSize gives the width and height in mm of a paper, such as A4; ok is
// false for any other.
func paperSize(name string) (w, h float64, ok bool) {
	size, ok := papers[name]
	return size[0], size[1], ok
}

// Layout places a packet on pages. Problems are errors where something cannot
// be printed as the packet says it: a missing word or glyph, a part that fits
// no page, an unknown paper or figure; the document is then not to be used.
// They are warnings where it prints less well than it could. The same packet
// gives the same document.
func Layout(p packet.Packet) (page.Doc, diag.List) { return new(Desk).Layout(p) }

// Layout places a packet on pages, which are good until Done.
func (k *Desk) Layout(p packet.Packet) (page.Doc, diag.List) {
	var problems diag.List
	w, h, ok := paperOf(&p, &problems)
	if !ok {
		return page.Doc{}, problems
	}
	f := k.begin(&p, &problems, w, h-bodyTop-bodyFoot)
	defer k.takeBack(f)

	var leaves []leaf
	f.bold = true
	for i := range p.Sheets {
		s := &p.Sheets[i]
		f.sheet = s.ID
		f.halve(s.Columns == 2, w)
		from := len(leaves)
		leads := i+1 < len(p.Sheets) && p.Sheets[i+1].Follow
		if leaves = f.fit(leaves, i, s, leads); len(leaves) == from {
			f.emptySheet(s.Title)
			continue
		}
		if s.Front && from%2 == 1 {
			leaves = slices.Insert(leaves, from, leaf{sheet: i, more: true})
		}
	}
	f.bold = false

	doc := document(&p, len(leaves))
	d := pageFrame{
		flow: f, w: w, h: h, of: len(leaves), finder: f.finder(p.Sheets, leaves, w),
		name: f.shortened(UnitName, w, p.Job.UnitName), title: f.shortened(ProcedureTitle, w, p.Job.Title),
		by: f.shortened(PrintedBy, w, f.words.say("printed_by", "program", p.Program, "site", p.Site)),
	}
	d.out = k.carried
	for n, l := range leaves {
		s := p.Sheets[l.sheet]
		f.sheet = s.ID
		from := d.out.from()
		code := d.dress(n+1, l, s)
		if l.j > l.i {
			f.put(&d.out, l, bodyTop)
		} else {
			d.out.say(faceLabel, marginLeft, bodyTop+faceLabel.rise(), f.words.say("blank_side"))
		}
		pg := d.out.page(from, w, h, s)
		pg.Codes, pg.Marks = code, marks(w, h)
		doc.Pages[n] = pg
		if !l.more {
			doc.Outline = append(doc.Outline, page.Mark{Title: s.Title, Page: n})
		}
		doc.Outline = f.outline(doc.Outline, l.i, l.last(), n)
		if l.below.j > 0 {
			doc.Outline = append(doc.Outline, page.Mark{Title: p.Sheets[l.next].Title, Page: n})
			doc.Outline = f.outline(doc.Outline, l.below.i, l.end(), n)
		}
	}
	k.carried = d.out
	return doc, problems.Sorted()
}

// outline adds the headings among some pieces, which stand on page n.
func (f *flow) outline(to []page.Mark, from, end, n int) []page.Mark {
	for _, q := range f.pieces[from:end] {
		if q.title != 0 {
			t := f.titles[q.title-1]
			level := min(t.level, to[len(to)-1].Level+1) // no level is skipped
			to = append(to, page.Mark{Title: t.text, Page: n, Level: level})
		}
	}
	return to
}

// paperOf gives the width and height in mm of a packet's paper.
func paperOf(p *packet.Packet, problems *diag.List) (w, h float64, ok bool) {
	if w, h, ok = paperSize(p.Paper); !ok {
		problems.Errorf(diag.Pos{File: p.Job.ID}, "unknown-paper", "write A4, Letter, Legal, Foolscap or Folio", "there is no paper %q", p.Paper)
	}
	return w, h, ok
}

// document gives a packet's document with so many pages, still empty.
func document(p *packet.Packet, pages int) page.Doc {
	return page.Doc{
		Title:    p.Job.ID + " · " + p.Job.Unit + " · " + p.Job.Title,
		Subject:  p.Job.UnitName,
		Language: p.Language,
		Created:  p.Job.Day + "T00:00:00Z",
		ID:       p.Fingerprint,
		Pages:    make([]page.Page, pages),
	}
}

// page gives what was drawn since as a page of a sheet.
func (c *canvas) page(since span, w, h float64, s packet.Sheet) page.Page {
	at := c.upTo(since)
	return page.Page{W: w, H: h, Sheet: s.ID, Title: s.Title,
		Texts: c.texts[at.t0:at.t1:at.t1], Paths: c.paths[at.p0:at.p1:at.p1], Boxes: c.boxes[at.b0:at.b1:at.b1]}
}

// emptySheet warns of a sheet that says nothing.
func (f *flow) emptySheet(title string) {
	f.warnf("empty-sheet", "", "the sheet %q says nothing and is left out", title)
}

// fit lays a sheet out on pages, and the more closely where it would take more of them
// than it may, or leads the next one on its last page. In columns, whose gaps are narrow as
// it is, only the type is closer.
func (f *flow) fit(leaves []leaf, sheet int, s *packet.Sheet, leads bool) []leaf {
	f.dense = s.Pages > 0 && !f.halved
	if s.Front && s.Pages == 1 { // it is read at arm's length: large, where the page has room
		for _, try := range []struct{ dense, large bool }{{false, true}, {true, true}} {
			f.dense, f.large = try.dense, try.large
			before := f.save()
			out := f.lay(slices.Clone(leaves), sheet, s.Blocks, 0)
			f.dense, f.large = false, false
			if len(out)-len(leaves) == 1 {
				return out
			}
			f.restore(before)
		}
		f.dense = true
	}
	last := 0
	switch {
	case f.dense:
		last = len(denser) - 1
	case s.Pages > 0:
		last = 1
	}
	defer func() { f.dense, f.squeeze = false, 0 }()
	room := 0.0
	if s.Follow && len(leaves) > 0 {
		room = f.foot(&leaves[len(leaves)-1])
	}
	if leads && f.dense {
		f.squeeze = 1
	}
	for ; ; f.squeeze++ {
		before := f.save()
		f.inStage, f.lastStep = stepsFirst, [2]int{}
		out := f.lay(slices.Clone(leaves), sheet, s.Blocks, room)
		if len(out)-len(leaves) <= s.Pages || f.squeeze == last {
			return out
		}
		f.restore(before)
	}
}

// lay lays blocks out on pages; a heading that says so begins one.
func (f *flow) lay(leaves []leaf, sheet int, bs []packet.Block, room float64) []leaf {
	first := len(leaves)
	for len(bs) > 0 {
		n := 1 + turned(bs[1:])
		mark := f.here()
		if f.blocks(bs[:n]); f.here() > mark {
			from := len(leaves)
			leaves = f.cut(leaves, sheet, mark, room)
			if room = 0; from < len(leaves) && from > first {
				leaves[from].more = true
			}
		}
		bs = bs[n:]
	}
	return leaves
}

// turned gives the place of the first block that begins a page; their number if none
// does.
func turned(bs []packet.Block) int {
	for i := range bs {
		if h := bs[i].Heading; h != nil && h.Turn {
			return i
		}
	}
	return len(bs)
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
	case b.Heading != nil && f.annex:
		f.annexHeading(b.Heading)
	case b.Heading != nil:
		f.heading(b.Heading)
	case b.Para != nil:
		f.para(b.Para)
	case b.Hazard != nil:
		f.hazard(b.Hazard)
	case b.Alert != nil:
		gap, hazard := f.gap(gapPanel), f.inStage == 0
		if hazard { // it stands between a stage's heading and its first step
			gap = gapAlert
		}
		if n := len(f.pieces); n > 0 && f.pieces[n-1].b1 > f.pieces[n-1].b0 { // places to write on stand right above
			gap = max(gap, tickClose)
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
		mark := f.here()
		f.drawFigures(b.Figures, f.left, f.width, f.blockGap(), loose)
		for i := range b.Figures {
			f.named(mark, b.Figures[i].Index)
		}
	case b.Notes != nil:
		f.notes(b.Notes)
	case b.Working != nil:
		f.working(b.Working)
	case b.Index != nil:
		f.index(b.Index)
	case b.Beside != nil:
		f.sideBySide(b.Beside)
	case b.Keep != nil:
		mark := f.here()
		f.blocks(b.Keep)
		f.bind(mark, kept)
	default:
		f.errorf("unknown-block", "a kind of block is drawn by a case of flow.block", "a block of the packet is of no kind that can be drawn")
	}
}
