package joblist

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"path"
	"slices"
	"strings"
)

// The limits of a workbook. Its parts are read as a stream, and only those that
// hold the list, so that a small file that unpacks to a large one costs no
// more than these. The workbook library reads every part into memory at once, and
// hides which rows, kinds and strokes the cells have; it is asked only how a number
// is shown (shower).
const (
	maxPart    = 32 << 20 // bytes of a part, unpacked
	maxStrings = 300_000
	maxDepth   = 64 // elements within one another
	maxMerged  = 200_000
)

// workbook is a workbook that is open for reading.
//
// Source: ISO/IEC 29500-1, 18 (SpreadsheetML), and 29500-2 (packages).
type workbook struct {
	parts    map[string]*zip.File
	strings  []richText
	formats  []format
	sheets   []sheetPart
	from1904 bool
}

// sheetPart is where a sheet is.
type sheetPart struct {
	name, part string
	hidden     bool
}

// richText is a text that cells share.
type richText struct {
	text   string
	struck struck
}

// readWorkbook reads the sheet of a workbook that holds the list: the one named,
// or the only one that has its headings.
func readWorkbook(file string, data []byte, sheet string, cols headings) (*grid, error) {
	w, err := openWorkbook(data)
	if err != nil {
		return nil, err
	}
	chosen, err := w.choose(file, sheet, cols)
	if err != nil {
		return nil, err
	}
	g, err := w.sheet(file, chosen, maxRows)
	if err == nil && len(g.rows) > maxRows {
		return nil, faultf(splitIt, "the sheet %q has more than %d rows", chosen.name, maxRows)
	}
	return g, err
}

// choose finds the sheet that holds the list.
func (w *workbook) choose(file, sheet string, cols headings) (sheetPart, error) {
	var names, found []string
	var first, chosen sheetPart
	for _, s := range w.sheets {
		names = append(names, s.name)
		if s.name == sheet {
			return s, nil
		}
		if s.hidden || sheet != "" {
			continue
		}
		g, err := w.sheet(file, s, within)
		if err != nil {
			return s, err
		}
		if first.part == "" {
			first = s
		}
		if at, _ := cols.find(g); at != nil {
			found, chosen = append(found, s.name), s
		}
	}
	switch {
	case sheet != "":
		return first, faultf("name one of them with --sheet", "the workbook has no sheet %q; it has %s", sheet, strings.Join(names, ", "))
	case len(found) == 1:
		return chosen, nil
	case len(found) > 1:
		return first, faultf("name the one that is meant", "several sheets hold a list: choose one with --sheet; there are %s", strings.Join(found, ", "))
	case first.part == "":
		return first, faultf("show the sheet, or name it with --sheet", "the workbook has no sheet that is shown")
	}
	return first, nil
}

// openWorkbook reads what the sheets of a workbook depend on.
func openWorkbook(data []byte) (*workbook, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, faultf(saveAnew, "the workbook cannot be read: it is cut short or damaged")
	}
	w := &workbook{parts: map[string]*zip.File{}}
	for _, f := range z.File {
		w.parts[strings.ToLower(strings.TrimPrefix(f.Name, "/"))] = f
	}
	var main string
	if w.parts["_rels/.rels"] != nil {
		top, err := w.relations("")
		if err != nil {
			return nil, err
		}
		main = top.of("/officeDocument")
	}
	if main == "" {
		return nil, faultf(saveAnew, "the workbook cannot be read: the file is an archive, but not of a workbook")
	}
	rels, err := w.relations(main)
	if err != nil {
		return nil, err
	}
	if err := w.contents(main, rels); err != nil {
		return nil, err
	}
	if p := rels.of("/styles"); p != "" {
		if err := w.styles(p); err != nil {
			return nil, err
		}
	}
	if p := rels.of("/sharedStrings"); p != "" {
		if err := w.shared(p); err != nil {
			return nil, err
		}
	}
	return w, nil
}

// relation leads from one part to another.
type relation struct{ id, kind, part string }

type relations []relation

// of gives the part of the first relation of a kind, "" where there is none.
func (l relations) of(kind string) string {
	for _, r := range l {
		if strings.HasSuffix(r.kind, kind) {
			return r.part
		}
	}
	return ""
}

// relations reads what a part is related to; "" is the workbook as a whole.
func (w *workbook) relations(part string) (relations, error) {
	var list relations
	dir, base := path.Split(part)
	return list, w.walk(dir+"_rels/"+base+".rels", func(x *xmlPart, e xml.StartElement) error {
		if e.Name.Local != "Relationship" || attr(e, "TargetMode") == "External" {
			return nil
		}
		to := attr(e, "Target")
		if !strings.HasPrefix(to, "/") {
			to = "/" + dir + to
		}
		list = append(list, relation{attr(e, "Id"), attr(e, "Type"), strings.TrimPrefix(path.Clean(to), "/")})
		return nil
	})
}

