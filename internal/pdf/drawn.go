package pdf

import (
	"fmt"

	"jobsheaf/internal/page"
)

// Drawn is pages as a file holds them: their drawing operators, compressed, and
// which glyphs they use. What is drawn once may be added to any number of
// documents, also by several goroutines at a time.
type Drawn struct {
	sizes   []size
	streams [][]byte
	used    usage
}

// size is that of a paper, in points.
type size struct{ w, h float64 }

func (s size) appendBox(b []byte) []byte {
	return fmt.Appendf(b, "/MediaBox [0 0 %.2f %.2f]", s.w, s.h)
}

// Draw draws pages. It refuses what Write refuses.
func Draw(pages []page.Page) (*Drawn, error) {
	s := scratches.Get().(*scratch)
	defer scratches.Put(s)
	return s.draw(pages, 1)
}

// draw draws pages of which the first has the given number, for messages.
func (s *scratch) draw(pages []page.Page, number int) (*Drawn, error) {
	d := &Drawn{sizes: make([]size, len(pages)), streams: make([][]byte, len(pages))}
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
		d.sizes[i] = size{pg.W * pt, pg.H * pt}
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

// addDrawn writes the objects of pages that are drawn: for each batch the pages with
// their contents, then the node of the page tree that holds them. Source: clauses
// 7.7.3.2 and 7.7.3.3.
func (p *Writer) addDrawn(d *Drawn) error {
	p.used.merge(&d.used)
	for from := 0; from < len(d.streams); from += batch {
		to := min(from+batch, len(d.streams))
		node, common := p.number(), d.sizes[from]
		var kids []byte
		for i := from; i < to; i++ {
			pg, content := p.number(), p.number()
			kids = fmt.Appendf(kids, "%d 0 R ", pg)
			p.begin(pg)
			p.out = fmt.Appendf(p.out, "<</Type /Page\n/Parent %d 0 R\n", node)
			if d.sizes[i] != common {
				p.out = append(d.sizes[i].appendBox(p.out), '\n')
			}
			p.out = fmt.Appendf(p.out, "/Resources %d 0 R\n/Contents %d 0 R>>", resourceDict, content)
			p.end()
			p.stream(content, "/Filter/FlateDecode", d.streams[i])
			p.pages = append(p.pages, pg)
			if len(p.out) > 1<<18 {
				p.flush()
			}
		}
		p.nodes = append(p.nodes, node)
		p.begin(node)
		p.out = fmt.Appendf(p.out, "<</Parent %d 0 R /Type /Pages\n/Kids [%s]\n/Count %d\n", rootNode, kids, to-from)
		p.out = append(common.appendBox(p.out), "\n>>"...)
		p.end()
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

// turn puts what stands from n on before the rest.
func turn[T any](s []T, n int) []T {
	return append(append(make([]T, 0, len(s)), s[n:]...), s[:n]...)
}
