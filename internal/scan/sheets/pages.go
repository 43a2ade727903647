package sheets

import (
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"math"
	"slices"

	"jobsheaf/internal/pdfobject"
)

// pdfFile is a PDF file.
type pdfFile struct {
	*objects
	render Renderer
	pages  []pdfPage
	fault  error // what is wrong behind the last of them
}

// pdfPage is a page as the tree of pages has it: where it stands, and what it takes from
// the nodes above it.
type pdfPage struct {
	ref  pdfobject.Ref
	from pdfobject.Dict
}

// inherited are the keys that pages take from above. Source: clause 7.7.3.4.
var inherited = []string{"Resources", "MediaBox", "CropBox", "Rotate"}

func openPDF(ctx context.Context, r io.ReaderAt, size int64, render Renderer) (pager, error) {
	head := make([]byte, min(size, 1100))
	n, _ := r.ReadAt(head, 0)
	begins := int64(max(0, pdfBegins(head[:n]))) // places count from here
	f := &pdfFile{objects: &objects{r: io.NewSectionReader(r, begins, size-begins), size: size - begins, at: map[int]place{}, packed: map[int]map[int]any{}}, render: render}
	if err := f.readSections(ctx); err != nil {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := f.rebuild(ctx); err != nil {
			return nil, err
		}
	}
	if f.trailer["Encrypt"] != nil {
		return nil, errors.New("it is locked (encrypted): save or print it without a password, or scan again")
	}
	if err := f.findPages(ctx); err != nil {
		return nil, err
	}
	if len(f.pages) == 0 && f.rebuild(ctx) == nil {
		if err := f.findPages(ctx); err != nil {
			return nil, err
		}
	}
	if len(f.pages) == 0 {
		if err := f.loosePages(ctx); err != nil {
			return nil, err
		}
	}
	if len(f.pages) == 0 {
		return nil, errors.New("no page is found in it: it is cut off or damaged")
	}
	return f, nil
}

