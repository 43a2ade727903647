// Package pdf writes finished pages as a PDF that archives keep: every font
// embedded, colours defined, the same bytes for the same document.
//
// Entry points: Write for a document that is whole; NewWriter, Add and Close
// for one whose pages come a packet at a time, at a memory that does not grow
// with them. It belongs here
// if it is about writing the file's format. It is not for deciding what goes
// where on a page (layout), for measuring text (typeface), nor for reading a file
// back (pdfread).
//
// How a file comes about:
//
//  1. content.go turns each page into PDF's drawing operators, which drawn.go
//     compresses;
//  2. gofpdf makes pages for them, a batch at a time;
//  3. merge.go takes its objects over, renumbered and with the operators, since
//     gofpdf writes neither the fonts (font.go, truetype.go) nor what archives
//     ask for (archive.go, attach.go), and those cannot be appended to its file;
//  4. object.go numbers the objects and writes the cross-reference table.
//
// Conformance: a document without attachments is PDF/A-1b (ISO 19005-1), one
// with attachments PDF/A-3b (ISO 19005-3). "Clause" in the comments is one of
// ISO 32000-1 where no other standard is named.
package pdf

import (
	"errors"
	"fmt"
	"io"
	"time"
	"unicode"

	"jobsheaf/internal/page"
)

// batch is how many pages are held in memory at a time. Each batch is a node of
// the page tree.
const batch = 32

// Writer writes one document. It is not safe for use by several goroutines;
// several Writers are.
type Writer struct {
	objects
	doc     page.Doc // without its pages
	created time.Time
	pages   []int // object numbers of all pages
	nodes   []int // object numbers of the nodes that hold them
	labels  []label
	outline []page.Mark // pages counted from the document's first
	used    usage
	*scratch
}

// label says from which page on a viewer counts from 1 again, after a prefix.
type label struct {
	page   int
	prefix string
}

// Write writes the document to w in one go. The same document gives the same
// bytes, whatever else is being written. It refuses a document without pages, a
// date that is not RFC 3339, a text with a rune that its face lacks, and a place
// that is not a number; what it wrote by then is not a PDF.
func Write(w io.Writer, doc page.Doc) error {
	p, err := NewWriter(w, doc)
	if err != nil {
		return err
	}
	if err := p.Add(doc.Pages, doc.Outline, ""); err != nil {
		return err
	}
	return p.Close()
}

// NewWriter begins a document on w. Of doc it takes all but the pages and the
// outline, which Add brings.
func NewWriter(w io.Writer, doc page.Doc) (*Writer, error) {
	created, err := time.Parse(time.RFC3339, doc.Created)
	if err != nil {
		return nil, fmt.Errorf("pdf: date of the document is %q; it must be RFC 3339, such as 2025-03-04T06:00:00+01:00", doc.Created)
	}
	for _, s := range []string{doc.Title, doc.Subject, doc.Language} {
		if err := checkWords(s); err != nil {
			return nil, err
		}
	}
	if err := checkAttachments(doc.Attachments); err != nil {
		return nil, err
	}
	p := &Writer{doc: doc, created: created, scratch: newScratch()}
	p.doc.Pages, p.doc.Outline = nil, nil
	p.objects = objects{w: w, out: p.mem[:0]}
	p.header(p.version())
	return p, nil
}

// checkWords refuses what a viewer cannot show in its own lists and XML cannot
// hold.
func checkWords(s string) error {
	for _, r := range s {
		if unicode.IsControl(r) || r == unicode.ReplacementChar || r&0xFFFE == 0xFFFE {
			return fmt.Errorf("pdf: %q has %U; it must be one line of text in UTF-8", s, r)
		}
	}
	return nil
}

// archive3 reports whether the document is PDF/A-3b; else it is PDF/A-1b.
func (p *Writer) archive3() bool { return len(p.doc.Attachments) > 0 }

// version is the version of PDF that the conformance is built on.
func (p *Writer) version() string {
	if p.archive3() {
		return "1.7"
	}
	return "1.4"
}

// Add appends pages with their part of the outline, whose page numbers count
// from the first of these pages. With a prefix, such as the job ID and a space,
// a viewer shows these pages as the prefix and a number from 1 on; with "", it
// goes on counting.
func (p *Writer) Add(pages []page.Page, outline []page.Mark, prefix string) error {
	if err := p.announce(len(pages), outline, prefix); err != nil {
		return err
	}
	for len(pages) > 0 {
		n := min(batch, len(pages))
		d, err := p.draw(pages[:n], len(p.pages)+1)
		if err != nil {
			return p.fail(err)
		}
		if err := p.addDrawn(d); err != nil {
			return err
		}
		pages = pages[n:]
	}
	return p.err
}

// checkSize refuses paper that PDF cannot hold. Source: annex C.2, 3 to 14,400
// points.
func checkSize(pg *page.Page) error {
	const least, most = 3 / pt, 14400 / pt
	if !(pg.W >= least && pg.W <= most && pg.H >= least && pg.H <= most) {
		return fmt.Errorf("paper of %g by %g mm; each side must be %.0f to %.0f mm", pg.W, pg.H, least, most)
	}
	return nil
}

// Close writes what belongs to the whole document and ends it. It does not
// close the underlying writer.
func (p *Writer) Close() error {
	if p.err != nil {
		return p.err
	}
	if len(p.pages) == 0 {
		return p.fail(errors.New("pdf: the document has no pages"))
	}
	p.pageTree()
	p.resources()
	p.trailer(p.catalog(), p.info(), fileID(&p.doc))
	p.flush()
	if p.err == nil {
		p.err = errClosed
		p.release()
		return nil
	}
	return p.err
}

var errClosed = errors.New("pdf: the document is closed")

// fail keeps the first error: a document with a fault has no right end.
func (p *Writer) fail(err error) error {
	if p.err == nil {
		p.err = err
		p.release()
	}
	return p.err
}
