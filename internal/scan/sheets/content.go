package sheets

import (
	"bytes"
	"errors"
	"image"
	"io"
	"math"

	"jobsheaf/internal/pdfobject"
)

// page is a page of a PDF while it is read.
type page struct {
	file     *pdfFile
	box      [4]float64 // what is shown of it, lower left corner first
	unit     float64    // inches
	quarters int        // clockwise
	// pictures counts the pictures of the page that were looked at, bilevel those in
	// black and white; cut says that the bytes of one end too early.
	pictures, bilevel int
	cut               bool
}

// matrix maps a picture, a square of 1 by 1 with its foot at 0, to the page. Source:
// clause 8.3.3.
type matrix [6]float64

// then gives the matrix that does m first.
func (m matrix) then(n matrix) matrix {
	return matrix{
		m[0]*n[0] + m[1]*n[2], m[0]*n[1] + m[1]*n[3],
		m[2]*n[0] + m[3]*n[2], m[2]*n[1] + m[3]*n[3],
		m[4]*n[0] + m[5]*n[2] + n[4], m[4]*n[1] + m[5]*n[3] + n[5],
	}
}

// placed is a picture on the page.
type placed struct {
	*stream
	matrix
	fill int // grey that a mask is painted in; negative: not known
}

// lies gives how a picture lies on the page shown, and its extent there.
func (p *page) lies(m matrix) (t turn, wide, high float64, err error) {
	wide, high = math.Abs(m[0])+math.Abs(m[2]), math.Abs(m[1])+math.Abs(m[3])
	if !(wide > 1e-3 && high > 1e-3 && wide < 1e6 && high < 1e6) {
		return t, 0, 0, strange("its picture has no size on the page")
	}
	sign := func(v float64) int {
		switch {
		case math.Abs(v) < 0.002*min(wide, high):
			return 0
		case v < 0:
			return -1
		}
		return 1
	}
	t = turn{image.Pt(sign(m[0]), sign(-m[1])), image.Pt(sign(-m[2]), sign(m[3]))}
	if square := func(v image.Point) bool { return (v.X == 0) != (v.Y == 0) }; !square(t.right) || !square(t.down) || t.right.X != 0 && t.down.X != 0 || t.right.Y != 0 && t.down.Y != 0 {
		return t, 0, 0, strange("its picture is laid on askew")
	}
	if p.quarters%2 != 0 {
		wide, high = high, wide
	}
	return t.clockwise(p.quarters), wide, high, nil
}

// corner gives where the upper left corner of a picture is on the page shown, in units
// to the right and down.
func (p *page) corner(m matrix) [2]float64 {
	w, h := math.Abs(m[0])+math.Abs(m[2]), math.Abs(m[1])+math.Abs(m[3])
	wide, high := p.box[2]-p.box[0], p.box[3]-p.box[1]
	x := min(m[4], m[4]+m[0]+m[2]) - p.box[0]
	y := p.box[3] - max(m[5], m[5]+m[1]+m[3])
	switch (p.quarters%4 + 4) % 4 {
	case 1:
		return [2]float64{high - y - h, x}
	case 2:
		return [2]float64{wide - x - w, high - y - h}
	case 3:
		return [2]float64{y, wide - x - w}
	}
	return [2]float64{x, y}
}

// annotations refuses what lies over a page: a person may have ticked a box with it.
func (p *page) annotations(d pdfobject.Dict) error {
	list, _ := p.file.get(d["Annots"]).(pdfobject.Array)
	for _, a := range list[:min(len(list), 1000)] {
		a, _ := p.file.get(a).(pdfobject.Dict)
		const hidden = 2
		switch flags, _ := whole(p.file.get(a["F"])); {
		case a == nil, flags&hidden != 0, a["Subtype"] == pdfobject.Name("Link"), a["Subtype"] == pdfobject.Name("Popup"):
		case a["Subtype"] == pdfobject.Name("Widget") && a["AP"] == nil:
		default:
			return strange("it has notes or fields laid over it")
		}
	}
	return nil
}

// The limits of what shows a page.
const (
	maxContent = 4 << 20 // bytes, unpacked
	maxPlaced  = 2000    // pictures
	maxForms   = 4       // within one another
)