// findPages walks the tree of pages. A page that is missing counts as one.
func (f *pdfFile) findPages(ctx context.Context) error {
	f.pages, f.fault = nil, nil
	catalog, _ := f.get(f.trailer["Root"]).(pdfobject.Dict)
	seen := map[pdfobject.Ref]bool{}
	var walk func(v any, from pdfobject.Dict, depth int) error
	walk = func(v any, from pdfobject.Dict, depth int) error {
		ref, ok := v.(pdfobject.Ref)
		if !ok {
			return nil // pages and nodes are never written in place
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		if seen[ref] || depth > pdfobject.MaxNested || len(f.pages) >= maxSheets {
			f.fault = errors.New("the list of pages runs in a circle or is endless")
			return nil
		}
		seen[ref] = true
		d, _ := f.get(ref).(pdfobject.Dict)
		kids, node := f.get(d["Kids"]).(pdfobject.Array)
		if !node {
			if depth > 0 || d["Type"] == pdfobject.Name("Page") {
				f.pages = append(f.pages, pdfPage{ref, from})
			}
			return nil
		}
		down := pdfobject.Dict{}
		for _, k := range inherited {
			if down[k] = d[k]; d[k] == nil {
				down[k] = from[k]
			}
		}
		for _, k := range kids {
			if err := walk(k, down, depth+1); err != nil {
				return err
			}
		}
		return nil
	}
	return walk(catalog["Pages"], nil, 0)
}

// loosePages takes the pages of a file that has lost their tree, in the order in which
// they stand in it.
func (f *pdfFile) loosePages(ctx context.Context) error {
	var all []int
	for n := range f.at {
		all = append(all, n)
	}
	slices.SortFunc(all, func(a, b int) int {
		if f.at[a].at != f.at[b].at {
			return int(min(1, max(-1, f.at[a].at-f.at[b].at)))
		}
		return a - b
	})
	for _, n := range all {
		if err := ctx.Err(); err != nil {
			return err
		}
		if d, ok := f.get(pdfobject.Ref(n)).(pdfobject.Dict); ok && d["Type"] == pdfobject.Name("Page") && len(f.pages) < maxSheets {
			f.pages = append(f.pages, pdfPage{pdfobject.Ref(n), nil})
		}
	}
	f.fault = errLost
	return nil
}

func (f *pdfFile) len() int {
	if f.fault != nil {
		return len(f.pages) + 1
	}
	return len(f.pages)
}

func (f *pdfFile) sheet(ctx context.Context, n int) (Sheet, error) {
	if n >= len(f.pages) {
		return Sheet{}, f.fault
	}
	d, ok := f.get(f.pages[n].ref).(pdfobject.Dict)
	if !ok {
		return Sheet{}, errors.New("it is missing from the file, which is cut off or damaged")
	}
	key := func(k string) any {
		if v := f.get(d[k]); v != nil {
			return v
		}
		return f.get(f.pages[n].from[k])
	}
	box, ok := f.box(key("CropBox"))
	if !ok {
		if box, ok = f.box(key("MediaBox")); !ok {
			box = [4]float64{0, 0, 612, 792}
		}
	}
	p := page{file: f, box: box, unit: 1.0 / 72}
	if u, ok := real(f.get(d["UserUnit"])); ok && u > 0 && u < 1000 {
		p.unit *= u
	}
	if q, ok := real(key("Rotate")); ok {
		p.quarters = int(math.Round(math.Mod(q, 360) / 90))
	}
	resources, _ := key("Resources").(pdfobject.Dict)
	s, err := p.sheet(d, resources)
	var strange *needsRenderer
	if !errors.As(err, &strange) {
		return s, err
	}
	return f.rendered(ctx, &p, n+1, strange)
}

// needsRenderer says why this room cannot read a page: what is on it, in one clause.
type needsRenderer struct{ why string }

func (e *needsRenderer) Error() string { return e.why }

func strange(format string, args ...any) error { return &needsRenderer{fmt.Sprintf(format, args...)} }

// rendered has a page drawn.
func (f *pdfFile) rendered(ctx context.Context, p *page, n int, why *needsRenderer) (Sheet, error) {
	// A program that draws what there is would show the lost part of a picture as blank
	// paper, and boxes on it as not marked.
	if p.cut {
		return Sheet{}, errCut
	}
	if f.render == nil {
		return Sheet{}, fmt.Errorf("%s, for which pdftoppm is needed: install poppler-utils, or scan to JPEG", why.why)
	}
	m, err := f.render(ctx, n)
	if err != nil {
		return Sheet{}, fmt.Errorf("%s, and pdftoppm failed: %w", why.why, err)
	}
	if m == nil {
		return Sheet{}, fmt.Errorf("%s, and pdftoppm gave nothing", why.why)
	}
	g, err := grey(m)
	if err != nil {
		return Sheet{}, err
	}
	wide := p.box[2] - p.box[0]
	if p.quarters%2 != 0 {
		wide = p.box[3] - p.box[1]
	}
	return Sheet{Gray: g, DPI: resolution(float64(g.Rect.Dx()), wide*p.unit), Bilevel: p.pictures > 0 && p.pictures == p.bilevel}, nil
}

// resolution gives pixels to the inch, 0 where that cannot be.
func resolution(pixels, inches float64) float64 {
	if dpi := pixels / inches; inches > 0 && dpi > 1 && dpi < 10_000 {
		return dpi
	}
	return 0
}

// box reads a rectangle with its lower left corner first, if it is one.
func (f *pdfFile) box(v any) (b [4]float64, ok bool) {
	a, _ := v.(pdfobject.Array)
	if len(a) != 4 {
		return b, false
	}
	for i := range b {
		if b[i], ok = real(f.get(a[i])); !ok {
			return b, false
		}
	}
	b = [4]float64{min(b[0], b[2]), min(b[1], b[3]), max(b[0], b[2]), max(b[1], b[3])}
	return b, b[2]-b[0] > 1 && b[3]-b[1] > 1
}

// sheet puts a page together from its pictures.
func (p *page) sheet(d, resources pdfobject.Dict) (Sheet, error) {
	if err := p.annotations(d); err != nil {
		return Sheet{}, err
	}
	placed, err := p.shown(d, resources)
	if err != nil {
		return Sheet{}, err
	}
	if len(placed) == 0 {
		return Sheet{}, strange("it has no picture on it")
	}
	if len(placed) == 1 {
		return p.single(placed[0])
	}
	return p.mosaic(placed)
}

// single is a page with one picture: the picture, whatever margin it leaves.
func (p *page) single(at placed) (Sheet, error) {
	t, wide, high, err := p.lies(at.matrix)
	if err != nil {
		return Sheet{}, err
	}
	pic, err := p.picture(at)
	if err != nil {
		return Sheet{}, err
	}
	g, err := pic.decode()
	if err != nil {
		return Sheet{}, err
	}
	b := g.Rect
	if t.sideways() {
		wide, high = high, wide
	}
	g, dpi, err := square(g, resolution(float64(b.Dx()), wide*p.unit), resolution(float64(b.Dy()), high*p.unit))
	if err != nil {
		return Sheet{}, err
	}
	return Sheet{Gray: turned(g, t), DPI: dpi, Bilevel: p.pictures == p.bilevel}, nil
}

// mosaic is a page of several pictures side by side, as scanners and copiers cut them.
func (p *page) mosaic(all []placed) (Sheet, error) {
	type part struct {
		*picture
		turn
		at image.Rectangle
	}
	wide, high := p.box[2]-p.box[0], p.box[3]-p.box[1]
	if p.quarters%2 != 0 {
		wide, high = high, wide
	}
	var parts []part
	scale := 0.0 // pixels to a unit of the page
	for i, a := range all {
		t, w, h, err := p.lies(a.matrix)
		if err != nil {
			return Sheet{}, err
		}
		pic, err := p.picture(a)
		if err != nil {
			return Sheet{}, err
		}
		pw, ph := float64(pic.w), float64(pic.h)
		if t.sideways() {
			pw, ph = ph, pw
		}
		if i == 0 {
			scale = pw / w
		}
		// Half a pixel over the whole length is lost in rounding.
		if math.Abs(w*scale-pw) > 1.5 || math.Abs(h*scale-ph) > 1.5 {
			return Sheet{}, strange("it has several pictures of different scales")
		}
		corner := p.corner(a.matrix)
		x, y := math.Round(corner[0]*scale), math.Round(corner[1]*scale)
		if math.Abs(x) > maxSide || math.Abs(y) > maxSide {
			return Sheet{}, strange("it has pictures beside the page")
		}
		at := image.Rect(int(x), int(y), int(x+pw), int(y+ph))
		for _, q := range parts {
			// Strips may share the row between them.
			if c := q.at.Intersect(at); c.Dx() > 2 && c.Dy() > 2 || 4*c.Dx()*c.Dy() > at.Dx()*at.Dy() {
				return Sheet{}, strange("it has pictures over one another")
			}
		}
		parts = append(parts, part{pic, t, at})
	}
	w, h := int(math.Round(wide*scale)), int(math.Round(high*scale))
	if err := within(w, h, 1); err != nil {
		return Sheet{}, err
	}
	g := image.NewGray(image.Rect(0, 0, w, h))
	for i := range g.Pix {
		g.Pix[i] = 255
	}
	for _, q := range parts {
		m, err := q.decode()
		if err != nil {
			return Sheet{}, err
		}
		m = turned(m, q.turn)
		to := q.at.Intersect(g.Rect)
		for y := to.Min.Y; y < min(to.Max.Y, q.at.Min.Y+m.Rect.Dy()); y++ {
			from := (y-q.at.Min.Y)*m.Stride + to.Min.X - q.at.Min.X
			n := min(to.Dx(), m.Rect.Dx()-(to.Min.X-q.at.Min.X))
			copy(g.Pix[y*g.Stride+to.Min.X:][:max(0, n)], m.Pix[from:])
		}
	}
	return Sheet{Gray: g, DPI: resolution(scale, p.unit), Bilevel: p.pictures == p.bilevel}, nil
}
