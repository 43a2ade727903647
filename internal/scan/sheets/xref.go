package sheets

import (
	"context"
	"errors"
	"io"
	"math"
	"strconv"
	"sync"

	"jobsheaf/internal/pdfobject"
)

// This file finds the objects of a PDF where its cross-reference says that they are,
// one at a time: a scan of a thousand pages stays on the disk. (pdfcpu, which could
// read pages too, first loads every object with its stream.) Source: ISO 32000-1,
// clause 7.5; "clause" in the files about PDF is one of it.

// objects are the objects of a PDF. What it reads is locked.
type objects struct {
	r    io.ReaderAt
	size int64

	mu      sync.Mutex
	at      map[int]place
	trailer pdfobject.Dict
	packed  map[int]map[int]any // object streams, unpacked: a few
	sought  int64               // bytes looked through for what is not where it should be
	rebuilt bool
}

// place is where an object is: in the file, or within an object stream.
type place struct {
	at int64 // negative: it is deleted
	in int   // the object stream, 0 none
}

// stream is an object with bytes of its own. whole says that they end where they should.
type stream struct {
	dict  pdfobject.Dict
	at, n int64
	whole bool
}

// The limits of what is read of one file.
const (
	maxObject   = 4 << 20  // bytes of one object, less its stream
	maxPacked   = 16 << 20 // bytes of one object stream, unpacked
	maxSections = 1000     // cross-reference sections: one for each time the file was added to
	maxFollowed = 32       // references, one after another
)

var errDamaged = errors.New("it is damaged")

// readSections reads the cross-reference from its newest section back.
func (o *objects) readSections(ctx context.Context) error {
	tail := make([]byte, min(o.size, 2048))
	if n, err := o.r.ReadAt(tail, o.size-int64(len(tail))); n < len(tail) && err != nil {
		return err
	}
	i := lastIndex(tail, "startxref")
	if i < 0 {
		return errDamaged
	}
	at, ok := whole(word(tail[i+len("startxref"):]))
	seen := map[int64]bool{}
	for ok && !seen[at] && len(seen) < maxSections {
		if err := ctx.Err(); err != nil {
			return err
		}
		seen[at] = true
		d, err := o.section(at)
		if err != nil {
			return err
		}
		if o.trailer == nil {
			o.trailer = d
		}
		// A file for old and new readers has a second part of the section in a stream.
		if also, has := whole(d["XRefStm"]); has && !seen[also] {
			seen[also] = true
			if _, err := o.section(also); err != nil {
				return err
			}
		}
		at, ok = whole(d["Prev"])
	}
	if o.trailer["Root"] == nil {
		return errDamaged
	}
	return nil
}

// section reads one section, in either form, and gives its trailer.
func (o *objects) section(at int64) (pdfobject.Dict, error) {
	b := o.window(at, 64)
	l := lexer(b)
	l.Skip()
	if !l.Has("xref") {
		return o.sectionStream(at)
	}
	for at += int64(l.At); ; {
		b := o.window(at, 64)
		l := lexer(b)
		l.Skip()
		if l.Has("trailer") {
			v, _, err := o.parse(at + int64(l.At))
			d, ok := v.(pdfobject.Dict)
			if err != nil || !ok {
				return nil, errDamaged
			}
			return d, nil
		}
		first, ok1 := whole(l.Word())
		l.Skip()
		count, ok2 := whole(l.Word())
		l.Skip()
		const row = 20 // bytes, as the format fixes it
		at += int64(l.At)
		if !ok1 || !ok2 || first+count > pdfobject.MaxObjects || count*row > o.size-at {
			return nil, errDamaged
		}
		for done := int64(0); done < count; {
			rows := o.window(at, int(min(count-done, 4096))*row)
			if len(rows) < row {
				return nil, errDamaged
			}
			for ; len(rows) >= row; rows, done, at = rows[row:], done+1, at+row {
				where, ok := whole(string(rows[:10]))
				if !ok {
					return nil, errDamaged
				}
				if rows[17] == 'f' {
					where = -1
				}
				o.note(int(first+done), place{at: where})
			}
		}
	}
}

