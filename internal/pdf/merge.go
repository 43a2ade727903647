package pdf

import (
	"bytes"
	"fmt"
	"strconv"
)

// merge takes a batch of pages over from gofpdf's file, with their contents in the
// place of the empty ones there. Of its objects, 1 is the node that holds the
// pages, 2 the resources (ours take their place), 3 to 2n+2 are each page and its
// content, and the rest describe the document, which is ours to do. It trusts
// nothing of this without looking: another gofpdf may count otherwise.
func (p *Writer) merge(raw []byte, streams [][]byte) error {
	n := len(streams)
	offsets, err := table(raw)
	if err != nil {
		return err
	}
	if len(offsets) < 2*n+3 {
		return fmt.Errorf("pdf: gofpdf wrote %d objects for %d pages", len(offsets)-1, n)
	}
	p.offsets = append(p.offsets, make([]int64, 2*n+1)...)
	node := len(p.offsets) - 2*n - 1
	number := func(old int) int { // of an object in our file
		if old == resourceDict {
			return resourceDict
		}
		return node + max(0, old-resourceDict)
	}
	for old := 3; old < 2*n+3; old++ {
		dict, stream, err := object(raw, offsets[old], old)
		if err != nil {
			return err
		}
		switch {
		case stream != nil:
			if len(streams) == 0 {
				return fmt.Errorf("pdf: gofpdf wrote more contents than pages")
			}
			p.stream(number(old), "/Filter/FlateDecode", streams[0])
			streams = streams[1:]
		case bytes.Contains(dict, []byte("/Type /Page\n")):
			p.pages = append(p.pages, number(old))
			p.begin(number(old))
			p.out = renumber(p.out, dict, number)
			p.end()
		default:
			return fmt.Errorf("pdf: object %d of gofpdf's file is neither a page nor its content", old)
		}
		if len(p.out) > 1<<18 {
			p.flush()
		}
	}
	dict, _, err := object(raw, offsets[1], 1)
	if err != nil {
		return err
	}
	inner, ok := bytes.CutPrefix(dict, []byte("<<"))
	if !ok || !bytes.Contains(dict, []byte("/Type /Pages")) {
		return fmt.Errorf("pdf: object 1 of gofpdf's file is not the node of the pages")
	}
	p.nodes = append(p.nodes, node)
	p.begin(node)
	p.str("<</Parent 1 0 R ")
	p.out = renumber(p.out, inner, number)
	p.end()
	return nil
}

// table reads the cross-reference table: where each object begins.
func table(raw []byte) ([]int, error) {
	bad := func() ([]int, error) { return nil, fmt.Errorf("pdf: gofpdf's cross-reference table cannot be read") }
	at := bytes.LastIndex(raw, []byte("startxref\n"))
	if at < 0 {
		return bad()
	}
	start, ok := leading(raw[at+len("startxref\n"):])
	if !ok || start >= len(raw) {
		return bad()
	}
	rest, ok := bytes.CutPrefix(raw[start:], []byte("xref\n0 "))
	count, okCount := leading(rest)
	lines := bytes.IndexByte(rest, '\n') + 1
	const entry = 20 // bytes
	if !ok || !okCount || len(rest) < lines+entry*count {
		return bad()
	}
	offsets := make([]int, count)
	for i := range offsets {
		offsets[i], ok = leading(rest[lines+entry*i:])
		if !ok || offsets[i] >= len(raw) {
			return bad()
		}
	}
	return offsets, nil
}

// leading reads the number that b begins with.
func leading(b []byte) (int, bool) {
	n := 0
	for n < len(b) && b[n] >= '0' && b[n] <= '9' {
		n++
	}
	v, err := strconv.Atoi(string(b[:n]))
	return v, err == nil
}

// object gives object n's dictionary and, if it has one, its stream.
func object(raw []byte, at, n int) (dict, stream []byte, err error) {
	body, ok := bytes.CutPrefix(raw[at:], fmt.Appendf(nil, "%d 0 obj\n", n))
	if !ok {
		return nil, nil, fmt.Errorf("pdf: object %d of gofpdf's file is not where its table says", n)
	}
	if length, ok := bytes.CutPrefix(body, []byte("<</Length ")); ok {
		size, ok := leading(length)
		_, data, okData := bytes.Cut(length, []byte("stream\n"))
		if !ok || !okData || size > len(data) {
			return nil, nil, fmt.Errorf("pdf: the stream of object %d of gofpdf's file cannot be read", n)
		}
		return nil, data[:size:size], nil
	}
	end := bytes.Index(body, []byte("\nendobj"))
	if end < 0 {
		return nil, nil, fmt.Errorf("pdf: object %d of gofpdf's file has no end", n)
	}
	return body[:end], nil, nil
}

// renumber appends the dictionary to b with every reference "12 0 R" changed.
func renumber(b, dict []byte, number func(int) int) []byte {
	for {
		at := bytes.Index(dict, []byte(" 0 R"))
		if at < 0 {
			return append(b, dict...)
		}
		from := at
		for from > 0 && dict[from-1] >= '0' && dict[from-1] <= '9' {
			from--
		}
		old, _ := leading(dict[from:at])
		b = append(b, dict[:from]...)
		b = strconv.AppendInt(b, int64(number(old)), 10)
		b = append(b, " 0 R"...)
		dict = dict[at+len(" 0 R"):]
	}
}