// drawing reads what a page shows.
type drawing struct {
	*page
	found []placed
	under string // what is drawn before the first picture, which may cover it
	left  int    // bytes that may still be read
}

// draws notes what is drawn beside pictures: text recognition may put its text below the
// picture of the page.
func (d *drawing) draws(what string) error {
	if len(d.found) > 0 {
		return strange("it is not a scan alone: it has %s", what)
	}
	d.under = what
	return nil
}

// covers says whether a picture, if it is no stencil, lies over the whole page but for a
// point at each edge.
func (p *page) covers(a placed) bool {
	b := p.box
	return p.file.get(a.dict["ImageMask"]) != true && min(a.matrix[4], a.matrix[4]+a.matrix[0]+a.matrix[2]) < b[0]+1 && max(a.matrix[4], a.matrix[4]+a.matrix[0]+a.matrix[2]) > b[2]-1 &&
		min(a.matrix[5], a.matrix[5]+a.matrix[1]+a.matrix[3]) < b[1]+1 && max(a.matrix[5], a.matrix[5]+a.matrix[1]+a.matrix[3]) > b[3]-1
}

// graphics is what the operators change. Source: clause 8.4.
type graphics struct {
	matrix
	fill   int
	unseen bool // text is not shown
}

// shown gives the pictures of a page, if it shows nothing else.
func (p *page) shown(d, resources pdfobject.Dict) ([]placed, error) {
	draw := &drawing{page: p, left: maxContent}
	parts, ok := p.file.get(d["Contents"]).(pdfobject.Array)
	if !ok {
		parts = pdfobject.Array{d["Contents"]}
	}
	var all []byte
	for _, part := range parts {
		s, ok := p.file.get(part).(*stream)
		if !ok {
			if part == nil {
				continue // an empty page
			}
			return nil, errors.New("what it shows is missing from the file, which is cut off or damaged")
		}
		b, err := draw.bytes(s)
		if err != nil {
			return nil, err
		}
		all = append(append(all, b...), '\n')
	}
	if err := draw.run(all, resources, graphics{matrix: matrix{1, 0, 0, 1, 0, 0}}, 0); err != nil {
		return nil, err
	}
	if draw.under != "" && (len(draw.found) != 1 || !p.covers(draw.found[0])) {
		return nil, strange("it is not a scan alone: it has %s", draw.under)
	}
	return draw.found, nil
}

// bytes gives a content stream.
func (d *drawing) bytes(s *stream) ([]byte, error) {
	d.cut = d.cut || !s.whole
	r, err := d.file.unpackWith(s, d.file.get)
	if err != nil {
		return nil, err
	}
	b, err := io.ReadAll(io.LimitReader(r, int64(d.left)+1))
	if d.left -= len(b); d.left < 0 {
		return nil, strange("it shows more than a scan does")
	}
	if err != nil {
		return nil, errors.New("what it shows is damaged")
	}
	return b, nil
}

// run follows the operators. Source: annex A of the standard.
func (d *drawing) run(b []byte, resources pdfobject.Dict, g graphics, depth int) error {
	l := lexer(b)
	var args []any
	var stack []graphics
	for {
		if l.Skip(); l.At >= len(b) {
			return nil
		}
		if c := b[l.At]; !(c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c == '\'' || c == '"') {
			v, err := l.Object()
			if err != nil {
				return strange("what it shows is damaged")
			}
			if args = append(args, v); len(args) > 64 {
				return strange("what it shows is damaged")
			}
			continue
		}
		op := l.Word()
		switch op {
		case "true", "false", "null":
			args = append(args, nil)
			continue
		case "q":
			if stack = append(stack, g); len(stack) > 200 {
				return strange("what it shows is nested too deep")
			}
		case "Q":
			if n := len(stack); n > 0 {
				g, stack = stack[n-1], stack[:n-1]
			}
		case "cm":
			if m, ok := numbers6(args); ok {
				g.matrix = m.then(g.matrix)
			}
		case "Do":
			if err := d.object(args, resources, g, depth); err != nil {
				return err
			}
		case "g", "rg", "k":
			g.fill = fillOf(args)
		case "cs", "sc", "scn":
			g.fill = -1
		case "Tr":
			mode, _ := whole(last(args))
			g.unseen = mode == 3 || mode == 7
		case "Tj", "TJ", "'", "\"":
			if !g.unseen {
				if err := d.draws("text"); err != nil {
					return err
				}
			}
		case "f", "F", "f*":
			if len(d.found) > 0 || g.fill != 255 { // white paper below the picture is as good as none
				if err := d.draws("drawn areas"); err != nil {
					return err
				}
			}
		case "S", "s", "B", "B*", "b", "b*", "sh":
			if err := d.draws("drawn lines or areas"); err != nil {
				return err
			}
		case "BI":
			return strange("it has a picture written between its operators (inline)")
		case "gs":
			if err := d.state(args, resources); err != nil {
				return err
			}
		case "BDC":
			if len(args) > 0 && args[0] == pdfobject.Name("OC") {
				return strange("it has layers")
			}
		}
		args = args[:0]
	}
}