// contents reads the workbook's list of its sheets.
func (w *workbook) contents(part string, rels relations) error {
	return w.walk(part, func(x *xmlPart, e xml.StartElement) error {
		switch e.Name.Local {
		case "workbookPr":
			w.from1904 = isTrue(attr(e, "date1904"))
		case "sheet":
			s := sheetPart{name: attr(e, "name"), hidden: strings.HasSuffix(strings.ToLower(attr(e, "state")), "hidden")}
			i := slices.IndexFunc(rels, func(r relation) bool { return r.id == attr(e, "id") })
			if i < 0 {
				return faultf(saveAnew, "the workbook is damaged: it does not say where its sheet %q is", s.name)
			}
			if s.part = rels[i].part; strings.HasSuffix(rels[i].kind, "/worksheet") {
				w.sheets = append(w.sheets, s) // the others are charts
			}
		}
		return nil
	})
}

// shared reads the texts that cells share.
func (w *workbook) shared(part string) error {
	return w.walk(part, func(x *xmlPart, e xml.StartElement) error {
		if e.Name.Local != "si" {
			return nil
		}
		if len(w.strings) == maxStrings {
			return faultf(splitIt, "the workbook has more than %d texts", maxStrings)
		}
		t, err := x.rich()
		w.strings = append(w.strings, t)
		return err
	})
}

// xmlPart is a part that is being read.
type xmlPart struct {
	*xml.Decoder
	depth int
}

// token gives the next token, and bounds how deep elements are nested.
func (x *xmlPart) token() (xml.Token, error) {
	t, err := x.RawToken() // names need not be looked up, which takes half the time
	switch t.(type) {
	case xml.StartElement:
		if x.depth++; x.depth > maxDepth {
			return nil, faultf(saveAnew, "the workbook is damaged: elements are nested more than %d deep", maxDepth)
		}
	case xml.EndElement:
		x.depth--
	}
	if err == io.EOF && x.depth > 0 {
		err = io.ErrUnexpectedEOF
	}
	return t, err
}

// within passes on the elements inside the one that was begun last; the function
// reads each or passes over it. text gets what is between them, and may be nil.
func (x *xmlPart) within(each func(xml.StartElement) error, text func(xml.CharData)) error {
	for depth := x.depth; ; {
		t, err := x.token()
		if err != nil {
			return err
		}
		switch t := t.(type) {
		case xml.StartElement:
			if err := each(t); err != nil {
				return err
			}
		case xml.CharData:
			if text != nil {
				text(t)
			}
		case xml.EndElement:
			if x.depth < depth {
				return nil
			}
		}
	}
}

// words gives the text of the element that was begun last.
func (x *xmlPart) words() (string, error) {
	var b []byte
	err := x.within(func(xml.StartElement) error { return nil }, func(t xml.CharData) {
		if len(b) < 4*maxCell {
			b = append(b, t...)
		}
	})
	return unescape(string(b)), err
}

// rich gives the text of a cell, which may have stretches that look different, and
// how much of it is struck through.
func (x *xmlPart) rich() (richText, error) {
	var t richText
	var plain, through, strike bool
	err := x.within(func(e xml.StartElement) error {
		switch e.Name.Local {
		case "r":
			strike = false
		case "strike":
			strike = isOn(e)
		case "rPh": // how a word sounds
			return x.within(func(xml.StartElement) error { return nil }, nil)
		case "t":
			s, err := x.words()
			if err != nil {
				return err
			}
			if t.text += s; clean(s) != "" {
				plain, through = plain || !strike, through || strike
			}
		}
		return nil
	}, nil)
	switch {
	case through && plain:
		t.struck = partStruck
	case through:
		t.struck = allStruck
	}
	return t, err
}

// walk reads a part and hands on each element.
func (w *workbook) walk(part string, each func(*xmlPart, xml.StartElement) error) error {
	f := w.parts[strings.ToLower(part)]
	if f == nil {
		return faultf(saveAnew, "the workbook is damaged: it has no part %s", part)
	}
	r, err := f.Open()
	if err != nil {
		return faultf(saveAnew, "the workbook's part %s cannot be unpacked", part)
	}
	defer r.Close()
	count := &io.LimitedReader{R: r, N: maxPart + 1}
	x := &xmlPart{Decoder: xml.NewDecoder(&legible{in: count})}
	for {
		t, err := x.token()
		if err == nil {
			if e, ok := t.(xml.StartElement); ok {
				err = each(x, e)
			}
		}
		var known *fault
		switch {
		case err == nil:
		case errors.Is(err, errEnough) || err == io.EOF && count.N > 0:
			return nil
		case count.N <= 0:
			return faultf(splitIt+"; or delete what else the workbook holds", "the workbook's part %s has more than %d MB unpacked", part, maxPart>>20)
		case errors.As(err, &known):
			return known
		default:
			return faultf(saveAnew, "the workbook is damaged: its part %s cannot be read (line %d)", part, line(x))
		}
	}
}

func line(x *xmlPart) int { n, _ := x.InputPos(); return n }

// errEnough ends the reading of a part of which no more is wanted.
var errEnough = errors.New("enough")

// attr gives an attribute of an element, "" where it has none.
func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name && a.Name.Space != "xmlns" {
			return a.Value
		}
	}
	return ""
}

func isTrue(s string) bool { return s == "1" || s == "true" || s == "on" }

// isOn reports whether an element that is a switch is on: it is where it says nothing.
func isOn(e xml.StartElement) bool { v := attr(e, "val"); return v == "" || isTrue(v) }
