package layout

import (
	"math"
	"strings"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
)

// The panels of the cover: that of the liquid, and one for each signal word with a
// line for each hazard.

const (
	bulletSize = 1.5 // of the square before a hazard
	bulletGap  = 1.5 // between it and the hazard
	hazardGap  = 0.9 // between hazards
)

// hazards draws the panel of a signal word with its hazards one below the other.
func (f *flow) hazards(a *packet.Alert, gap float64, word face, weight float64, edge, field *page.Ink) {
	x, w := f.left, f.width
	base := hazardFaces[f.squeeze]
	panel := f.words.signalPanel(word)
	at := x + panel + padPanel
	width := w - panel - 2*padPanel - bulletSize - bulletGap
	t := loose
	for i, from := 0, 0; i < len(a.Lines); { // from is what stands on an earlier page of a hazard
		f.reset()
		signal := f.text(a.Word, word, panel-2*padPanel)
		triangle := 0.0
		if a.Signal != "notice" {
			triangle = triangleSize + gapSmall
		}
		// As many hazards as a page takes stand in one frame.
		type part struct {
			prose
			l0, l1 int
		}
		var parts []part
		high := -hazardGap
		for room := f.tall - 2*padAlert; i < len(a.Lines); {
			line := f.set(a.Lines[i], base, width)
			n := line.fit(line.l0+from, room-high-hazardGap)
			if whole := n == line.l1-line.l0-from; len(parts) > 0 && !whole && line.h <= f.part() {
				break
			}
			parts = append(parts, part{line, line.l0 + from, line.l0 + from + n})
			high += hazardGap + float64(n)*base.line()
			if from += n; line.l0+from < line.l1 {
				break
			}
			i, from = i+1, 0
		}
		h := max(high+2*padAlert, signal.h+2*padAlert)
		above := triangle > 0 && h >= signal.h+triangle+2*padAlert // else the triangle stands beside the word
		if !above {
			triangle = 0
		}
		f.begin()
		f.fill(x, 0, panel, h, field)
		top := (h - signal.h - triangle) / 2
		switch {
		case above:
			f.warningSign(x+panel/2-triangleSize/math.Sqrt(3), top, triangleSize, word.ink)
			f.draw(signal, x+panel/2, top+triangle, centred)
		case a.Signal != "notice":
			f.warningSign(x+padPanel, (h-triangleSize)/2, triangleSize, word.ink)
			f.draw(signal, x+padPanel+triangleSize+2, top, flushLeft)
		default:
			f.draw(signal, x+padPanel, top, flushLeft)
		}
		if a.Signal != "notice" {
			f.upright(x+panel, 0, h, thin, &black)
		}
		f.frame(x, 0, w, h, weight, edge)
		if edge == &red { // a red line falls to dots on a bilevel printer
			f.frame(x+weight, weight, w-2*weight, h-2*weight, rule, &black)
		}
		y := (h - high) / 2
		for _, p := range parts {
			if len(a.Lines) > 1 && p.l0 == p.prose.l0 {
				f.fill(at, y+(base.line()-bulletSize)/2, bulletSize, bulletSize, &black)
			}
			y += f.drawLines(p.prose, p.l0, p.l1, at+bulletSize+bulletGap, y, flushLeft) + hazardGap
		}
		f.end(gap, h, t)
		gap, t = 0, joined
	}
}

// hazard draws the panel of the liquid: the signal word in a black band, the
// liquid and its state with the pictograms beside them, and the statements.
func (f *flow) hazard(h *packet.Hazard) {
	mark := f.here()
	x, w := f.left, f.width
	in, inner := x+frame+padPanel, w-2*(frame+padPanel)

	f.begin()
	y := 0.0
	if h.Signal != "" {
		sig := f.text(strings.ToUpper(h.Signal), faceSignal, inner-20)
		band := sig.h
		f.fill(x, 0, w, band, &black)
		f.warningSign(in, band/2-5.5, 11, white)
		f.draw(sig, in+20, 0, flushLeft)
		y = band
	}
	y += gapSmall
	textW, low := inner, y
	n := len(h.Pictograms)
	across := min(n, pictogramsAcross)
	beside := n > 0 && inner-float64(across)*(pictogram+gapSmall)-gutter >= textBeside
	if beside {
		textW -= float64(across)*(pictogram+gapSmall) + gutter
		for i := 0; i < n; i += across {
			low += f.pictograms(h.Pictograms[i:min(i+across, n)], in+textW+gutter+gapSmall, low, pictogram)
		}
	}
	y += f.draw(f.text(h.Liquid, faceTitle, textW), in, y, flushLeft)
	y += f.draw(f.set(h.Condition, faceSaid, textW), in, y+gapTight, flushLeft) + gapTight
	rest := h.Statements
	for len(rest) > 0 { // those that stand beside the pictograms
		t := f.text(rest[0].Text, faceSaid, textW-codeWidth(&rest[0]))
		if y+gapTight+t.h > low {
			break
		}
		y += gapTight + f.drawStatement(&rest[0], t, t.l0, t.l1, in, y+gapTight)
		rest = rest[1:]
	}
	y = max(y, low)
	f.sides(x, w, 0, y)
	f.level(x, x+w, frame/2, frame, &black)
	f.end(gapBlock, y, loose)
	if n > 0 && !beside { // in a column
		f.begin()
		high := gapSmall + f.pictograms(h.Pictograms, in, gapSmall, min(pictogram, (inner-float64(n-1)*gapSmall)/float64(n))) + gapTight
		f.sides(x, w, 0, high)
		f.end(0, high, loose)
	}
	for i := range rest {
		f.statement(&rest[i], in, inner)
	}

	f.reset()
	f.begin()
	y = gapTight
	y += f.draw(f.set(h.Source, faceLabel, inner), in, y, flushLeft)
	y += gapSmall
	f.sides(x, w, 0, y)
	f.level(x, x+w, y-frame/2, frame, &black)
	f.end(0, y, fast)
	f.bind(mark, kept)
}

// pictogramsAcross is how many pictograms stand side by side.
const pictogramsAcross = 2

// sides draws the left and right edge of a panel.
func (f *flow) sides(x, w, y, h float64) {
	f.upright(x+frame/2, y, y+h, frame, &black)
	f.upright(x+w-frame/2, y, y+h, frame, &black)
}

// codeWidth is the room for a statement's code, which stands before its text.
func codeWidth(s *packet.Statement) float64 {
	if s.Code == "" {
		return 0
	}
	return 15
}

// statement draws one hazard statement over the panel's width.
func (f *flow) statement(s *packet.Statement, x, w float64) {
	f.reset()
	text := f.text(s.Text, faceSaid, w-codeWidth(s))
	for l := text.l0; l < text.l1; {
		n := text.fit(l, f.part())
		f.begin()
		h := gapTight + f.drawStatement(s, text, l, l+n, x, gapTight)
		f.sides(f.left, f.width, 0, h)
		f.end(0, h, loose)
		l += n
	}
}

// drawStatement draws some of the lines of a statement, its code, small, beside the
// first of them, and gives how high they are.
func (f *flow) drawStatement(s *packet.Statement, text prose, from, to int, x, y float64) float64 {
	h := float64(to-from) * faceSaid.line()
	if from == text.l0 && s.Code != "" {
		code := f.text(s.Code, faceTable, codeWidth(s)-gapSmall)
		f.draw(code, x, y+faceSaid.rise()-faceTable.rise(), flushLeft)
		h = max(h, code.h)
	}
	f.drawLines(text, from, to, x+codeWidth(s), y, flushLeft)
	return h
}
