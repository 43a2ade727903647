// Package pdfread reads what a PDF that package pdf wrote holds, whatever other
// programs or people have done to it since.
//
// Entry point: Read. It belongs here if it is about getting at the content of a
// file, or about comparing two files by what they show. It is not for saying what
// a difference means (prove), nor for writing files (pdf).
//
// How a file is read: pdfobject reads one object, scan.go finds all objects of
// a file, read.go the pages, attachments and other parts of the document, and sum.go
// computes the digests by which they are compared. "Clause" in the comments is one
// of ISO 32000-1.
package pdfread

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"maps"
	"strconv"
	"unicode/utf16"

	"jobsheaf/internal/page"
	"jobsheaf/internal/pdfobject"
)

// File is what Read found in a file. Two files with equal values in every field
// show and carry the same, however they were written.
type File struct {
	Pages []Sum
	// Shown is what each page shows, without the fonts that it is shown with: these
	// are subsets, and differ from file to file.
	Shown       []Sum
	Sections    []Section
	Attachments []Attached
	// Parts are what belongs to the document as a whole, by what it is called:
	// the bookmarks, the metadata and so on.
	Parts    map[string]Sum
	Producer string // pdf.Maker in a file of ours
	Whole    bool   // the end-of-file marker is there
}

// Section is a run of pages with a numbering of their own, up to the next section.
type Section struct {
	Prefix string // before the number, such as "K-24817 "
	First  int    // page, from 0
}

// Sum is a digest of a part of a document with everything that it refers to, such
// as the fonts of a page. Fault says what could not be read; "" means all was.
type Sum struct {
	digest [sha256.Size]byte
	Fault  string
}

// Attached is an attachment. Its Data are nil where Fault says why they cannot be
// read.
type Attached struct {
	page.Attachment
	Fault string
}

// The most that a document may have of these.
const (
	maxPages       = 10_000
	maxAttachments = 1000
	maxMarks       = 100_000
	maxNamed       = 100 // fonts of a page
	maxFollowed    = 200 // references, one after another
)

// ErrNotPDF says that a file is not a PDF at all.
var ErrNotPDF = errors.New("it is not a PDF file")

// streamObj is a stream: an object with bytes of its own.
type streamObj struct {
	dict pdfobject.Dict
	raw  []byte
}

// reading is a file whose objects have been found.
type reading struct {
	all     map[int]any
	catalog pdfobject.Dict
	trailer pdfobject.Dict
	decoded int // bytes, so far
	summed  int
	sums    map[int]Sum
	busy    map[int]bool
	pages   map[int]int // by object number: which page it is, from 0
}

// Read reads a file that package pdf wrote, also after other programs rewrote it or
// somebody altered it. What is altered is in the faults and digests of its parts;
// the error is ErrNotPDF, or says that the file cannot be taken for a document at
// all. It never panics, whatever the file.
func Read(b []byte) (File, error) {
	if !bytes.Contains(b[:min(len(b), 1024)], []byte("%PDF-")) {
		return File{}, ErrNotPDF
	}
	f := File{Parts: map[string]Sum{}, Whole: bytes.Contains(b[max(0, len(b)-1024):], []byte("%%EOF"))}
	r := &reading{sums: map[int]Sum{}, busy: map[int]bool{}, pages: map[int]int{}}
	var err error
	if r.all, r.trailer, err = scan(b); err != nil {
		return f, err
	}
	if err := r.objectStreams(); err != nil {
		return f, err
	}
	if r.trailer["Encrypt"] != nil {
		return f, errors.New("it is encrypted")
	}
	r.catalog, _ = r.get(r.trailer["Root"]).(pdfobject.Dict)
	if r.catalog == nil {
		return f, errors.New("its end, where a document says what it consists of, is missing or damaged")
	}
	r.readPages(&f)
	r.readAttachments(&f)
	r.readParts(&f)
	r.readSections(&f)
	return f, nil
}

// get follows references.
func (r *reading) get(v any) any {
	for range maxFollowed {
		ref, ok := v.(pdfobject.Ref)
		if !ok {
			return v
		}
		v = r.all[int(ref)]
	}
	return nil
}

func (r *reading) dict(v any) pdfobject.Dict {
	switch v := r.get(v).(type) {
	case pdfobject.Dict:
		return v
	case *streamObj:
		return v.dict
	}
	return nil
}