// note keeps where an object is, unless a newer section said so already.
func (o *objects) note(n int, p place) {
	if _, ok := o.at[n]; !ok {
		o.at[n] = p
	}
}

// sectionStream reads a section that is a stream. Source: clause 7.5.8.
func (o *objects) sectionStream(at int64) (pdfobject.Dict, error) {
	v, err := o.numbered(at, -1, 0)
	s, ok := v.(*stream)
	if err != nil || !ok || s.dict["Type"] != pdfobject.Name("XRef") {
		return nil, errDamaged
	}
	var width [3]int64
	w, _ := s.dict["W"].(pdfobject.Array)
	if len(w) < 3 {
		return nil, errDamaged
	}
	for i := range width {
		n, ok := whole(w[i])
		if !ok || n > 8 {
			return nil, errDamaged
		}
		width[i] = n
	}
	index, ok := s.dict["Index"].(pdfobject.Array)
	if !ok {
		index = pdfobject.Array{pdfobject.Number("0"), s.dict["Size"]}
	}
	r, err := o.unpack(s)
	if err != nil {
		return nil, err
	}
	row := make([]byte, width[0]+width[1]+width[2])
	if len(row) == 0 {
		return nil, errDamaged
	}
	field := func(from, n int64) (v int64) {
		for _, c := range row[from : from+n] {
			v = v<<8 | int64(c)
		}
		return v & math.MaxInt64
	}
	for ; len(index) >= 2; index = index[2:] {
		first, ok1 := whole(index[0])
		count, ok2 := whole(index[1])
		if !ok1 || !ok2 || first+count > pdfobject.MaxObjects {
			return nil, errDamaged
		}
		for n := first; n < first+count; n++ {
			if _, err := io.ReadFull(r, row); err != nil {
				return nil, errDamaged
			}
			kind := int64(1)
			if width[0] > 0 {
				kind = field(0, width[0])
			}
			second := field(width[0], width[1])
			switch kind {
			case 0:
				o.note(int(n), place{at: -1})
			case 1:
				o.note(int(n), place{at: second})
			case 2:
				if second > 0 && second <= pdfobject.MaxObjects {
					o.note(int(n), place{in: int(second)})
				}
			}
		}
	}
	return s.dict, nil
}

// get follows references to an object. What is missing is nil, as the format has it.
func (o *objects) get(v any) any {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.follow(v, 0)
}

func (o *objects) follow(v any, depth int) any {
	for ; depth < maxFollowed; depth++ {
		ref, ok := v.(pdfobject.Ref)
		if !ok {
			return v
		}
		v = o.object(int(ref), depth)
	}
	return nil
}

// object reads an object. One that is not where it should be is looked for.
func (o *objects) object(n, depth int) any {
	p, ok := o.at[n]
	switch {
	case !ok || p.at < 0:
		return nil
	case p.in > 0:
		return o.packedIn(p.in, depth)[n]
	}
	v, err := o.numbered(p.at, n, depth)
	if err != nil && o.rebuild(context.Background()) == nil {
		if p, ok = o.at[n]; ok && p.in > 0 {
			return o.packedIn(p.in, depth)[n]
		} else if ok {
			v, err = o.numbered(p.at, n, depth)
		}
	}
	if err != nil {
		return nil
	}
	return v
}

// packedIn gives the objects that an object stream holds. Source: clause 7.5.7.
func (o *objects) packedIn(in, depth int) map[int]any {
	if all, ok := o.packed[in]; ok {
		return all
	}
	if p := o.at[in]; p.in > 0 || depth >= maxFollowed {
		return nil // these do not hold one another
	}
	all := map[int]any{}
	if s, ok := o.object(in, depth+1).(*stream); ok {
		if r, err := o.unpack(s); err == nil {
			b, _ := io.ReadAll(io.LimitReader(r, maxPacked))
			first, _ := whole(o.follow(s.dict["First"], depth+1))
			head := lexer(b)
			for int64(head.At) < first {
				head.Skip()
				n, ok1 := whole(head.Word())
				head.Skip()
				at, ok2 := whole(head.Word())
				if !ok1 || !ok2 || first+at > int64(len(b)) {
					break
				}
				l := pdfobject.Lexer{B: b, At: int(first + at), Spent: head.Spent}
				if v, err := l.Object(); err == nil {
					all[int(n)] = v
				} else if errors.Is(err, pdfobject.ErrTangled) {
					break
				}
			}
		}
	}
	if len(o.packed) >= 4 { // the pages of a scan are read in order
		clear(o.packed)
	}
	o.packed[in] = all
	return all
}

