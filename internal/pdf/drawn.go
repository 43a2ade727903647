package pdf

import (
	"fmt"

	"jobsheaf/internal/page"

	"github.com/jung-kurt/gofpdf"
)

// Drawn is pages as a file holds them: their drawing operators, compressed, and
// which glyphs they use. What is drawn once may be added to any number of
// documents, also by several goroutines at a time.
type Drawn struct {
	sizes   []gofpdf.SizeType // of the paper, in points
	streams [][]byte
	used    usage
}

// Draw draws pages. It refuses what Write refuses.
func Draw(pages []page.Page) (*Drawn, error) {
	s := newScratch()
	defer s.putBack()
	return s.draw(pages, 1)
}

// draw draws pages of which the first has the given number, for messages.
func (s *scratch) draw(pages []page.Page, number int) (*Drawn, error) {
	d := &Drawn{sizes: make([]gofpdf.SizeType, len(pages)), streams: make([][]byte, len(pages))}
	for i := range pages {
		pg := &pages[i]
		if err := checkSize(pg); err != nil {
			return nil, fmt.Errorf("pdf: page %d: %w", number+i, err)
		}
		c := content{b: s.ops[:0], used: &d.used}
		c.page(pg)
		s.ops = c.b
		if c.err != nil {
			return nil, fmt.Errorf("pdf: page %d: %w", number+i, c.err)
		}
		d.sizes[i] = gofpdf.SizeType{Wd: pg.W * pt, Ht: pg.H * pt}
		z := s.deflate(c.b)
		d.streams[i] = append(make([]byte, 0, len(z)), z...)
	}
	return d, nil
}

// AddDrawn appends pages that were drawn before, as Add does.
func (p *Writer) AddDrawn(d *Drawn, outline []page.Mark, prefix string) error {
	if err := p.announce(len(d.streams), outline, prefix); err != nil {
		return err
	}
	return p.addDrawn(d)
}

// announce takes in what is said of n pages that are about to be added.
func (p *Writer) announce(n int, outline []page.Mark, prefix string) error {
	if p.err != nil {
		return p.err
	}
	if err := checkWords(prefix); err != nil {
		return p.fail(err)
	}
	if err := p.addOutline(outline, n); err != nil {
		return p.fail(err)
	}
	if n > 0 && (prefix != "" || len(p.labels) == 0) {
		p.labels = append(p.labels, label{len(p.pages), prefix})
	}
	return nil
}

// addDrawn has gofpdf make the pages' objects, a batch at a time, and takes them
// over with the streams in their places.
func (p *Writer) addDrawn(d *Drawn) error {
	p.used.merge(&d.used)
	for from := 0; from < len(d.streams); from += batch {
		to := min(from+batch, len(d.streams))
		f := gofpdf.NewCustom(&gofpdf.InitType{UnitStr: "pt", Size: d.sizes[from]})
		f.SetCompression(false) // what it would compress is thrown away
		f.SetAutoPageBreak(false, 0)
		f.SetMargins(0, 0, 0)
		for _, size := range d.sizes[from:to] {
			f.AddPageFormat("P", size)
		}
		p.raw.Reset()
		if err := f.Output(&p.raw); err != nil {
			return p.fail(fmt.Errorf("pdf: %w", err))
		}
		if err := p.merge(p.raw.Bytes(), d.streams[from:to]); err != nil {
			return p.fail(err)
		}
	}
	return p.err
}

// Lead adds pages as Add does, and moves them before all others: what comes first
// in a document may so be made last, from what the others came to. The prefix may
// not be empty.
func (p *Writer) Lead(pages []page.Page, outline []page.Mark, prefix string) error {
	if prefix == "" && p.err == nil {
		return p.fail(fmt.Errorf("pdf: leading pages need a prefix of their own"))
	}
	n, nodes, labels, marks := len(p.pages), len(p.nodes), len(p.labels), len(p.outline)
	if err := p.Add(pages, outline, prefix); err != nil {
		return err
	}
	first := func(page int) int { // the new number of a page, from 0
		if page < n {
			return page + len(pages)
		}
		return page - n
	}
	p.pages = turn(p.pages, n)
	p.nodes = turn(p.nodes, nodes)
	p.labels = turn(p.labels, labels)
	p.outline = turn(p.outline, marks)
	for i := range p.labels {
		p.labels[i].page = first(p.labels[i].page)
	}
	for i := range p.outline {
		p.outline[i].Page = first(p.outline[i].Page)
	}
	return nil
}

// CloseAs closes the document under an ID that was not known when it was begun.
func (p *Writer) CloseAs(id string) error {
	p.doc.ID = id
	return p.Close()
}

// turn puts what comes from n on before the rest.
func turn[T any](s []T, n int) []T {
	return append(append(make([]T, 0, len(s)), s[n:]...), s[:n]...)
}
