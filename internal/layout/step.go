package layout

import (
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

const (
	stepPad    = 1.9  // between the line above a step and its box: clear of it
	stepFoot   = 0.4  // below a step
	boxFoot    = 1.85 // the same where its last line has a box: clear of the line below
	stepIndent = 6.8  // of a step's text: clear of its box
	stepNumber = 2.2  // between a step's number and its text
	stepTicks  = 4.0  // between a text and the tick boxes on its last line
	stepBehind = 8.0  // between a text and the blank behind it
	tickDrop   = 1.7  // how much lower a line with tick boxes stands: clear of the line above
	tickLabel  = tickSize + 2
	stepsFirst = 2 // steps that stay with the heading of their stage
)

// step draws a step: what guards it, its place-keeping box, number and action
// with its blanks, its figures and its hold point. It stays whole, but for its
// figures, which may stand at the head of the next column.
func (f *flow) step(s *packet.Step) {
	mark := f.here()
	before := f.lastStep
	f.lastStep = [2]int{mark, -1}
	for i := range s.Alerts {
		f.alert(&s.Alerts[i], gapAlert, loose)
		f.holdNext = true
	}
	f.action(s, len(s.Alerts) == 0)
	f.named(mark, s.Index)
	f.work(s.Work)
	figures := f.here()
	f.drawFigures(s.Figure, f.left, f.width, gapSmall, joined)
	if s.Hold != nil {
		f.hold(s.Hold)
	}
	f.found(mark, s.Number, s.Number)
	if !f.bind(mark, joined) {
		f.warnf("step-parted", "shorten the step or part it into two",
			"step %s is %.0f mm high with all that belongs to it, and a page has room for %.0f mm: it goes on to a second page",
			s.Number, f.height(mark), f.tall)
	}
	if len(s.Figure) > 0 && figures < f.here() && f.halved {
		f.free(figures, s.Number)
	}
	f.stageStep(mark)
	if s.Hold != nil && before[1] == mark && before[0] < mark {
		f.bind(before[0], near) // who signs sees what was read, on the same page where that takes no more of them
	}
	f.lastStep[1] = f.here()
}

// free lets a step's drawing, the piece at a mark, stand at the head of the next column:
// a line there says of which step it is, and one at the step where to find it.
func (f *flow) free(mark int, step string) {
	f.pieces[mark].tie = apart
	if f.inStage == 0 { // the first step of a stage would stand below its heading alone
		f.pieces[mark].tie = paged
	}
	f.pieces[mark].head = f.atEnd(f.words.say("drawing_of", "n", step))
	f.pieces[mark-1].foot = f.atEnd(f.words.say("drawing_next"))
}

// atEnd draws a line that stands where a column begins or ends, and gives its number for
// piece.head or piece.foot.
func (f *flow) atEnd(text string) int32 {
	f.reset()
	f.begin()
	h := f.draw(f.text(text, faceStrong, f.width-stepIndent), f.left+stepIndent, gapTight, flushLeft) + 2*gapTight
	f.heads = append(f.heads, heads{f.upTo(f.open), h})
	return int32(len(f.heads))
}

// stageStep counts the step that begins at a mark, and keeps the first ones of a stage
// with its heading, so that no page ends with a heading and a single step.
func (f *flow) stageStep(mark int) {
	f.inStage++
	if f.inStage > 1 && f.inStage <= stepsFirst {
		f.pieces[mark].tie = max(f.pieces[mark].tie, paged)
	}
}

// action draws a step's box, number and text, with the tick boxes that it begins with
// on the last line of the text where they fit, the lines that say how, and its other
// blanks below these.
func (f *flow) action(s *packet.Step, line bool) {
	f.reset()
	f.blanks, f.shared = f.blanks[:0], f.shared[:0]
	x, width := f.left+stepIndent, min(f.width-stepIndent, measure)
	lead := typeface.Width(faceNumber.Face, faceNumber.size, s.Number) + stepNumber
	only := prose{base: faceStrong}
	if len(s.Only) > 0 {
		only = f.led(s.Only, faceStrong, width, lead)
		lead = 0
	}
	text := f.led(s.Text, f.body(), width, lead)
	n := text.l1 - text.l0
	if text.h+only.h+2*stepPad > f.tall {
		n = text.fit(text.l0, f.part()-only.h)
	}
	ticked := 0
	if n == text.l1-text.l0 && len(s.How) == 0 {
		ticked = f.ticksBehind(s.Blanks, text, width)
	}

	written := stack{}
	if ticked == 0 && n == text.l1-text.l0 && len(s.How) == 0 {
		written = f.writtenBehind(s.Blanks, text, width)
	}

	f.begin()
	pad := stepPad
	if !line {
		pad = boxFoot
	}
	if written.h > 0 && n == 1 && only.h == 0 { // the whole step stands level with the box behind it
		pad += (written.h - tickSize) / 2
	}
	f.box(page.Box{ID: s.TickID(), Kind: page.Tick, X: f.left + outline, Y: pad, W: tickSize, H: tickSize})
	y := pad + (tickSize-faceBody.line())/2
	f.say(faceNumber, x, y+faceBody.rise(), s.Number)
	y += f.draw(only, x, y, flushLeft)
	switch {
	case written.h > 0:
		y += f.drawLines(text, text.l0, text.l1-1, x, y, flushLeft)
		lift := (written.h - faceBody.line()) / 2
		if n > 1 || only.h > 0 {
			y += tickDrop + lift
		}
		f.drawLines(text, text.l1-1, text.l1, x, y, flushLeft)
		f.drawStack(written, x, y-lift)
		y += faceBody.line() + lift
	case ticked > 0:
		y += f.drawLines(text, text.l0, text.l1-1, x, y, flushLeft)
		if n > 1 || only.h > 0 {
			y += tickDrop
		}
		f.drawTicks(s.Blanks[:ticked], x+f.lines[text.l1-1].w+stepTicks, y)
		y += f.drawLines(text, text.l1-1, text.l1, x, y, flushLeft)
	default:
		y += f.drawLines(text, text.l0, text.l0+n, x, y, flushLeft)
	}
	if f.lacks(text) { // the frame of those words comes lower than their line
		y += stepFoot
	}
	low := max(y+stepFoot, pad+tickSize+boxFoot)
	if len(s.How) > 0 || ticked+written.b-written.a < len(s.Blanks) { // more of the step follows
		low = max(y, pad+tickSize+2*outline)
	}
	if ticked > 0 || written.h > 0 {
		low = y + boxFoot
		if ticked < len(s.Blanks) && written.h == 0 {
			low = y + gapHow
		}
	}
	f.end(0, low, loose)
	if line {
		f.ruled(thin)
	}
	text.l0 += n
	f.parts(text, x)
	f.how(s.How, x, width)
	if len(s.How) > 0 {
		f.pieces[len(f.pieces)-1].h += 2 * stepFoot
	}
	if written.h == 0 {
		f.below(f.rows(s.Blanks[ticked:], f.width))
	}
}

// ticksBehind is how many tick boxes stand behind a text on its last line: all that
// the blanks begin with, or none.
func (f *flow) ticksBehind(bs []packet.Blank, text prose, width float64) int {
	n := ticks(bs)
	if n == 0 || text.l1 == text.l0 || f.lacks(text) {
		return 0
	}
	w := f.lines[text.l1-1].w
	for i := range bs[:n] {
		w += stepTicks + max(tickLabel+typeface.Width(faceBody.Face, faceBody.size, bs[i].Label), tickPitch-stepTicks)
	}
	if w > width {
		return 0
	}
	return n
}

// writtenBehind places a step's one blank behind the last line of its text, flush right;
// the stack has no height where it has no room there.
func (f *flow) writtenBehind(bs []packet.Blank, text prose, width float64) stack {
	if len(bs) != 1 || bs[0].Kind == packet.Tick || bs[0].NotOnRecord != "" || text.l1 == text.l0 || f.lacks(text) {
		return stack{}
	}
	b := &bs[0]
	need := f.captionWidth(b, faceBody)
	if need > 0 {
		need += asideGap
	}
	w, _ := besideSize(b)
	if b.Kind == packet.Words { // free text has more room below
		w, _ = wantSize(b)
	}
	need += w
	if f.lines[text.l1-1].w+stepBehind+need > width {
		return stack{}
	}
	s, ok := f.beside(bs, need, faceBody)
	if !ok {
		return stack{}
	}
	f.shift(s, width-need, 0)
	return s
}

// lacks reports whether a text says that something is not on record: the frame of
// those words is too near to a box on the next line.
func (f *flow) lacks(text prose) bool {
	for _, ln := range f.lines[text.l0:text.l1] {
		for _, r := range f.runs[ln.r0:ln.r1] {
			if r.style == packet.Missing {
				return true
			}
		}
	}
	return false
}

// drawTicks draws tick boxes on a line of text, each with its label behind it.
func (f *flow) drawTicks(bs []packet.Blank, x, y float64) {
	for i := range bs {
		f.drawBox(&bs[i], x, y+(faceBody.line()-tickSize)/2, tickSize, tickSize)
		w := tickLabel + f.say(faceBody, x+tickLabel, y+faceBody.rise(), bs[i].Label)
		x += stepTicks + max(w, tickPitch-stepTicks)
	}
}

// how draws the lines that say how a step is done, lettered, each as a piece.
func (f *flow) how(lines []packet.Phrase, x, width float64) {
	const indent = 4.6
	for i, p := range lines {
		t := f.set(p, f.body(), width-indent)
		letter := string(rune('a' + i%26))
		for l := t.l0; l < t.l1; {
			n := t.fit(l, f.part())
			f.begin()
			if l == t.l0 {
				f.say(faceBody, x, gapHow+faceBody.rise(), letter)
			}
			f.end(0, gapHow+f.drawLines(t, l, l+n, x+indent, gapHow, flushLeft), joined)
			l += n
		}
	}
}

// below draws a step's blanks below its text, each row as a piece.
func (f *flow) below(s stack) {
	for i := s.a; i < s.b; {
		j, high := i, 0.0
		top := f.blanks[i].top()
		for ; j < s.b && f.blanks[j].row == f.blanks[i].row; j++ {
			top = min(top, f.blanks[j].top())
		}
		f.begin()
		for k := i; k < j; k++ {
			low := f.blanks[k].bottom() - top
			if f.blanks[k].NotOnRecord != "" {
				low += outline // the frame of those words comes lower than their line
			}
			high = max(high, low)
		}
		f.drawStack(stack{a: i, b: j}, f.left, rowClear-top)
		foot := outline
		if j == s.b {
			foot = boxFoot
		}
		f.end(0, rowClear+high+foot, joined)
		i = j
	}
}

// done draws the row that closes a stage: who did it and when, behind its caption.
func (f *flow) done(d *packet.Done) {
	f.blanks, f.shared = f.blanks[:0], append(f.shared[:0], d.Blanks...)
	if len(f.shared) > 0 && f.shared[0].Label == "" {
		f.shared[0].Label = d.Text
	}
	s, ok := f.line(f.shared, f.width, faceStrong)
	if !ok {
		s = f.above(f.shared, f.width, some)
	}
	f.begin()
	f.drawStack(s, f.left, outline)
	f.end(rowClear, s.h+2*outline, kept)
	f.inStage = 0
}