// inherited are what pages take from the nodes above them. Source: clause 7.7.3.4.
var inherited = []string{"Resources", "MediaBox", "CropBox", "Rotate"}

// readPages walks the tree of pages.
func (r *reading) readPages(f *File) {
	seen := map[int]bool{}
	var leaves []pdfobject.Dict
	var walk func(v any, from pdfobject.Dict, depth int)
	walk = func(v any, from pdfobject.Dict, depth int) {
		if n, ok := v.(pdfobject.Ref); ok {
			if seen[int(n)] || depth > pdfobject.MaxNested || len(leaves) >= maxPages {
				return
			}
			seen[int(n)] = true
			if kind := r.dict(v); kind["Kids"] == nil {
				r.pages[int(n)] = len(leaves)
			}
		} else if depth > 0 {
			return // pages and nodes are never written in place
		}
		d := r.dict(v)
		if d == nil {
			leaves = append(leaves, nil)
			return
		}
		own := pdfobject.Dict{}
		for k, x := range d {
			own[k] = x
		}
		for _, k := range inherited {
			if own[k] == nil && from[k] != nil {
				own[k] = from[k]
			}
		}
		kids, ok := r.get(d["Kids"]).(pdfobject.Array)
		if !ok {
			delete(own, "Parent")
			leaves = append(leaves, own)
			return
		}
		for _, k := range kids {
			walk(k, own, depth+1)
		}
	}
	walk(r.catalog["Pages"], nil, 0)
	for _, d := range leaves {
		if d == nil {
			f.Pages = append(f.Pages, Sum{Fault: "it is missing"})
			f.Shown = append(f.Shown, Sum{Fault: "it is missing"})
			continue
		}
		r.dropUnused(d)
		f.Pages = append(f.Pages, r.sum(d))
		shown := maps.Clone(d)
		delete(shown, "Resources")
		f.Shown = append(f.Shown, r.sum(shown))
	}
}

// dropUnused takes the fonts and the like off a page that its content does not
// name: programs that move pages do so too.
func (r *reading) dropUnused(d pdfobject.Dict) {
	var content []byte
	add := func(v any) {
		if s, ok := r.get(v).(*streamObj); ok {
			b, _ := r.decode(s) // the sum reports a fault
			content = append(append(content, b...), '\n')
		}
	}
	if parts, ok := r.get(d["Contents"]).(pdfobject.Array); ok && len(parts) < pdfobject.MaxNested {
		for _, p := range parts {
			add(p)
		}
	} else {
		add(d["Contents"])
	}
	used := pdfobject.Dict{}
	for kind, v := range r.dict(d["Resources"]) {
		named, ok := r.get(v).(pdfobject.Dict)
		if !ok || len(named) > maxNamed {
			used[kind] = v
			continue
		}
		kept := pdfobject.Dict{}
		for name, v := range named {
			if bytes.Contains(content, []byte("/"+name)) {
				kept[name] = v
			}
		}
		if len(kept) > 0 {
			used[kind] = kept
		}
	}
	d["Resources"] = used
}

// readAttachments reads the files that are carried. Source: clauses 7.11.4 and
// 7.9.6.
func (r *reading) readAttachments(f *File) {
	seen := map[int]bool{}
	var walk func(v any, depth int)
	walk = func(v any, depth int) {
		if n, ok := v.(pdfobject.Ref); ok {
			if seen[int(n)] {
				return
			}
			seen[int(n)] = true
		}
		node := r.dict(v)
		if node == nil || depth > pdfobject.MaxNested {
			return
		}
		names, _ := r.get(node["Names"]).(pdfobject.Array)
		for i := 1; i < len(names) && len(f.Attachments) < maxAttachments; i += 2 {
			f.Attachments = append(f.Attachments, r.attached(r.dict(names[i])))
		}
		kids, _ := r.get(node["Kids"]).(pdfobject.Array)
		for _, k := range kids {
			walk(k, depth+1)
		}
	}
	walk(r.dict(r.catalog["Names"])["EmbeddedFiles"], 0)
}

