package layout

import (
	"cmp"
	"strconv"
	"strings"
	"unicode/utf8"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/pagecode"
	"jobsheaf/internal/typeface"
)

// pageFrame draws what stands on every page: corner marks, header, footer and the
// two codes.
type pageFrame struct {
	*flow
	out    canvas
	w, h   float64
	of     int    // pages
	finder string // where each sheet begins
	name   string // of the unit; it, the title and the line of print are shortened to their room
	title  string // of the procedure
	by     string // what the pages were printed by, and for whom
	large  bool   // the codes' modules are too small, and that has been said

	// What is the same on every page, where it was drawn first.
	names, foot span
	code        float64 // where the footer's line with the text of the code begins
}

// marks gives the centres of the four corner marks.
func marks(w, h float64) [4][2]float64 {
	return [4][2]float64{{markAt, markAt}, {w - markAt, markAt}, {markAt, h - markAt}, {w - markAt, h - markAt}}
}

// dress draws the furniture of page n, counted from 1, and gives its codes.
func (d *pageFrame) dress(n int, l leaf, s packet.Sheet) []page.Code {
	d.corners()
	page, pages := strconv.Itoa(n), strconv.Itoa(d.of)
	d.header(s.Title, d.more(l), d.words.say("page", "n", page, "N", pages))
	text, codes := d.codes(n)
	d.footer(text)
	return codes
}

// more says beside a sheet's title what the page has of it: the first and the last
// of its steps or keys, or else that it goes on.
func (f *flow) more(l leaf) string {
	if l.i == l.end() { // a blank side
		return ""
	}
	first, last := "", ""
	for i := l.i; i < l.end(); i++ {
		if p := &f.pieces[i]; p.first != "" {
			first, last = cmp.Or(first, p.first), p.last
		}
	}
	switch {
	case first != "" && first != last:
		return first + " – " + last
	case first == "" && l.more:
		return f.words.say("continued")
	}
	return first
}

// finderLines is how many lines the footer has for saying where things are.
const finderLines = 3

// finderCuts are lengths to which the feet of pages cut the names of things until they have
// room for all of them, each with its last page; -1 is in full, 0 the sheets alone.
var finderCuts = []int{-1, 20, 16, 12, 8, 0}

// finder says on which page things are.
func (f *flow) finder(sheets []packet.Sheet, leaves []leaf, w float64) string {
	fits := func(s string) bool {
		f.reset()
		t := f.text(s, faceFinder, footWidth(w))
		return t.l1-t.l0 <= finderLines
	}
	for _, most := range finderCuts {
		s := f.finderOf(sheets, leaves, most)
		if s == "" || !fits(s) { // nothing has a name for it: the sheets' titles stand there
			continue
		}
		if len(f.packet.Annex) > 0 {
			if more := s + " · " + f.words.say("annex.file", "file", f.packet.Job.ID+"-annex.pdf"); fits(more) {
				return more
			}
		}
		return s
	}
	return ""
}

// finderOf says on which pages each sheet stands, and each part of one, by names of so many
// characters at most; with 0 the sheets alone.
func (f *flow) finderOf(sheets []packet.Sheet, leaves []leaf, most int) string {
	var out []string
	var from, to, of int // pages and entry of what was added last
	open := false        // more of it may follow
	closed := func() {
		if open && to > from {
			out[of] += "–" + strconv.Itoa(to+1)
		}
		open = false
	}
	enter := func(name string, n int) {
		if most > 0 {
			name = packet.Beginning(name, most)
		}
		out = append(out, unbroken.Replace(name)+"\u00a0"+strconv.Itoa(n+1))
	}
	add := func(name string, n int) {
		closed()
		from, to, of, open = n, n, len(out), true
		enter(name, n)
	}
	for n, l := range leaves {
		if !l.more {
			closed()
		}
		if s := &sheets[l.sheet]; !l.more && (s.Index != "" || most == 0) {
			add(cmp.Or(s.Index, s.Title), n)
		}
		if s := &sheets[l.next]; l.below.j > 0 && (s.Index != "" || most == 0) {
			add(cmp.Or(s.Index, s.Title), n)
		}
		if most == 0 {
			continue
		}
		for _, p := range f.pieces[l.i:l.end()] {
			switch {
			case p.title == 0 || f.titles[p.title-1].index == "":
				to = n
			case f.titles[p.title-1].within:
				enter(f.titles[p.title-1].index, n)
				to = n
			default:
				add(f.titles[p.title-1].index, n)
			}
		}
	}
	closed()
	return strings.Join(out, " · ")
}

