package sheets

import (
	"bytes"
	"context"
	"errors"
	"math"

	"jobsheaf/internal/pdfobject"
)

// rebuild finds all objects by reading the whole file once, where its cross-reference
// is missing or wrong: it was cut off, or a program wrote it badly. Of two with one
// number the later counts.
func (o *objects) rebuild(ctx context.Context) error {
	if o.rebuilt {
		return errDamaged
	}
	o.rebuilt = true
	at, old := map[int]place{}, o.trailer
	trailer := pdfobject.Dict{}
	var holders, roots []int                  // object streams; catalogs, for a file without a trailer
	spent, most := int64(0), 64*o.size+16<<20 // bytes looked at
	var part []byte                           // of the file, from begin on
	begin := int64(0)
	objs, trailers := seeker{word: "obj"}, seeker{word: "trailer"}
	for from := int64(0); from < o.size; {
		if err := ctx.Err(); err != nil {
			return err
		}
		if spent > most {
			return pdfobject.ErrTangled
		}
		const step, edge = 1 << 16, 32 // a word may lie across the edge
		if end := begin + int64(len(part)); from+edge > end && end < o.size || from >= end {
			begin, part = from, o.window(from, step)
			spent += int64(len(part))
			if len(part) == 0 {
				break // it cannot be read further
			}
		}
		b := part[from-begin:]
		next := from + int64(max(1, len(b)-edge+1))
		i, trail := objs.in(b, from, begin), trailers.in(b, from, begin)
		if trail >= 0 && (i < 0 || trail < i) {
			v, after, err := o.parse(from + int64(trail+len("trailer")))
			spent += after - from
			if d, ok := v.(pdfobject.Dict); err == nil && ok && d["Root"] != nil {
				trailer = d
			}
			from += int64(trail + len("trailer"))
			continue
		}
		if i < 0 {
			from = next
			continue
		}
		from += int64(i + len("obj"))
		// The number stands before the word, in the part of the file before if need be.
		lead := o.window(max(0, from-40), int(min(40, from)))
		n, starts, ok := pdfobject.NumberBefore(lead, 0, len(lead)-len("obj"))
		if !ok || n > pdfobject.MaxObjects || len(at) > pdfobject.MaxObjects {
			continue
		}
		p := place{at: from - int64(len(lead)) + int64(starts)}
		v, err := o.numbered(p.at, n, maxFollowed) // lengths in other objects are not followed yet
		spent += 700                               // as an object costs that is not long
		if err != nil {
			if errors.Is(err, pdfobject.ErrTangled) {
				return err
			}
			continue
		}
		at[n] = p
		switch v := v.(type) {
		case *stream:
			if _, direct := v.dict["Length"].(pdfobject.Number); direct && v.whole {
				from = max(from, v.at+v.n)
			}
			switch v.dict["Type"] {
			case pdfobject.Name("ObjStm"):
				holders = append(holders, n)
			case pdfobject.Name("XRef"):
				if v.dict["Root"] != nil {
					trailer = v.dict
				}
			}
		case pdfobject.Dict:
			if v["Type"] == pdfobject.Name("Catalog") {
				roots = append(roots, n)
			}
		}
	}
	o.at = at
	clear(o.packed)
	for _, in := range holders {
		for n, v := range o.packedIn(in, 0) {
			if _, ok := at[n]; !ok && len(at) <= pdfobject.MaxObjects {
				at[n] = place{in: in}
				if d, ok := v.(pdfobject.Dict); ok && d["Type"] == pdfobject.Name("Catalog") {
					roots = append(roots, n)
				}
			}
		}
	}
	switch {
	case trailer["Root"] != nil:
		o.trailer = trailer
	case old["Root"] != nil:
		o.trailer = old
	case len(roots) > 0:
		o.trailer = pdfobject.Dict{"Root": pdfobject.Ref(roots[len(roots)-1])}
	default:
		o.trailer = pdfobject.Dict{}
	}
	return nil
}

// seeker finds a word, and does not look again for what it has seen not to come soon.
type seeker struct {
	word        string
	part, known int64 // the part of the file that was searched; where the word is in the file
}

// in gives where the word is in b, which stands at from in the file, to the end of the part
// that begins at part; negative is nowhere.
func (s *seeker) in(b []byte, from, part int64) int {
	if s.known < from || s.part != part+1 { // 0 is none
		s.part, s.known = part+1, math.MaxInt64
		if i := index(b, s.word); i >= 0 {
			s.known = from + int64(i)
		}
	}
	if s.known == math.MaxInt64 {
		return -1
	}
	return int(s.known - from)
}

func index(b []byte, s string) int     { return bytes.Index(b, []byte(s)) }
func lastIndex(b []byte, s string) int { return bytes.LastIndex(b, []byte(s)) }

// word gives the first word of b.
func word(b []byte) string {
	l := lexer(b)
	l.Skip()
	return l.Word()
}
