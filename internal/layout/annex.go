package layout

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

// Annex places a packet's annex on pages of its own, which count by themselves. Its
// sheets follow one another down the page where they have as many columns. Problems
// are those of Layout. A packet without an annex gives the document without its pages.
func Annex(p packet.Packet) (page.Doc, diag.List) { return new(Desk).Annex(p) }

// Annex places a packet's annex on pages, which are good until Done.
func (k *Desk) Annex(p packet.Packet) (page.Doc, diag.List) {
	var problems diag.List
	w, h, ok := paperOf(&p, &problems)
	if !ok {
		return page.Doc{}, problems
	}
	f := k.begin(&p, &problems, w, h-annexTop-annexFoot)
	defer k.takeBack(f)
	f.annex = true

	var leaves []leaf
	var begins []int // the first piece of each sheet; -1 for one that is left out
	columns, mark := 0, f.here()
	for i := range p.Annex {
		s := &p.Annex[i]
		f.sheet, f.lastStep = s.ID, [2]int{}
		if i > 0 && s.Columns != columns {
			leaves, mark = f.cut(leaves, i-1, mark, 0), f.here()
		}
		columns = s.Columns
		f.halve(columns == 2, w)
		begins = append(begins, f.annexSheet(s))
	}
	leaves = f.cut(leaves, len(p.Annex)-1, mark, 0)

	doc := document(&p, len(leaves))
	doc.ID += annexID
	parts := f.annexParts(leaves)
	d := annexFrame{flow: f, w: w, h: h, of: len(leaves), finder: f.annexFinder(p.Annex, begins, leaves, w-marginLeft-marginRight)}
	d.out = k.annex
	sheet := 0 // that at the top of the page
	for n, l := range leaves {
		for i := sheet + 1; i < len(begins) && begins[i] <= l.i; i++ {
			if begins[i] >= 0 {
				sheet = i
			}
		}
		from := d.out.from()
		d.dress(n+1, cmp.Or(p.Annex[sheet].Index, p.Annex[sheet].Title), parts[n])
		f.put(&d.out, l, annexTop)
		doc.Pages[n] = d.out.page(from, w, h, p.Annex[sheet])
		for _, q := range f.pieces[l.i:l.end()] {
			if q.title != 0 {
				t := f.titles[q.title-1]
				doc.Outline = append(doc.Outline, page.Mark{Title: t.text, Page: n, Level: t.level - 1})
			}
		}
	}
	k.annex = d.out
	return doc, problems.Sorted()
}

// annexLines is how many lines the foot of the annex has for saying where things are.
const annexLines = 2

// annexID tells the annex's file from its packet's.
const annexID = " annex"

// annexSheet lays out a sheet below its title and gives its first piece; -1 where it
// says nothing.
func (f *flow) annexSheet(s *packet.Sheet) int {
	mark := f.here()
	before, titles := f.save(), len(f.titles)
	f.reset()
	f.annexHeading(&packet.Heading{Text: s.Title, Level: 1})
	below := f.here()
	f.blocks(s.Blocks)
	if f.here() > below {
		f.holdNext = false
		return mark
	}
	f.restore(before)
	f.titles = f.titles[:titles]
	f.emptySheet(s.Title)
	return -1
}

// annexFrame draws what stands on every page of the annex: a line above and one below.
type annexFrame struct {
	*flow
	out  canvas
	w, h float64
	of   int // pages

	finder string // where each sheet begins
	foot   span   // as it was drawn first
}

// annexParts says of each page which entries or sources begin there, and of which sheets
// and steps.
func (f *flow) annexParts(leaves []leaf) []string {
	out := make([]string, len(leaves))
	part := "" // the last heading
	for n, l := range leaves {
		var first, last string // keys
		var parts []string
		steps := [2]string{}
		close := func() {
			name := part
			if steps[0] != "" {
				name = steps[0]
			}
			if steps[1] != steps[0] {
				name += " – " + steps[1]
			}
			name = strings.ReplaceAll(name, " ", "\u00a0") // what has no room is left out whole
			if name != "" && !slices.Contains(parts, name) {
				parts = append(parts, name)
			}
			steps = [2]string{}
		}
		for i, p := range f.pieces[l.i:l.end()] {
			if p.title != 0 {
				if i > 0 {
					close()
				}
				if part = ""; f.titles[p.title-1].level > 1 {
					part = f.titles[p.title-1].name()
				}
			}
			if p.first != "" {
				steps[0], steps[1] = cmp.Or(steps[0], p.first), p.last
			}
			if p.key != "" {
				first, last = cmp.Or(first, p.key), p.key
			}
		}
		close()
		if first != last {
			first += " – " + last
		}
		out[n] = strings.Join(append([]string{first}, parts...), " ·\u00a0")
	}
	return out
}

