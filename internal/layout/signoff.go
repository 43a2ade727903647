package layout

import (
	"slices"

	"jobsheaf/internal/packet"
)

// signOff draws rows of signatures: who signs for what, and where.
func (f *flow) signOff(s *packet.SignOff) {
	if f.halved {
		f.signOffBelow(s)
		return
	}
	gap := f.gap(gapList)
	for i := range s.Rows {
		r := &s.Rows[i]
		f.reset()
		f.blanks, f.cells = f.blanks[:0], f.cells[:0]
		role := min(signRole, 0.36*f.width)
		if f.dense {
			role = min(role, signRoleDense)
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

// signOffBelow draws them in a column: the boxes stand below the role.
func (f *flow) signOffBelow(s *packet.SignOff) {
	for i := range s.Rows {
		r := &s.Rows[i]
		f.reset()
		f.blanks = f.blanks[:0]
		f.begin()
		f.phrase = append(append(f.phrase[:0], packet.Span{Text: r.Role, Style: packet.Strong}, packet.Span{Text: ": "}), r.For...)
		y := f.draw(f.set(f.phrase, faceTable, f.width), f.left, 0, flushLeft) + capGap
		stack := f.above(r.Blanks, f.width, whole)
		f.drawStack(stack, f.left, y)
		f.end(gapSmall, y+stack.h, loose)
	}
}