// numbered reads the object that begins at a place with its number; -1 is any.
func (o *objects) numbered(at int64, want, depth int) (any, error) {
	l := lexer(o.window(at, 64))
	l.Skip()
	n, ok := whole(l.Word())
	l.Skip()
	_, ok2 := whole(l.Word())
	l.Skip()
	if !ok || !ok2 || !l.Has("obj") || want >= 0 && n != int64(want) {
		return nil, errDamaged
	}
	v, after, err := o.parse(at + int64(l.At))
	if err != nil {
		return nil, err
	}
	d, ok := v.(pdfobject.Dict)
	if !ok {
		return v, nil
	}
	l = lexer(o.window(after, 64))
	if l.Skip(); !l.Has("stream") {
		return v, nil
	}
	if !l.Has("\r\n") && !l.Has("\n") {
		l.Has("\r")
	}
	return o.body(d, after+int64(l.At), depth), nil
}

// parse reads one object, of a part of the file that grows while the object does not
// end in it. after is where it ends.
func (o *objects) parse(at int64) (v any, after int64, err error) {
	for n := 512; ; n *= 8 {
		b := o.window(at, n)
		all := len(b) < n // the file ends here
		l := lexer(b)
		v, err = l.Object()
		if err == nil {
			l.Skip()
		}
		// What ends at the edge, well or badly, may go on behind it.
		if l.At < len(b) || all || n > maxObject || errors.Is(err, pdfobject.ErrTangled) {
			return v, at + int64(l.At), err
		}
	}
}

// body finds where a stream ends: after as many bytes as it says, else at the word
// that ends it, else with the file.
func (o *objects) body(d pdfobject.Dict, at int64, depth int) *stream {
	s := &stream{dict: d, at: at}
	if n, ok := whole(o.follow(d["Length"], depth+1)); ok && n <= o.size-at {
		l := lexer(o.window(at+n, 32))
		if l.Skip(); l.Has("endstream") || l.Has("endobj") {
			s.n, s.whole = n, true
			return s
		}
	}
	s.n = o.size - at
	for from := at; from < o.size && o.sought < 4*o.size+1<<20; {
		b := o.window(from, 1<<16)
		o.sought += int64(len(b))
		if i := index(b, "endstream"); i >= 0 {
			s.n, s.whole = from+int64(i)-at, true
			break
		}
		from += int64(max(1, len(b)-len("endstream")))
	}
	return s
}

// window reads so many bytes, fewer at the end of the file.
func (o *objects) window(at int64, n int) []byte {
	if at < 0 || at >= o.size {
		return nil
	}
	b := make([]byte, min(int64(n), o.size-at))
	got, _ := o.r.ReadAt(b, at)
	return b[:got]
}

func lexer(b []byte) *pdfobject.Lexer { return &pdfobject.Lexer{B: b, Spent: new(int)} }

// whole gives a whole number from 0; objects and texts are taken.
func whole(v any) (int64, bool) {
	var s string
	switch v := v.(type) {
	case string:
		s = v
	case pdfobject.Number:
		s = string(v)
	}
	n, err := strconv.ParseInt(s, 10, 64)
	return n, err == nil && n >= 0 && n <= math.MaxInt64/64
}

// real gives a number.
func real(v any) (float64, bool) {
	s, ok := v.(pdfobject.Number)
	f, err := strconv.ParseFloat(string(s), 64)
	return f, ok && err == nil && !math.IsInf(f, 0) && !math.IsNaN(f)
}
