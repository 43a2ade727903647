package layout

import (
	"math"

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
	if f.halved {
		f.alertIn(a, gap, t, word, weight, edge, field)
		return
	}
	if len(a.Lines) > 0 {
		f.hazards(a, gap, word, weight, edge, field)
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

// alertIn draws an alert in a column: the field with the signal word stands at the head
// of the text's first line.
func (f *flow) alertIn(a *packet.Alert, gap float64, t tie, word face, weight float64, edge, field *page.Ink) {
	const (
		sign  = 3.4  // height of the triangle
		above = 0.55 // the text and below it
	)
	x, w := f.left, f.width
	word.size = sizeBody
	inner := weight
	if edge == &red {
		inner += rule
	}
	lead := gapTight + typeface.Width(word.Face, word.size, a.Word) + gapTight
	if a.Signal != "notice" {
		lead += sign*2/math.Sqrt(3) + gapTight
	}
	high := faceBody.line() + 2*above // of the field
	text := f.led(a.Text, faceBody, w-2*(inner+gapTight), lead)
	most := f.tall
	pad := 2*inner + 2*above
	if text.h+pad > f.tall {
		most = f.part()
	}
	for l := text.l0; l < text.l1 || l == text.l0; {
		n := 0
		if text.l1 > text.l0 {
			n = text.fit(l, most-pad)
		}
		h := max(float64(n)*faceBody.line()+2*above, high) + 2*inner
		f.begin()
		if l == text.l0 {
			f.fill(x+inner, inner, lead, high, field)
			at := x + inner + gapTight
			if a.Signal != "notice" {
				f.warningSign(at, inner+(high-sign)/2, sign, word.ink)
				at += sign*2/math.Sqrt(3) + gapTight
			}
			f.say(word, at, inner+above+word.rise(), a.Word)
			if field == &white {
				f.upright(x+inner+lead, inner, inner+high, thin, &black)
			}
		}
		f.frame(x, 0, w, h, weight, edge)
		if edge == &red {
			f.frame(x+weight, weight, w-2*weight, h-2*weight, rule, &black)
		}
		f.drawLines(text, l, l+n, x+inner+gapTight, inner+above, flushLeft)
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