// named enters in the index at the foot of the pages what begins with the piece at a mark.
func (f *flow) named(mark int, index string) {
	if index != "" && f.here() > mark {
		f.titles = append(f.titles, title{text: index, level: 2, index: index, within: true})
		f.pieces[mark].title = int32(len(f.titles))
	}
}

// unbroken keeps a name on one line.
var unbroken = strings.NewReplacer(" ", "\u00a0", "-", "\u2011")

// corners draws the marks: checkers of 2 by 2, dark at top left and bottom right.
func (d *pageFrame) corners() {
	for _, m := range marks(d.w, d.h) {
		const a = markSize / 2
		d.out.fill(m[0]-a, m[1]-a, a, a, &black)
		d.out.fill(m[0], m[1], a, a, &black)
	}
}

// codes makes the page's code, which stands at the top right and again at the
// bottom left.
func (d *pageFrame) codes(n int) (string, []page.Code) {
	at := diag.Pos{File: d.packet.Job.ID}
	text, err := pagecode.Ref{Link: d.packet.Link, Job: d.packet.Job.ID, Page: n, Pages: d.of, Fingerprint: d.packet.Fingerprint}.Text()
	if err != nil {
		d.problems.Errorf(at, "page-code", "", "%v", err)
		return "", nil
	}
	c, err := pagecode.Encode(text)
	if err != nil {
		d.problems.Errorf(at, "page-code", "", "%v", err)
		return "", nil
	}
	if c.Version > pagecode.MaxVersion && !d.large {
		d.large = true
		d.problems.Warnf(at, "code-too-fine", "shorten the site's link, or write its path in upper case",
			"the text of the pages' code, %q, is too long for a code that reads well after a photocopy; a link of at most %d characters in upper case would do",
			text, pagecode.LinkRoom(d.packet.Job.ID, d.of, d.packet.Fingerprint))
	}
	q := page.Code{X: d.w - codeAside - codeLarge, Y: codeTop, Size: codeLarge, Modules: c.Modules, Text: text, Level: c.Level, Version: c.Version}
	low := q
	low.X, low.Y, low.Size = codeAside, d.h-codeFoot-codeSmall, codeSmall
	return text, []page.Code{q, low}
}

// header draws the sheet's title and page number, and below them the job, the unit,
// the procedure and the fingerprint, all beside the code.
func (d *pageFrame) header(title, more, number string) {
	const base = 11.8 // of the title
	left, right := marginLeft, headRight(d.w)
	c, p := &d.out, d.packet

	c.sayRight(faceHeading, right, base, number)
	most := right - left - typeface.Width(faceHeading.Face, faceHeading.size, number) - gutter
	if more != "" {
		most -= typeface.Width(faceStep.Face, faceStep.size, more) + gapSmall
	}
	f := faceHeading
	if typeface.Width(f.Face, f.size, title) > most {
		f = faceStrong
	}
	d.reset()
	t := d.text(title, f, most)
	d.room("sheet title", title, t, 1)
	d.onto(t, left, base-f.rise())
	if more != "" && t.l1 > t.l0 {
		c.say(faceStep, left+d.lines[t.l0].w+gapSmall, base, more)
	}

	d.again(&d.names, func() {
		const label, value = 16.2, 21.2 // baselines
		job := jobColumn(p.Job.ID)
		at := left
		for _, col := range []struct {
			what, label, value string
			w                  float64
		}{
			{"job ID", d.words.say("job"), p.Job.ID, job - jobGap},
			{"unit's tag", d.name, p.Job.Unit, unitColumn - unitGap},
		} {
			d.reset()
			d.onto(d.text(col.label, faceLabel, col.w), at, label-faceLabel.rise())
			d.reset()
			t := d.tag(col.value, col.w)
			d.room(col.what, col.value, t, 1)
			d.onto(t, at, value-t.base.rise())
			at = left + job
		}
		at += unitColumn
		d.caption(at, right-printColumn-gapSmall, label)
		d.reset()
		t := d.flow.title(d.title, titleWidth(d.w, job))
		d.onto(t, at, value-t.base.rise())
		x := right - printColumn
		d.reset()
		d.onto(d.text(p.Job.Day, faceLabel, printColumn), x, label-faceLabel.rise())
		c.say(face{page.Mono, sizeStep, black}, x, value, p.Fingerprint)
		c.level(marginLeft, d.w-marginRight, headRule+thick/2, thick, &black)
	})
}

