package layout

import (
	"strings"
	"unicode/utf8"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

const (
	padMissing = 1.2 // beside the words of a NOT ON RECORD panel
	padKey     = 0.8 // before the key of an entry
	slack      = 1e-6
)

// setter breaks phrases into lines. It keeps the lines of the block in hand, so
// that a block is measured first and drawn afterwards; reset forgets them.
type setter struct {
	runs  []run
	lines []setLine
	one   [1]packet.Span
	lead  float64                   // what stands before the first line of the next phrase
	bold  bool                      // numbers with a decimal sign are bold in running text too
	tight bool                      // numbers may be parted from their units, for want of room
	bad   func(text string, f face) // told of a phrase with a rune that its face lacks
}

// run is a part of a line in one face.
type run struct {
	face
	s     string
	x, w  float64 // from the line's start
	style packet.Style
}

type setLine struct {
	r0, r1 int
	w      float64
}

// prose is a phrase that has been broken into lines.
type prose struct {
	l0, l1 int
	base   face
	h      float64
}

func (s *setter) reset() { s.runs, s.lines = s.runs[:0], s.lines[:0] }

// place is a place in a phrase: a span and a byte of it.
type place struct{ span, byte int }

// word is the longest part of a phrase that stays on one line.
type word struct {
	from, to, next place // to is before the spaces that follow, next behind them
	w, gap         float64
	before         float64 // spaces that it begins with, where the last word ended in spaces too
	hard           bool    // a line ends behind it in any case
}

// set breaks a phrase into lines no wider than width.
func (s *setter) set(ph packet.Phrase, base face, width float64) prose {
	p := prose{l0: len(s.lines), base: base}
	ph = s.bolded(ph)
	width += slack
	var start place
	var end place
	w, gap, empty := 0.0, 0.0, true
	lead := s.lead
	for at := (place{}); at.span < len(ph); {
		k := s.word(ph, at, base, width, s.tight)
		if lead > 0 && empty && lead+k.w > width { // its first line has room for nothing else
			s.emit(ph, k.from, k.from, base)
			lead = 0
		}
		if k.w > width && !s.tight {
			k = s.word(ph, at, base, width, true)
		}
		if k.w == 0 && !k.hard { // spaces at the end
			break
		}
		gap += k.before
		if !empty && w+gap+k.w > width {
			s.emit(ph, start, end, base)
			empty = true
		}
		if empty {
			for k.w > width { // a word wider than the line: cut it between two runes
				cut := s.cut(ph, k.from, k.to, base, width)
				if cut == k.to {
					break
				}
				s.emit(ph, k.from, cut, base)
				k.from = cut
				k.w = s.measure(ph, cut, k.to, base)
			}
			start, w, gap = k.from, lead, 0
			lead = 0
		}
		w, gap, end, empty = w+gap+k.w, k.gap, k.to, false
		if k.hard {
			s.emit(ph, start, end, base)
			empty = true
		}
		at = k.next
	}
	if !empty {
		s.emit(ph, start, end, base)
	}
	p.l1 = len(s.lines)
	p.h = float64(p.l1-p.l0) * base.line()
	return p
}

// led breaks a phrase into lines, with room before the first for what stands there.
func (s *setter) led(ph packet.Phrase, base face, width, lead float64) prose {
	s.lead = lead
	defer func() { s.lead = 0 }()
	return s.set(ph, base, width)
}

// text breaks plain text into lines.
func (s *setter) text(t string, base face, width float64) prose {
	s.one[0] = packet.Span{Text: t}
	return s.set(s.one[:], base, width)
}

// widths gives the width of a phrase's widest word and of its widest line where
// nothing makes it break.
func (s *setter) widths(ph packet.Phrase, base face, most float64) (widest, natural float64) {
	w, gap := 0.0, 0.0
	ph = s.bolded(ph)
	for at := (place{}); at.span < len(ph); {
		k := s.word(ph, at, base, most, s.tight)
		widest = max(widest, k.w)
		w, gap = w+gap+k.before+k.w, k.gap
		natural = max(natural, w)
		if k.hard {
			w, gap = 0, 0
		}
		at = k.next
	}
	return widest, natural
}

// oneLine reports whether a span stays on one line of the given width: a number
// with its unit, a key, the words of a panel. What it has in brackets, mostly the
// same in other units, may stand on the next line.
func oneLine(sp packet.Span, f face, width float64) bool {
	switch sp.Style {
	case packet.Key:
		return true
	case packet.Strong, packet.Missing:
		if len(sp.Text) > 64 {
			return false
		}
		if typeface.Width(f.Face, f.size, sp.Text)+pad(sp.Style) <= width {
			return true // as most do
		}
		head, rest, _ := strings.Cut(sp.Text, " (")
		w := max(typeface.Width(f.Face, f.size, head), typeface.Width(f.Face, f.size, rest)+typeface.Width(f.Face, f.size, "("))
		return w+pad(sp.Style) <= width
	}
	return false
}

// word finds the word that starts at a place. Where tight, only keys hold on to
// what stands before them.
func (s *setter) word(ph packet.Phrase, at place, base face, width float64, tight bool) word {
	k := word{from: at}
	seen, bad := false, false
	for ; at.span < len(ph); at = (place{at.span + 1, 0}) {
		sp := ph[at.span]
		f := base.set(sp.Style)
		unit, glyphs := f.size*(typeface.MM/1000), typeface.TableOf(f.Face)
		stays := sp.Style != packet.Plain && oneLine(sp, f, width) && (!tight || sp.Style == packet.Key)
		k.w += pad(sp.Style)
		for i := at.byte; i < len(sp.Text); {
			r, n := rune(sp.Text[i]), 1
			if r >= utf8.RuneSelf {
				r, n = utf8.DecodeRuneInString(sp.Text[i:])
			}
			end := i + n
			if r == '\n' {
				k.to, k.next, k.hard = place{at.span, i}, settle(ph, place{at.span, end}), true
				return k
			}
			g := glyphs.Glyph(r)
			if r == ' ' {
				if seen && (!stays && !holds(ph, place{at.span, i}, tight) || bracket(sp, i)) {
					k.to = place{at.span, i}
					for end < len(sp.Text) && sp.Text[end] == ' ' {
						end++
					}
					k.gap = float64(g.Advance) * unit * float64(end-i)
					k.next = settle(ph, place{at.span, end})
					return k
				}
				if !seen && !stays { // spaces at the start of a line
					k.before += float64(g.Advance) * unit
					i = end
					k.from = place{at.span, i}
					continue
				}
			}
			if g.ID == 0 && !bad {
				bad = true
				s.bad(sp.Text, f)
			}
			seen = true
			k.w += float64(g.Advance) * unit
			if !stays && typeface.Joins(sp.Text, i, end, r) {
				k.to = place{at.span, end}
				k.next = settle(ph, k.to)
				return k
			}
			i = end
		}
	}
	k.to, k.next = at, at
	return k
}

// bracket reports whether the space before an opening bracket lets a line end.
func bracket(sp packet.Span, at int) bool {
	return sp.Style == packet.Strong && strings.HasPrefix(sp.Text[at:], " (")
}

// settle moves a place at a span's end to the start of the next span.
func settle(ph packet.Phrase, at place) place {
	for at.span < len(ph) && at.byte >= len(ph[at.span].Text) {
		at = place{at.span + 1, 0}
	}
	return at
}

// pad is what a span of the style takes beside its letters, in a line.
func pad(st packet.Style) float64 {
	switch st {
	case packet.Missing:
		return 2 * padMissing
	case packet.Key:
		return padKey
	}
	return 0
}

// holds reports whether the space at a place holds on to what follows: a key
// stays with its number, and a short word (mostly a unit) with the digit before.
func holds(ph packet.Phrase, at place, tight bool) bool {
	t := ph[at.span].Text
	if at.byte == len(t)-1 {
		return at.span+1 < len(ph) && ph[at.span+1].Style == packet.Key
	}
	if tight || at.byte == 0 || t[at.byte-1] < '0' || t[at.byte-1] > '9' {
		return false
	}
	next := t[at.byte+1:]
	if n := strings.IndexByte(next, ' '); n >= 0 {
		next = next[:n]
	}
	return len(next) > 0 && len(next) <= 6 && (next[0] > '9' || next[0] == '%')
}

// cut gives the last place between two runes up to which a word fits, at least
// one rune on.
func (s *setter) cut(ph packet.Phrase, from, to place, base face, width float64) place {
	w, first := 0.0, true
	for at := from; at.span < len(ph) && (at.span < to.span || at.byte < to.byte); at = (place{at.span + 1, 0}) {
		sp := ph[at.span]
		f := base.set(sp.Style)
		w += pad(sp.Style)
		end := len(sp.Text)
		if at.span == to.span {
			end = to.byte
		}
		for at.byte < end {
			r, n := utf8.DecodeRuneInString(sp.Text[at.byte:])
			w += float64(typeface.Lookup(f.Face, r).Advance) * f.size * (typeface.MM / 1000)
			if w > width && !first {
				return at
			}
			first = false
			at.byte += n
		}
	}
	return to
}

// measure is the width of a part of a phrase.
func (s *setter) measure(ph packet.Phrase, from, to place, base face) float64 {
	w := 0.0
	for i := from.span; i <= to.span && i < len(ph); i++ {
		if t := part(ph, i, from, to); t != "" {
			f := base.set(ph[i].Style)
			w += typeface.Width(f.Face, f.size, t) + pad(ph[i].Style)
		}
	}
	return w
}

// part is what span i has between two places.
func part(ph packet.Phrase, i int, from, to place) string {
	t := ph[i].Text
	if i == to.span {
		t = t[:to.byte]
	}
	if i == from.span {
		t = t[min(from.byte, len(t)):]
	}
	return t
}

// emit adds a line.
func (s *setter) emit(ph packet.Phrase, from, to place, base face) {
	ln := setLine{r0: len(s.runs), w: s.lead}
	s.lead = 0
	for i := from.span; i <= to.span && i < len(ph); i++ {
		t := part(ph, i, from, to)
		if t == "" {
			continue
		}
		st := ph[i].Style
		f := base.set(st)
		r := run{face: f, s: t, style: st, x: ln.w, w: typeface.Width(f.Face, f.size, t)}
		switch st {
		case packet.Missing:
			r.x += padMissing
		case packet.Key:
			r.x += padKey
		}
		ln.w += r.w + pad(st)
		s.runs = append(s.runs, r)
	}
	ln.r1 = len(s.runs)
	s.lines = append(s.lines, ln)
}

// side says where the lines of a text stand.
type side uint8

const (
	flushLeft  side = iota // from x on
	flushRight             // up to x
	centred                // about x
)

// draw draws all of a text's lines with the top of the first at y, and gives
// the text's height.
func (f *flow) draw(p prose, x, y float64, to side) float64 {
	return f.drawLines(p, p.l0, p.l1, x, y, to)
}

// drawLines draws some of a text's lines.
func (f *flow) drawLines(p prose, l0, l1 int, x, y float64, to side) float64 {
	step, base := p.base.line(), y+p.base.rise()
	for _, ln := range f.lines[l0:l1] {
		at := x
		switch to {
		case flushRight:
			at -= ln.w
		case centred:
			at -= ln.w / 2
		}
		for _, r := range f.runs[ln.r0:ln.r1] {
			if r.style == packet.Missing {
				f.panel(at+r.x-padMissing, base, r.w+2*padMissing, r.face)
			}
			if strings.Trim(r.s, " ") == "" {
				continue
			}
			f.texts = append(f.texts, page.Text{X: at + r.x, Y: base, Size: r.size, Face: r.Face, Ink: r.ink, S: r.s})
		}
		base += step
	}
	return float64(l1-l0) * step
}

// panel draws the frame of words that say that something is not on record.
func (f *flow) panel(x, base, w float64, c face) {
	// Clear of capitals and descenders; no higher, or the frames of two lines meet.
	const descender = 0.2 // of the size of type
	y := base - typeface.CapHeight(c.Face, c.size) - 0.03*c.size*typeface.MM - rule
	h := base + descender*c.size*typeface.MM + 0.08 + rule - y
	f.frame(x, y, w, h, rule, &black)
}

// widest is the width of a text's widest line.
func (f *flow) widest(p prose) float64 {
	w := 0.0
	for _, ln := range f.lines[p.l0:p.l1] {
		w = max(w, ln.w)
	}
	return w
}

// fit gives how many of a text's lines, from l0 on, are no higher than h: at
// least one.
func (p prose) fit(l0 int, h float64) int {
	return min(max(1, int((h+slack)/p.base.line())), p.l1-l0)
}