// name is what the heads and feet of the annex call a part.
func (t *title) name() string { return cmp.Or(t.index, t.text) }

// annexFinder says on which pages each sheet and each part of one stands, in two lines.
func (f *flow) annexFinder(sheets []packet.Sheet, begins []int, leaves []leaf, w float64) string {
	s := ""
	for _, most := range finderCuts {
		var out []string
		from, to := 0, 0
		close := func() {
			if len(out) > 0 && to > from {
				out[len(out)-1] += "–" + strconv.Itoa(to+1)
			}
		}
		add := func(name string, n int) {
			close()
			from = n
			if most > 0 {
				name = packet.Beginning(name, most)
			}
			out = append(out, unbroken.Replace(name)+"\u00a0"+strconv.Itoa(n+1))
		}
		for n, l := range leaves {
			for i := l.i; i < l.end(); i++ {
				if at := slices.Index(begins, i); at >= 0 {
					if sheets[at].Index != "" || !f.headed(i+1, begins) {
						add(cmp.Or(sheets[at].Index, sheets[at].Title), n)
					}
				} else if t := f.pieces[i].title; t != 0 && most != 0 && !slices.ContainsFunc(sheets, func(s packet.Sheet) bool { return s.Title == f.titles[t-1].text }) {
					add(f.titles[t-1].name(), n)
				}
				to = n
			}
		}
		close()
		s = strings.Join(out, " · ")
		f.reset()
		if t := f.text(s, faceAnnexStrong, w); t.l1-t.l0 <= annexLines {
			break
		}
	}
	return s
}

// headed reports whether the sheet whose pieces go on from one has headings of its own,
// which are named in its place.
func (f *flow) headed(i int, begins []int) bool {
	for ; i < len(f.pieces) && !slices.Contains(begins, i); i++ {
		if t := f.pieces[i].title; t != 0 && f.titles[t-1].level > 1 {
			return true
		}
	}
	return false
}

func (d *annexFrame) dress(n int, title, more string) {
	c, p := &d.out, d.packet
	left, right := marginLeft, d.w-marginRight
	base := annexRule - gapTight
	number := d.words.say("annex.page", "n", strconv.Itoa(n), "N", strconv.Itoa(d.of))
	c.sayRight(faceAnnexHead, right, base, number)
	right -= typeface.Width(faceAnnexHead.Face, faceAnnexHead.size, number) + gutter
	c.sayRight(faceAnnexHead, right, base, p.Fingerprint)
	right -= typeface.Width(faceAnnexHead.Face, faceAnnexHead.size, p.Fingerprint) + gutter

	head := p.Job.ID + " · " + p.Job.Unit
	c.say(faceAnnexHead, left, base, head)
	left += typeface.Width(faceAnnexHead.Face, faceAnnexHead.size, head) + gutter
	if more != "" {
		title += "  " + more
	}
	d.reset()
	t := d.text(title, faceTable, max(textLeast, right-left)) // what has no room is left out
	from := d.from()
	d.drawLines(t, t.l0, min(t.l0+1, t.l1), left, base-faceTable.rise(), flushLeft)
	d.move(from)
	c.level(marginLeft, d.w-marginRight, annexRule, rule, &black)

	if d.foot != (span{}) {
		c.copy(c, d.foot, 0, 0)
		return
	}
	foot := c.from()
	c.level(marginLeft, d.w-marginRight, d.h-annexFoot+gapTight, thin, &black)
	d.reset()
	top, w := d.h-annexFoot+gapTight+gapTight/4, d.w-marginLeft-marginRight
	t = d.text(d.finder, faceAnnexStrong, w)
	lines := min(t.l1-t.l0, annexLines)
	used := 0.0
	if lines > 0 {
		used = d.lines[t.l0+lines-1].w
	}
	from = d.from()
	d.drawLines(t, t.l0, t.l0+lines, marginLeft, top, flushLeft)
	if lines < annexLines { // it has a line of its own
		lines, used = lines+1, 0
	}
	d.move(from)
	by := d.words.say("printed_by", "program", p.Program, "site", p.Site)
	if used+gutter+typeface.Width(faceAnnex.Face, faceAnnex.size, by) <= w { // what has no room is left out
		c.sayRight(faceAnnex, d.w-marginRight, top+float64(lines-1)*faceAnnex.line()+faceAnnex.rise(), by)
	}
	d.foot = c.upTo(foot)
}

// move draws what was drawn since a mark on the pages' canvas instead.
func (d *annexFrame) move(from span) {
	s := d.upTo(from)
	d.out.copy(&d.canvas, s, 0, 0)
	d.texts, d.paths = d.texts[:s.t0], d.paths[:s.p0]
}
