package layout

import (
	"math"
	"strings"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/typeface"
)

// What is worked out at a step stands below its blanks: a sum as one line of signs,
// numbers and boxes, which goes on below where it is longer; a table in bands as wide as
// the column.

const (
	termGap    = 2.2  // between the terms of a sum: clear of a box's outline
	termWide   = 31.0 // of a box of a sum, so that its caption takes few lines
	workGap    = 2.6  // above a sum or a table
	lookupPad  = 1.1  // between a rule of a table and its text
	lookupCell = 9.0  // least width of a column of a table
	lookupName = 0.34 // of the width at most, for the names of the rows
)

// work draws what is worked out at a step.
func (f *flow) work(all []packet.Work) {
	x, width := f.left+stepIndent, min(f.width-stepIndent, measure)
	for i := range all {
		switch w := &all[i]; {
		case w.Sum != nil:
			f.sum(w.Sum.What, w.Sum.Terms, x, width)
		case w.Lookup != nil:
			f.lookup(w.Lookup, x, width)
		}
	}
}

// term is one term of a sum with its measure.
type term struct {
	*packet.Term
	w       float64
	caption prose
}

// sum draws terms in rows, below what they come to. An operator stands before what it
// takes: it is not the last of its row.
func (f *flow) sum(what packet.Phrase, terms []packet.Term, x, width float64) {
	f.reset()
	var all []term
	for i := range terms {
		t := term{Term: &terms[i]}
		if b := t.Blank; b != nil {
			w, _ := boxSize(b)
			t.w = min(max(w, termWide), width)
			if b.Label != "" || len(b.Target) > 0 {
				t.caption = f.set(captionOf(b), faceLabel, t.w)
			}
		} else {
			t.w = typeface.Width(faceStrong.Face, faceStrong.size, t.Text)
		}
		all = append(all, t)
	}
	head := prose{}
	if len(what) > 0 {
		head = f.set(what, f.body(), width)
	}
	for from := 0; from < len(all); {
		to, w := from, 0.0
		for to < len(all) && (to == from || w+termGap+all[to].w <= width) {
			if to > from {
				w += termGap
			}
			w += all[to].w
			to++
		}
		for to < len(all) && to > from+1 && strings.Contains("+−×÷=(", all[to-1].Text) && all[to-1].Blank == nil {
			to--
		}
		f.begin()
		y := 0.0
		gap := rowGap
		if from == 0 {
			gap = workGap
			y += f.draw(head, x, y, flushLeft) + gapTight
		}
		f.end(gap, y+f.terms(all[from:to], x, y), joined)
		from = to
	}
}

// captionOf says above a box of a sum what it is for: its label, and its limits in bold.
func captionOf(b *packet.Blank) packet.Phrase {
	p := packet.Say(b.Label)
	if len(b.Target) > 0 {
		if len(p) > 0 {
			p = append(p, packet.Span{Text: "; "})
		}
		p = append(p, b.Target...)
	}
	return p
}

// terms draws a row of terms from y on and gives its height.
func (f *flow) terms(row []term, x, y float64) float64 {
	over, boxed := 0.0, false
	for _, t := range row {
		boxed = boxed || t.Blank != nil
		if t.caption.h > 0 {
			over = max(over, t.caption.h+capGap)
		}
	}
	high := faceStrong.line()
	if boxed {
		high = readingH
	}
	top := y + over
	for _, t := range row {
		if b := t.Blank; b != nil {
			f.draw(t.caption, x, top-capGap-t.caption.h, flushLeft)
			f.drawBox(b, x, top, t.w, readingH)
		} else {
			f.say(faceStrong, x, top+(high-faceStrong.line())/2+faceStrong.rise(), t.Text)
		}
		x += t.w + termGap
	}
	return over + high + boxFoot
}

// lookup draws a table: the numbers of the reading above those of each result, in bands
// one below the other, and a box for each result.
func (f *flow) lookup(l *packet.Lookup, x, width float64) {
	f.reset()
	cell, name := lookupCell, 0.0
	measureOf := func(texts []string) {
		for _, s := range texts {
			cell = max(cell, typeface.Width(faceStrong.Face, faceStrong.size, s)+2*lookupPad)
		}
	}
	measureOf(l.At)
	labels := []string{l.Over}
	for _, r := range l.Rows {
		measureOf(r.Cells)
		labels = append(labels, r.Label)
	}
	for _, s := range labels {
		name = max(name, typeface.Width(faceTable.Face, faceTable.size, s)+lookupPad)
	}
	name = min(name, width*lookupName)
	most := max(1, int((width-name)/cell))
	bands := int(math.Ceil(float64(len(l.At)) / float64(most)))
	n := int(math.Ceil(float64(len(l.At)) / float64(bands))) // all of about one width
	for from := 0; from < len(l.At); from += n {
		to := min(from+n, len(l.At))
		f.reset()
		f.begin()
		y, gap := 0.0, rowGap
		if from == 0 {
			gap = workGap
			y += f.draw(f.set(l.What, f.body(), width), x, y, flushLeft) + gapTight
		}
		right := x + name + float64(to-from)*cell
		line := func(weight float64) { f.level(x, right, y, weight, &black) }
		line(rule)
		for k := -1; k < len(l.Rows); k++ {
			label, cells, base := l.Over, l.At, faceBody
			if k >= 0 {
				label, cells, base = l.Rows[k].Label, l.Rows[k].Cells, faceStrong
			}
			t := f.text(label, faceTable, name-lookupPad)
			high := max(t.h, base.line()) + 2*lookupPad
			f.draw(t, x, y+(high-t.h)/2, flushLeft)
			for i := from; i < to && i < len(cells); i++ {
				w := typeface.Width(base.Face, base.size, cells[i])
				f.say(base, x+name+float64(i-from)*cell+(cell-w)/2, y+(high-base.line())/2+base.rise(), cells[i])
			}
			y += high
			line(map[bool]float64{true: rule, false: thin}[k == len(l.Rows)-1])
		}
		f.end(gap, y+rule, joined)
	}
	terms := make([]packet.Term, len(l.Result))
	for i := range l.Result {
		terms[i].Blank = &l.Result[i]
	}
	note := packet.Phrase(nil)
	if l.Note != "" {
		note = packet.Say(l.Note)
	}
	f.sum(note, terms, x, width)
}