func (r *reading) attached(spec pdfobject.Dict) Attached {
	var a Attached
	a.Name = r.words(spec["UF"])
	if a.Name == "" {
		a.Name = r.words(spec["F"])
	}
	a.Description = r.words(spec["Desc"])
	relation, _ := r.get(spec["AFRelationship"]).(pdfobject.Name)
	a.Relationship = string(relation)
	s, ok := r.get(r.dict(spec["EF"])["F"]).(*streamObj)
	if !ok {
		a.Fault = "it is missing"
		return a
	}
	kind, _ := r.get(s.dict["Subtype"]).(pdfobject.Name)
	a.MIME = string(kind)
	data, err := r.decode(s)
	if err != nil {
		a.Fault = err.Error()
		return a
	}
	a.Data, a.Packed = data, r.get(s.dict["Filter"]) == nil
	return a
}

// words gives a text string. Source: clause 7.9.2.2.
func (r *reading) words(v any) string {
	s, _ := r.get(v).(pdfobject.String)
	if rest, ok := bytes.CutPrefix([]byte(s), []byte("\xFE\xFF")); ok {
		units := make([]uint16, len(rest)/2)
		for i := range units {
			units[i] = uint16(rest[2*i])<<8 | uint16(rest[2*i+1])
		}
		return string(utf16.Decode(units))
	}
	return string(s)
}

// readSections reads the page labels, as far as they are in one array and in order.
// Source: clause 12.4.2.
func (r *reading) readSections(f *File) {
	nums, _ := r.get(r.dict(r.catalog["PageLabels"])["Nums"]).(pdfobject.Array)
	for i := 0; i+1 < len(nums); i += 2 {
		w, _ := r.get(nums[i]).(pdfobject.Number)
		first, err := strconv.Atoi(string(w))
		last := 0
		if n := len(f.Sections); n > 0 {
			last = f.Sections[n-1].First + 1
		}
		if err != nil || first < last || first >= len(f.Pages) {
			return
		}
		f.Sections = append(f.Sections, Section{r.words(r.dict(nums[i+1])["P"]), first})
	}
}

// readParts takes the digests of what belongs to the whole document.
func (r *reading) readParts(f *File) {
	rest := pdfobject.Dict{}
	for k, v := range r.catalog {
		switch k {
		case "Pages", "Names", "AF", "Outlines", "Metadata", "PageLabels", "OutputIntents":
		default:
			rest[k] = v
		}
	}
	f.Parts["catalog"] = r.sum(rest)
	names := pdfobject.Dict{}
	for k, v := range r.dict(r.catalog["Names"]) {
		if k != "EmbeddedFiles" {
			names[k] = v
		}
	}
	f.Parts["names"] = r.sum(names)
	f.Parts["bookmarks"] = r.bookmarks()
	f.Parts["metadata"] = r.sum(r.catalog["Metadata"])
	f.Parts["page labels"] = r.sum(r.catalog["PageLabels"])
	f.Parts["colour profile"] = r.sum(r.catalog["OutputIntents"])
	f.Producer = r.words(r.dict(r.trailer["Info"])["Producer"])
	f.Parts["title and dates"] = r.sum(r.trailer["Info"])
}

// bookmarks takes the digest of the outline: each title, its depth and its page.
func (r *reading) bookmarks() Sum {
	var text bytes.Buffer
	seen := map[int]bool{}
	fault := ""
	var walk func(v any, depth int)
	walk = func(v any, depth int) {
		for {
			n, ok := v.(pdfobject.Ref)
			if !ok {
				return
			}
			if seen[int(n)] || depth > pdfobject.MaxNested || len(seen) > maxMarks {
				fault = "they run in a circle"
				return
			}
			seen[int(n)] = true
			d := r.dict(v)
			at := "?"
			dest, _ := r.get(d["Dest"]).(pdfobject.Array)
			if len(dest) > 0 {
				if n, ok := dest[0].(pdfobject.Ref); ok {
					if p, ok := r.pages[int(n)]; ok {
						at = strconv.Itoa(p)
					}
				}
			}
			fmt.Fprintf(&text, "%d %q %s\n", depth, r.words(d["Title"]), at)
			walk(d["First"], depth+1)
			v = d["Next"]
		}
	}
	walk(r.dict(r.catalog["Outlines"])["First"], 0)
	return Sum{digest: sha256.Sum256(text.Bytes()), Fault: fault}
}
