package pdf

import (
	"bytes"
	"crypto/sha256"
	"encoding/xml"
	"fmt"
	"strings"
	"time"

	"jobsheaf/internal/page"
)

// Maker names the program in the file, without its version: a new version that
// prints the same makes the same bytes.
const Maker = "jobsheaf"

// fileID gives the file identifier, in hexadecimal. Source: clause 14.4; the two
// halves of the ID are the same in a file that was never changed.
func fileID(d *page.Doc) string {
	h := sha256.Sum256(fmt.Appendf(nil, "%q %q %q", d.ID, d.Title, d.Created))
	return fmt.Sprintf("%X", h[:16])
}

// pageTree writes the root, whose children are the batches.
func (p *Writer) pageTree() {
	p.begin(rootNode)
	p.str("<</Type/Pages/Count ")
	p.int(len(p.pages))
	p.str("/Kids[")
	for _, n := range p.nodes {
		p.int(n)
		p.str(" 0 R ")
	}
	p.str("]>>")
	p.end()
}

// catalog writes the document's parts and gives the catalog's number.
func (p *Writer) catalog() int {
	metadata, intent, profile := p.number(), p.number(), p.number()
	// Not compressed: ISO 19005-1, 6.7.2.
	p.stream(metadata, "/Type/Metadata/Subtype/XML", p.xmp())
	p.stream(profile, "/N 3/Filter/FlateDecode", sRGB())
	p.dict(intent, "/Type/OutputIntent/S/GTS_PDFA1/OutputConditionIdentifier(sRGB)/Info(sRGB, IEC 61966-2-1)/DestOutputProfile %d 0 R", profile)

	var more strings.Builder
	if p.doc.Language != "" {
		more.WriteString("/Lang" + text(p.doc.Language))
	}
	if len(p.outline) > 0 {
		fmt.Fprintf(&more, "/Outlines %d 0 R/PageMode/UseOutlines", p.writeOutline())
	}
	more.WriteString(p.attach())
	more.WriteString("/PageLabels<</Nums[")
	for _, l := range p.labels {
		fmt.Fprintf(&more, "%d<</S/D", l.page)
		if l.prefix != "" {
			more.WriteString("/P" + text(l.prefix))
		}
		more.WriteString(">>")
	}
	more.WriteString("]>>")

	n := p.number()
	p.dict(n, "/Type/Catalog/Pages %d 0 R/Metadata %d 0 R/OutputIntents[%d 0 R]/ViewerPreferences<</DisplayDocTitle true>>%s",
		rootNode, metadata, intent, more.String())
	return n
}

// info writes the information dictionary, which says the same as the metadata
// (ISO 19005-1, 6.7.3), and gives its number.
func (p *Writer) info() int {
	n := p.number()
	subject := ""
	if p.doc.Subject != "" {
		subject = "/Subject" + text(p.doc.Subject)
	}
	date := text(pdfDate(p.created))
	p.dict(n, "/Title%s%s/Creator(%s)/Producer(%s)/CreationDate%s/ModDate%s", text(p.doc.Title), subject, Maker, Maker, date, date)
	return n
}

// pdfDate writes a date with its zone. Source: clause 7.9.4.
func pdfDate(t time.Time) string {
	zone := t.Format("-07'00'")
	_, seconds := t.Zone()
	if minutes := seconds / 60 % 60; minutes != 0 {
		zone = fmt.Sprintf("%s%02d'", zone[:4], max(minutes, -minutes))
	}
	return t.Format("D:20060102150405") + zone
}

