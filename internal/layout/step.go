package layout

import (
	"math"
	"slices"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

const (
	stepPad  = 1.9 // between the line above a step and its box: clear of it
	stepFoot = 0.8 // below a step
	stepGap  = 1.0 // between steps, above the line
	holdBand = 8.6 // of a hold point
)

// step draws a step: what guards it, its place-keeping box, number and action
// with its blanks beside it, its figures and its hold point. All of it stays on
// one page.
func (f *flow) step(s *packet.Step) {
	mark := f.here()
	before := f.lastStep
	f.lastStep = [2]int{mark, -1}
	gap := 0.0
	for i := range s.Alerts {
		f.alert(&s.Alerts[i], gapSmall, loose)
		f.holdNext = true
	}
	if len(s.Alerts) == 0 {
		gap = stepGap
	}
	if !f.beside(s, gap, len(s.Alerts) == 0) {
		f.action(s, gap, len(s.Alerts) == 0)
		f.drawFigures(s.Figure, f.left+f.grid.textAt, f.width-f.grid.textAt, gapSmall, joined)
	}
	if s.Hold != nil {
		f.hold(s.Hold)
	}
	f.found(mark, s.Number, s.Number)
	if !f.bind(mark, joined) {
		f.warnf("step-parted", "shorten the step or part it into two",
			"step %s is %.0f mm high with all that belongs to it, and a page has room for %.0f mm: it goes on to a second page",
			s.Number, f.height(mark), f.tall)
	}
	if s.Hold != nil && before[1] == mark && before[0] < mark {
		f.bind(before[0], kept) // who signs sees what was read, on the same page where they fit
	}
	f.lastStep[1] = f.here()
}

// action draws a step's box, number and text, and its blanks: beside the text
// where they are few and the text is short, else below it.
func (f *flow) action(s *packet.Step, gap float64, line bool) {
	f.reset()
	f.blanks, f.shared = f.blanks[:0], f.shared[:0]
	x, width := f.left+f.grid.textAt, f.width-f.grid.textAt
	narrow := width - f.grid.aside - gutter
	only := f.set(s.Only, faceStrong, width)
	text := f.set(s.Text, f.grid.text, min(width, measure))
	// Blanks stand beside the text, or below it where that takes less room.
	var beside, below stack
	aside := false
	if len(s.Blanks) > 0 {
		below = f.across(s.Blanks, f.width-f.grid.belowAt)
	}
	if len(s.Blanks) > 0 && f.grid.aside > 0 {
		o, t := f.set(s.Only, faceStrong, narrow), f.set(s.Text, f.grid.text, narrow)
		beside = f.aside(s.Blanks, f.grid.aside)
		aside = max(tickSize, o.h+t.h, beside.h) <= max(tickSize, only.h+text.h)+below.h+gapSmall && beside.h <= f.part()
		if aside {
			only, text = o, t
		}
	}

	pad := stepPad
	f.begin()
	if !line {
		pad = gapSmall
	}
	top := pad
	high := tickSize
	if aside {
		high = max(high, beside.h)
	}
	// The first line stands level with the middle of the box beside it.
	lift := (tickSize - f.grid.text.line()) / 2
	if only.h > 0 {
		lift = (tickSize - faceStrong.line()) / 2
	}
	f.number(s, top)
	y := top + lift
	n := text.fit(text.l0, f.part()-only.h)
	if text.l1 == text.l0 {
		n = 0
	}
	if float64(text.l1-text.l0)*text.base.line()+only.h+2*pad <= f.tall {
		n = text.l1 - text.l0
	}
	y += f.draw(only, x, y, flushLeft)
	y += f.drawLines(text, text.l0, text.l0+n, x, y, flushLeft)
	if aside {
		f.drawStack(beside, x+width-f.grid.aside, top)
	}
	f.end(gap, max(y, top+high)+stepFoot, loose)
	if line {
		f.ruled(thin)
	}
	text.l0 += n
	f.parts(text, x)
	f.how(s.How, x, width)
	if !aside {
		f.below(below, f.left+f.grid.belowAt)
	}
}

// how draws the lines that say how a step is done, lettered, each as a piece.
func (f *flow) how(lines []packet.Phrase, x, width float64) {
	const indent = 4.6
	for i, p := range lines {
		t := f.set(p, faceHow, width-indent)
		letter := string(rune('a' + i%26))
		for l := t.l0; l < t.l1; {
			n := t.fit(l, f.part())
			f.begin()
			if l == t.l0 {
				f.say(faceHow, x, gapHow+faceHow.rise(), letter)
			}
			f.end(0, gapHow+f.drawLines(t, l, l+n, x+indent, gapHow, flushLeft), joined)
			l += n
		}
	}
}

// done draws the row that closes a stage: who did it and when, at the right, each box
// behind its caption.
func (f *flow) done(d *packet.Done) {
	f.blanks = f.blanks[:0]
	width := 0.0
	for i := range d.Blanks {
		w, _ := boxSize(&d.Blanks[i])
		width += typeface.Width(faceLabel.Face, faceLabel.size, d.Blanks[i].Label) + capGap + w
		if i > 0 {
			width += boxGap
		}
	}
	left := f.width - width - clear - gapTight
	y, x := 0.0, f.width-width
	text := f.text(d.Text, faceStrong, max(left, f.width/4))
	if left < f.width/4 || text.l1-text.l0 > 2 { // no room beside the boxes
		text = f.text(d.Text, faceStrong, f.width)
		y, x = text.h+capGap, max(0, f.width-width)
	}
	f.begin()
	high := 0.0
	for i := range d.Blanks {
		w, h := boxSize(&d.Blanks[i])
		label := typeface.Width(faceLabel.Face, faceLabel.size, d.Blanks[i].Label)
		f.say(faceLabel, f.left+x, y+h/2+faceLabel.rise()/2-0.4, d.Blanks[i].Label)
		x += label + capGap
		f.drawBox(&d.Blanks[i], f.left+x, y+outline, w, h)
		x += w + boxGap
		high = max(high, h+2*outline)
	}
	at := 0.0
	if y == 0 {
		at = max(0, (high-text.h)/2)
	}
	f.draw(text, f.left, at, flushLeft)
	f.end(gapSmall+clear, max(y+high, text.h), kept)
}

// number draws a step's place-keeping box and its number.
func (f *flow) number(s *packet.Step, top float64) {
	f.box(page.Box{ID: s.ID + ".done", Kind: page.Tick, X: f.left + outline, Y: top, W: tickSize, H: tickSize})
	face, room := f.grid.number, f.grid.textAt-f.grid.numberAt-1
	if typeface.Width(face.Face, face.size, s.Number) > room {
		face.Face = page.BoldCondensed
	}
	f.draw(f.text(s.Number, face, room), f.left+f.grid.numberAt, top+(tickSize-f.grid.number.line())/2, flushLeft)
}

// beside draws a step with its one figure on the right of its text and blanks,
// where that takes less room than the figure below them, and says whether it did.
func (f *flow) beside(s *packet.Step, gap float64, line bool) bool {
	if len(s.Figure) != 1 || s.Figure[0].Exact || f.signs(s.Figure) > 0 {
		return false
	}
	x, width := f.left+f.grid.textAt, f.width-f.grid.textAt
	wide := max(f.least(s.Figure[0].Name), figureBeside)
	narrow := width - wide - gutter
	if narrow < textBeside {
		return false
	}
	before := f.save()
	f.action(s, gap, line)
	f.drawFigures(s.Figure, x, width, gapSmall, joined)
	below := f.height(before.pieces)
	f.restore(before)

	f.reset()
	f.blanks, f.shared = f.blanks[:0], f.shared[:0]
	pad := stepPad
	if !line {
		pad = gapSmall
	}
	f.begin()
	d, ok := f.figure(&s.Figure[0], wide)
	if !ok { // drawing it below says what is wrong
		f.restore(before)
		return false
	}
	f.number(s, pad)
	y := pad + (tickSize-f.grid.text.line())/2
	y += f.draw(f.set(s.Only, faceStrong, narrow), x, y, flushLeft)
	y += f.draw(f.set(s.Text, f.grid.text, narrow), x, y, flushLeft)
	if len(s.How) > 0 { // the lines go below, each as a piece of its own
		f.restore(before)
		return false
	}
	if len(s.Blanks) > 0 {
		y = max(y, pad+tickSize) + gapSmall
		stack := f.aside(s.Blanks, narrow)
		f.drawStack(stack, x, y)
		y += stack.h
	}
	f.drawing(&d, x+narrow+gutter, pad, math.Inf(-1), math.Inf(1))
	caption := f.set(s.Figure[0].Caption, faceSmall, wide)
	f.draw(caption, x+narrow+gutter, pad+d.H+gapSmall, flushLeft)
	h := max(y, pad+tickSize, pad+d.H+gapSmall+caption.h) + stepFoot
	if h >= below || h > f.part() {
		f.restore(before)
		return false
	}
	f.end(gap, h, loose)
	if line {
		f.ruled(thin)
	}
	return true
}

// below draws a step's blanks below its text, each row as a piece.
func (f *flow) below(s stack, x float64) {
	for i := s.a; i < s.b; {
		j, high := i, 0.0
		top := f.blanks[i].top()
		for ; j < s.b && f.blanks[j].row == f.blanks[i].row; j++ {
			top = min(top, f.blanks[j].top())
		}
		f.begin()
		for k := i; k < j; k++ {
			high = max(high, f.blanks[k].bottom()-top)
		}
		f.drawStack(stack{a: i, b: j}, x, gapSmall-top)
		f.end(0, gapSmall+high+gapTight, joined)
		i = j
	}
}

// hold draws a hold point: a heavy box with a black band, that says who signs,
// and the boxes to sign in.
func (f *flow) hold(h *packet.Hold) {
	f.reset()
	f.blanks = f.blanks[:0]
	f.begin()
	x, w := f.left, f.width
	in, inner := x+frame+padPanel, w-2*(frame+padPanel)
	size := sizeLarge
	if f.halved {
		size = sizeBody
	}
	word := f.text(f.words.say("hold"), face{page.Bold, size, white}, inner)
	left := in + 8 + f.widest(word) + gapSmall
	says := f.text(f.words.say("hold_signs", "role", h.Role), face{page.Bold, min(size, sizeStep), white}, in+inner-left)
	band := max(holdBand, says.h+2*gapTight)
	f.fill(x, 0, w, band, &black)
	f.stopSign(in+2.6, band/2, 2.9)
	f.draw(word, in+8, (band-word.h)/2, flushLeft)
	f.draw(says, left, (band-says.h)/2, flushLeft)
	s := f.above(h.Blanks, inner, whole)
	y := band + gapSmall
	f.drawStack(s, in, y)
	y += s.h + padPanel + frame
	f.frame(x, 0, w, y, frame, &black)
	f.end(gapSmall, y, joined)
	// What follows keeps its distance, so that the frame closes the step.
	f.begin()
	f.end(0, gapSmall, fast)
}

// stopSign draws a white octagon about a point.
func (f *flow) stopSign(x, y, r float64) {
	var at [16]float64
	for i := range 8 {
		s, c := math.Sincos((float64(i) + 0.5) * math.Pi / 4)
		at[2*i], at[2*i+1] = x+r*c, y+r*s
	}
	f.path(page.Path{Fill: &white}, page.Polygon(at[:]...)...)
	f.fill(x-r*0.55, y-0.4, r*1.1, 0.8, &black)
}

// signOff draws rows of signatures: who signs for what, and where.
func (f *flow) signOff(s *packet.SignOff) {
	gap := f.gap(gapList)
	for i := range s.Rows {
		r := &s.Rows[i]
		f.reset()
		f.blanks, f.cells = f.blanks[:0], f.cells[:0]
		role := signRole
		if f.dense {
			role = signRoleDense
		}
		if len(r.Blanks) > 3 {
			role -= gutter
		}
		f.cells = append(f.cells, cell{x: f.left, w: role, label: f.text(r.Role, faceStrong, role), text: f.set(r.For, faceTable, role)})
		w := f.width - role - gutter
		blanks := r.Blanks
		if i > 0 && len(s.Rows) <= signTogether && alike(blanks, s.Rows[0].Blanks) { // the captions stand once
			f.shared = append(f.shared[:0], blanks...)
			for k := range f.shared {
				f.shared[k].Label = ""
			}
			blanks = f.shared
		}
		f.cells = append(f.cells, cell{x: f.left + role + gutter, w: w, stack: f.above(blanks, w, whole)})
		t := loose
		if i > 0 && len(s.Rows) <= signTogether {
			t = kept
		}
		f.drawRow(gap, t, &black)
		gap = 0
	}
}

// signTogether is how many rows of signatures stay on one page, below one row of
// captions.
const signTogether = 6

// alike reports whether blanks have the same captions.
func alike(a, b []packet.Blank) bool {
	return slices.EqualFunc(a, b, func(x, y packet.Blank) bool {
		return x.Kind == y.Kind && x.Label == y.Label && x.Characters == y.Characters && x.NotOnRecord == "" && y.NotOnRecord == "" && len(x.Target)+len(y.Target) == 0
	})
}