// state refuses settings that would change how a picture looks.
func (d *drawing) state(args []any, resources pdfobject.Dict) error {
	name, _ := last(args).(pdfobject.Name)
	states, _ := d.file.get(resources["ExtGState"]).(pdfobject.Dict)
	s, _ := d.file.get(states[string(name)]).(pdfobject.Dict)
	get := func(k string) any { return d.file.get(s[k]) }
	if a, ok := real(get("ca")); ok && a < 1 {
		return strange("it has transparent parts")
	}
	if m := get("SMask"); m != nil && m != pdfobject.Name("None") {
		return strange("it has transparent parts")
	}
	if m := get("BM"); m != nil && m != pdfobject.Name("Normal") && m != pdfobject.Name("Compatible") {
		return strange("it has parts mixed with one another")
	}
	return nil
}

// object is a picture, or a form: operators of their own.
func (d *drawing) object(args []any, resources pdfobject.Dict, g graphics, depth int) error {
	name, _ := last(args).(pdfobject.Name)
	all, _ := d.file.get(resources["XObject"]).(pdfobject.Dict)
	s, ok := d.file.get(all[string(name)]).(*stream)
	if !ok {
		return errors.New("its picture is missing from the file, which is cut off or damaged")
	}
	if s.dict["OC"] != nil {
		return strange("it has layers")
	}
	switch d.file.get(s.dict["Subtype"]) {
	case pdfobject.Name("Image"):
		if len(d.found) >= maxPlaced {
			return strange("it has more pictures than a scan has")
		}
		d.found = append(d.found, placed{s, g.matrix, g.fill})
	case pdfobject.Name("Form"):
		if depth >= maxForms {
			return strange("what it shows is nested too deep")
		}
		b, err := d.bytes(s)
		if err != nil {
			return err
		}
		if list, ok := d.file.get(s.dict["Matrix"]).(pdfobject.Array); ok {
			if m, ok := numbers6(list); ok {
				g.matrix = m.then(g.matrix)
			}
		}
		own, ok := d.file.get(s.dict["Resources"]).(pdfobject.Dict)
		if !ok {
			own = resources
		}
		return d.run(b, own, g, depth+1)
	}
	return nil
}

func last(args []any) any {
	if len(args) == 0 {
		return nil
	}
	return args[len(args)-1]
}

func numbers6(args []any) (m matrix, ok bool) {
	if len(args) != len(m) {
		return m, false
	}
	for i := range m {
		if m[i], ok = real(args[i]); !ok {
			return m, false
		}
	}
	return m, true
}

// fillOf gives the grey of a colour as g, rg and k set it.
func fillOf(args []any) int {
	var v [4]uint8
	if len(args) > len(v) {
		return -1
	}
	for i, a := range args {
		f, ok := real(a)
		if !ok {
			return -1
		}
		v[i] = uint8(math.Round(255 * min(1, max(0, f))))
	}
	switch len(args) {
	case 1:
		return int(v[0])
	case 3:
		return int(luminance(v[0], v[1], v[2]))
	case 4:
		return int(inked(v[0], v[1], v[2], v[3]))
	}
	return -1
}

// nameIn says what a filter or a colour is called, for messages.
func nameIn(v any) string {
	n, _ := v.(pdfobject.Name)
	return string(bytes.ToValidUTF8([]byte(n), []byte("?")))
}