// caption says above the procedure's title its revision, and flush right, before the day of
// the job, which print the packet is and which one it replaces. That must be seen: where
// there is no room for both the caption is cut short, or left out.
func (d *pageFrame) caption(left, right, base float64) {
	j := &d.packet.Job
	if j.Replaces != "" {
		says := d.words.say("replaces", "n", strconv.Itoa(j.Print), "fingerprint", j.Replaces)
		d.out.sayRight(faceFinder, right, base, says)
		right -= typeface.Width(faceFinder.Face, faceFinder.size, says) + gapSmall
	}
	for _, c := range []struct {
		key string
		f   face
	}{{"procedure", faceLabel}, {"revision", faceTick}} {
		says := d.words.say(c.key, "rev", j.Revision)
		if j.Replaces == "" || left+typeface.Width(c.f.Face, c.f.size, says) <= right {
			d.out.say(c.f, left, base, says)
			return
		}
	}
}

// again draws what is the same on every page: the first time by draw, and from then
// on as it was drawn then, with no line broken again.
func (d *pageFrame) again(s *span, draw func()) {
	if *s != (span{}) {
		d.out.copy(&d.out, *s, 0, 0)
		return
	}
	from := d.out.from()
	draw()
	*s = d.out.upTo(from)
}

// room notes a text of the header that takes more lines than there are: it
// would be printed over something else.
func (d *pageFrame) room(what, s string, t prose, most int) {
	if n := t.l1 - t.l0; n > most {
		d.problems.Errorf(diag.Pos{File: d.packet.Job.ID}, "header-room", "shorten it to about "+strconv.Itoa(utf8.RuneCountInString(s)*most/n)+" characters",
			"the %s has %d characters, too many for the pages' header: %q", what, utf8.RuneCountInString(s), clip(s, 60))
	}
}

// onto draws a text on the pages' canvas.
func (d *pageFrame) onto(t prose, x, y float64) {
	from := d.from()
	d.draw(t, x, y, flushLeft)
	d.lift(from)
}

// lift moves what was drawn since a mark onto the pages' canvas.
func (d *pageFrame) lift(from span) {
	s := d.upTo(from)
	d.out.copy(&d.canvas, s, 0, 0)
	d.texts, d.paths = d.texts[:s.t0], d.paths[:s.p0]
}

// footer draws the band beside the lower code: how to fill the page in and how to ask
// whether it is current, where things are, and what the code says and who printed it.
func (d *pageFrame) footer(text string) {
	c := &d.out
	c.level(marginLeft, d.w-marginRight, d.h-footRule, thin, &black)
	d.again(&d.foot, func() {
		y, line := d.h-footRule+gapTight, faceLabel.line()
		d.reset()
		t := d.text(d.finder, faceFinder, footWidth(d.w))
		if n := t.l1 - t.l0; n > 2 {
			y, line = d.h-footRule+gapTight/2, footTall/float64(n+2)
		}
		d.code = y + float64(max(2, t.l1-t.l0)+1)*line
		c.say(faceLabel, footLeft, y+faceLabel.rise(), d.words.say("pen"))
		from := d.from()
		for l := t.l0; l < t.l1; l++ {
			d.drawLines(t, l, l+1, footLeft, y+float64(l-t.l0+1)*line, flushLeft)
		}
		d.lift(from)
	})
	mono := face{page.Mono, sizeLabel, black}
	c.say(mono, footLeft, d.code+faceLabel.rise(), text)
	if at := footLeft + codeText; footLeft+typeface.Width(mono.Face, mono.size, text)+gapSmall <= at {
		c.say(faceTick, at, d.code+faceTick.rise(), d.by)
	}
}