// xmp gives the metadata. Source: ISO 16684-1 and ISO 19005-1 and -3, 6.7 and 6.6.
func (p *Writer) xmp() []byte {
	part := 1
	if p.archive3() {
		part = 3
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "<?xpacket begin=\"\uFEFF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n"+
		`<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">`+
		`<rdf:Description rdf:about="" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/"><pdfaid:part>%d</pdfaid:part><pdfaid:conformance>B</pdfaid:conformance></rdf:Description>`+
		`<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:format>application/pdf</dc:format>`, part)
	alternative := func(name, s string) {
		fmt.Fprintf(&b, `<dc:%s><rdf:Alt><rdf:li xml:lang="x-default">`, name)
		xml.EscapeText(&b, []byte(s)) // a bytes.Buffer takes everything
		fmt.Fprintf(&b, `</rdf:li></rdf:Alt></dc:%s>`, name)
	}
	alternative("title", p.doc.Title)
	if p.doc.Subject != "" {
		alternative("description", p.doc.Subject)
	}
	if p.doc.Language != "" {
		b.WriteString(`<dc:language><rdf:Bag><rdf:li>`)
		xml.EscapeText(&b, []byte(p.doc.Language))
		b.WriteString(`</rdf:li></rdf:Bag></dc:language>`)
	}
	date := p.created.Format("2006-01-02T15:04:05-07:00")
	fmt.Fprintf(&b, `</rdf:Description><rdf:Description rdf:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/">`+
		`<xmp:CreatorTool>%s</xmp:CreatorTool><xmp:CreateDate>%s</xmp:CreateDate><xmp:ModifyDate>%s</xmp:ModifyDate><xmp:MetadataDate>%s</xmp:MetadataDate></rdf:Description>`+
		`<rdf:Description rdf:about="" xmlns:pdf="http://ns.adobe.com/pdf/1.3/"><pdf:Producer>%s</pdf:Producer></rdf:Description>`+
		"</rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>", Maker, date, date, date, Maker)
	return b.Bytes()
}

// addOutline takes in the outline of n pages that are about to be added.
func (p *Writer) addOutline(marks []page.Mark, n int) error {
	for _, m := range marks {
		if err := checkWords(m.Title); err != nil {
			return err
		}
		if m.Page < 0 || m.Page >= n {
			return fmt.Errorf("pdf: outline entry %q is on page %d; the pages count from 0 to %d", m.Title, m.Page, n-1)
		}
		deepest := 0
		if len(p.outline) > 0 {
			deepest = p.outline[len(p.outline)-1].Level + 1
		}
		if m.Level < 0 || m.Level > deepest {
			return fmt.Errorf("pdf: outline entry %q has level %d; here it must be 0 to %d", m.Title, m.Level, deepest)
		}
		m.Page += len(p.pages)
		p.outline = append(p.outline, m)
	}
	return nil
}

// writeOutline writes the entries, those with others below them closed, and gives
// the number of their root. Source: clause 12.3.3.
func (p *Writer) writeOutline() int {
	type entry struct{ number, parent, prev, next, first, last, below int }
	entries := make([]entry, len(p.outline)+1) // 0 is the root
	entries[0].number = p.number()
	open := []int{0} // the entry that is open at each level, the root first
	for i, m := range p.outline {
		at, e := i+1, &entries[i+1]
		e.number = p.number()
		if len(open) > m.Level+1 {
			e.prev = open[m.Level+1]
			entries[e.prev].next = at
		}
		e.parent = open[m.Level]
		up := &entries[e.parent]
		if up.first == 0 {
			up.first = at
		}
		up.last = at
		up.below++
		open = append(open[:m.Level+1], at)
	}
	for i := range entries {
		e := &entries[i]
		p.begin(e.number)
		p.str("<<")
		ref := func(name string, to int) {
			if to != 0 || name == "/Parent" {
				p.str(name)
				p.str(" ")
				p.int(entries[to].number)
				p.str(" 0 R")
			}
		}
		ref("/First", e.first)
		ref("/Last", e.last)
		if i == 0 {
			p.str("/Type/Outlines/Count ")
			p.int(e.below)
		} else {
			m := p.outline[i-1]
			p.str("/Title")
			p.str(text(m.Title))
			ref("/Parent", e.parent)
			ref("/Prev", e.prev)
			ref("/Next", e.next)
			if e.below > 0 {
				p.str("/Count ")
				p.int(-e.below)
			}
			p.str("/Dest[")
			p.int(p.pages[m.Page])
			p.str(" 0 R/XYZ null null null]") // the page's top, zoom unchanged
		}
		p.str(">>")
		p.end()
	}
	return entries[0].number
}
