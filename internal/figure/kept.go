package figure

import (
	"math"
	"strconv"
	"sync"
)

// kept has drawings that were drawn: most of a week come from the same parameters for one
// job after another, such as what to wear, the turning of gears, where a bushing is
// measured. Should there ever be many, all are dropped: a drawing can be drawn again.
var kept struct {
	sync.Mutex
	drawings map[string]Drawing
}

const mostKept = 256

// once draws by what says all that the drawing comes from, or gives what was drawn so
// before.
func once(key []byte, draw func() (Drawing, error)) (Drawing, error) {
	kept.Lock()
	d, ok := kept.drawings[string(key)]
	kept.Unlock()
	if ok {
		return d, nil
	}
	d, err := draw()
	if err != nil {
		return d, err
	}
	kept.Lock()
	defer kept.Unlock()
	if kept.drawings == nil || len(kept.drawings) >= mostKept {
		kept.drawings = map[string]Drawing{}
	}
	kept.drawings[string(key)] = d
	return d, nil
}

// key says all that a figure is drawn from.
func (s *spec) key(p Params, width float64) []byte {
	k := keyed(make([]byte, 0, 512)).text(s.name).number(width)
	for i := range s.needs {
		name := s.needs[i].Name
		switch s.needs[i].Kind {
		case Number:
			v, given := p.Numbers[name]
			k = k.whether(given).number(v)
		case Text:
			k = k.text(p.Texts[name])
		case List:
			k = k.length(len(p.Lists[name]))
			for _, t := range p.Lists[name] {
				k = k.text(t)
			}
		case Series:
			k = k.length(len(p.Series[name]))
			for _, v := range p.Series[name] {
				k = k.number(v)
			}
		}
	}
	for _, w := range s.words {
		k = k.text(p.Words(wordKey(w)))
	}
	return k
}

// keyed is a key in the making. Each part says how long it is, so that no two lists of
// parts make the same.
type keyed []byte

func (k keyed) length(n int) keyed  { return append(strconv.AppendInt(k, int64(n), 10), ' ') }
func (k keyed) text(s string) keyed { return append(k.length(len(s)), s...) }
func (k keyed) number(v float64) keyed {
	return append(strconv.AppendUint(k, math.Float64bits(v), 16), ' ')
}

func (k keyed) whether(given bool) keyed {
	if given {
		return append(k, '+')
	}
	return append(k, '-')
}
