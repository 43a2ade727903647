package layout

import (
	"math"
	"strings"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

const triangleSize = 5.0 // of the warning triangle beside a signal word

// alert draws a danger, warning, caution or notice: a field with the signal
// word and the text beside it in a frame. The four differ in the weight of the
// frame and in the field, so that they are told apart without colour:
// danger white on black, warning and caution with the triangle, notice plain.
func (f *flow) alert(a *packet.Alert, gap float64, t tie) {
	f.reset()
	base, pad := faceStep, padAlert
	if a.Large {
		base, pad = faceLarge, padPanel
	}
	weight, edge, field := thin, &black, &white
	word := face{page.Bold, sizeStep + 1, black}
	switch a.Signal {
	case "danger":
		weight, edge, field, word.ink = frame, &red, &black, white
	case "warning":
		weight, edge, field = thick, &black, &light
	case "caution":
		weight, edge, field = rule, &black, &white
	}
	triangle := 0.0
	if a.Signal != "notice" {
		triangle = triangleSize + 2
	}
	if f.halved { // the signal word stands above the text
		f.alertBelow(a, gap, t, word, weight, edge, field)
		return
	}
	panel := f.words.signalPanel(word)
	signal := f.text(a.Word, word, panel-2*padPanel-triangle)
	text := f.set(a.Text, base, f.width-panel-2*padPanel)
	most := f.tall
	if max(text.h, signal.h)+2*pad > f.tall {
		most = f.part()
	}
	for l := text.l0; l < text.l1 || l == text.l0; {
		n := 0
		if text.l1 > text.l0 {
			n = text.fit(l, most-2*pad)
		}
		h := max(float64(n)*base.line(), signal.h, triangleSize) + 2*pad
		f.begin()
		x, w := f.left, f.width
		f.fill(x, 0, panel, h, field)
		if triangle > 0 {
			f.warningSign(x+padPanel, (h-triangleSize)/2, triangleSize, word.ink)
		}
		f.draw(signal, x+padPanel+triangle, (h-signal.h)/2, flushLeft)
		if a.Signal != "notice" {
			f.upright(x+panel, 0, h, thin, &black)
		}
		f.frame(x, 0, w, h, weight, edge)
		if edge == &red { // a red line falls to dots on a bilevel printer
			f.frame(x+weight, weight, w-2*weight, h-2*weight, rule, &black)
		}
		f.drawLines(text, l, l+n, x+panel+padPanel, (h-float64(n)*base.line())/2, flushLeft)
		f.end(gap, h, t)
		l, gap, t = l+max(n, 1), 0, joined
	}
}

// alertBelow draws an alert in a column: a band with the signal word over the text.
func (f *flow) alertBelow(a *packet.Alert, gap float64, t tie, word face, weight float64, edge, field *page.Ink) {
	const sign = 3.8
	x, w := f.left, f.width
	word.size = sizeBody
	band := word.line() + 0.6
	text := f.set(a.Text, faceBody, w-2*(padAlert+weight-thin))
	most := f.tall
	pad := 0.8 + max(0.8, weight)
	if edge == &red {
		pad += rule
	}
	if band+text.h+pad > f.tall {
		most = f.part()
	}
	for l := text.l0; l < text.l1 || l == text.l0; {
		n := 0
		if text.l1 > text.l0 {
			n = text.fit(l, most-band-pad)
		}
		h := band + float64(n)*faceBody.line() + pad
		f.begin()
		f.fill(x, 0, w, band, field)
		at := x + padAlert
		if a.Signal != "notice" {
			f.warningSign(at, (band-sign)/2, sign, word.ink)
			at += sign + 2.4
		}
		f.draw(f.text(a.Word, word, x+w-at), at, 0.3, flushLeft)
		f.level(x, x+w, band, thin, &black)
		f.frame(x, 0, w, h, weight, edge)
		if edge == &red {
			f.frame(x+weight, weight, w-2*weight, h-2*weight, rule, &black)
		}
		f.drawLines(text, l, l+n, x+padAlert+weight-thin, band+0.8, flushLeft)
		f.end(gap, h, t)
		l, gap, t = l+max(n, 1), 0, joined
	}
}

// signalPanel is the width of the field of the signal words: that of the longest of
// them in the packet's language, so that the fields of all alerts are alike.
func (w *fixedWords) signalPanel(f face) float64 {
	if w.panel == 0 {
		w.panel = panelSignal
		for _, signal := range []string{"danger", "warning", "caution", "notice"} {
			word := w.catalogue.Get("compose.signal." + signal)
			w.panel = max(w.panel, typeface.Width(f.Face, f.size, word)+triangleSize+2+2*padPanel+0.5)
		}
	}
	return w.panel
}

// warningSign draws a triangle with an exclamation mark, of the given height.
func (f *flow) warningSign(x, y, h float64, ink page.Ink) {
	in := &black
	if ink == white {
		in = &white
	}
	w := h * 2 / math.Sqrt(3)
	const t = 0.6
	f.path(page.Path{Stroke: in, Width: t, Round: true}, page.Polygon(x+w/2, y+t/2, x+w-t/2, y+h-t/2, x+t/2, y+h-t/2)...)
	f.path(page.Path{Fill: in}, page.Polygon(x+w/2-0.09*h, y+0.36*h, x+w/2+0.09*h, y+0.36*h, x+w/2+0.05*h, y+0.68*h, x+w/2-0.05*h, y+0.68*h)...)
	f.path(page.Path{Fill: in}, page.Circle(x+w/2, y+0.79*h, 0.07*h)...)
}

// hazard draws the panel of the liquid: the signal word in a black band, the
// liquid and its state, the pictograms, and the statements.
func (f *flow) hazard(h *packet.Hazard) {
	mark := f.here()
	x, w := f.left, f.width
	in, inner := x+frame+padPanel, w-2*(frame+padPanel)

	// The band: signal word, and beside it the liquid.
	f.begin()
	y := 0.0
	if h.Signal != "" {
		sig := f.text(strings.ToUpper(h.Signal), faceSignal, inner-20)
		band := sig.h + 1
		f.fill(x, 0, w, band, &black)
		f.warningSign(in, band/2-6.5, 13, white)
		f.draw(sig, in+20, 0.5, flushLeft)
		y = band
	}
	y += padPanel
	// One or two pictograms stand at the right of the liquid's name, more below it.
	textW := inner
	beside := len(h.Pictograms) > 0 && len(h.Pictograms) <= 2
	if beside {
		textW -= float64(len(h.Pictograms))*(pictogram+gapSmall) + gutter
	}
	low := y
	if beside {
		low += f.pictograms(h.Pictograms, in+textW+gutter+gapSmall, y, pictogram)
	}
	y += f.draw(f.text(h.Liquid, faceTitle, textW), in, y, flushLeft)
	y += f.draw(f.set(h.Condition, faceLarge, textW), in, y+gapTight, flushLeft) + gapTight
	y = max(y, low)
	f.sides(x, w, 0, y)
	f.level(x, x+w, frame/2, frame, &black)
	f.end(gapBlock, y, loose)

	if n := float64(len(h.Pictograms)); n > 2 {
		f.begin()
		high := gapSmall + f.pictograms(h.Pictograms, in, gapSmall, min(pictogram, (inner-(n-1)*gapSmall)/n)) + gapTight
		f.sides(x, w, 0, high)
		f.end(0, high, loose)
	}
	for i := range h.Statements {
		f.statement(&h.Statements[i], in, inner)
	}

	f.reset()
	f.begin()
	y = gapSmall
	y += f.draw(f.set(h.Source, faceLabel, inner), in, y, flushLeft)
	y += padPanel
	f.sides(x, w, 0, y)
	f.level(x, x+w, y-frame/2, frame, &black)
	f.end(0, y, fast)
	f.bind(mark, kept)
}

// sides draws the left and right edge of a panel.
func (f *flow) sides(x, w, y, h float64) {
	f.upright(x+frame/2, y, y+h, frame, &black)
	f.upright(x+w-frame/2, y, y+h, frame, &black)
}

// statement draws one hazard statement: its code, small, and its text, large.
func (f *flow) statement(s *packet.Statement, x, w float64) {
	codeW := 17.0
	if s.Code == "" {
		codeW = 0
	}
	f.reset()
	code := f.text(s.Code, faceTable, max(1, codeW-gapSmall))
	text := f.text(s.Text, faceLarge, w-codeW)
	for l := text.l0; l < text.l1; {
		n := text.fit(l, f.part())
		f.begin()
		h := gapTight + float64(n)*faceLarge.line()
		if l == text.l0 {
			f.draw(code, x, gapTight+faceLarge.rise()-faceTable.rise(), flushLeft)
			h = max(h, gapTight+code.h)
		}
		f.drawLines(text, l, l+n, x+codeW, gapTight, flushLeft)
		f.sides(f.left, f.width, 0, h)
		f.end(0, h, loose)
		l += n
	}
}
