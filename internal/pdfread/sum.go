package pdfread

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash"
	"maps"
	"slices"

	"jobsheaf/internal/pdfobject"
)

// sum takes the digest of an object with all that it refers to. Neither the
// numbers of the objects, nor which of them stand by themselves, nor how streams
// are packed is part of it, since programs that rewrite a file change all three.
func (r *reading) sum(v any) Sum { return r.sumAt(v, 0) }

func (r *reading) sumAt(v any, depth int) Sum {
	if n, ok := v.(pdfobject.Ref); ok {
		return r.sumOf(int(n), depth)
	}
	f := feeder{reading: r, Hash: sha256.New(), depth: depth}
	f.feed(v)
	s := Sum{Fault: f.fault}
	f.Sum(s.digest[:0])
	return s
}

// sumOf takes the digest of an object by its number, once. What refers to itself
// ends there.
func (r *reading) sumOf(n, depth int) Sum {
	if s, ok := r.sums[n]; ok {
		return s
	}
	v, there := r.all[n]
	if !there {
		return Sum{Fault: "a part of it is missing"}
	}
	if _, isPage := r.pages[n]; isPage || r.busy[n] {
		return Sum{digest: sha256.Sum256([]byte("a page, or in itself"))}
	}
	r.busy[n] = true
	s := r.sumAt(v, depth+1)
	delete(r.busy, n)
	r.sums[n] = s
	return s
}

// packing are the entries of a stream that say how it is packed.
var packing = []string{"Length", "Filter", "DecodeParms", "DL"}

// feeder writes an object into a digest. fault is the first that was met.
type feeder struct {
	*reading
	hash.Hash
	depth int
	fault string
}

func (f *feeder) token(kind byte, s string) {
	var n [9]byte
	n[0] = kind
	binary.BigEndian.PutUint64(n[1:], uint64(len(s)))
	f.summed += len(n) + len(s)
	f.Write(n[:])
	f.Write([]byte(s))
}

func (f *feeder) blame(fault string) {
	if f.fault == "" {
		f.fault = fault
	}
}

func (f *feeder) feed(v any) {
	if f.depth > maxFollowed || f.summed > maxSummed {
		f.blame("it is too large, or nested too deeply")
		return
	}
	switch v := v.(type) {
	case pdfobject.Dict:
		f.token('d', fmt.Sprint(len(v)))
		for _, k := range slices.Sorted(maps.Keys(v)) {
			f.token('k', k)
			f.part(v[k])
		}
	case pdfobject.Array:
		f.token('a', fmt.Sprint(len(v)))
		for _, x := range v {
			f.part(x)
		}
	case *streamObj:
		own := maps.Clone(v.dict)
		maps.DeleteFunc(own, func(k string, _ any) bool { return slices.Contains(packing, k) })
		f.feed(own)
		data, err := f.decode(v)
		if err != nil {
			f.blame(err.Error())
		}
		f.token('s', string(data))
	case pdfobject.Name:
		f.token('n', string(v))
	case pdfobject.String:
		f.token('t', string(v))
	case pdfobject.Number:
		f.token('0', string(v))
	case bool:
		f.token('b', fmt.Sprint(v))
	default:
		f.token('-', "")
	}
}

// part feeds what stands within an object, or is referred to from it.
func (f *feeder) part(v any) {
	to := v
	if n, ok := v.(pdfobject.Ref); ok {
		if _, there := f.all[int(n)]; there {
			to = f.all[int(n)]
		}
	}
	switch to.(type) {
	case pdfobject.Dict, pdfobject.Array, *streamObj, pdfobject.Ref:
		s := f.sumAt(v, f.depth+1)
		if s.Fault != "" {
			f.blame(s.Fault)
		}
		f.token('r', string(s.digest[:]))
	default:
		f.feed(to)
	}
}
