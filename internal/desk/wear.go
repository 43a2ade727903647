package desk

import (
	"context"
	"maps"
	"slices"
	"sync"

	"jobsheaf/internal/compose"
)

// wear is what is known of the wear of units. What the register knows of one takes as long
// as reading the site: nobody waits for that. Until it is there, what the records alone
// tell is shown, or what was known before.
type wear struct {
	site *reading

	mu     sync.Mutex
	by     map[string]*wornUnit
	wanted map[string]string // by unit that is to be looked at anew, the sum of what the register knows
	busy   bool
	listed bool // all units were asked for
}

// wornUnit is what is known of the wear of one unit.
type wornUnit struct {
	sum   string // of what the register knew
	parts []compose.Worn
}

// unitsAtATime is of how many units what the register knows is read at a time.
const unitsAtATime = 50

// of gives what is known of a unit's wear, where the register knows what has this sum, ""
// for nothing. late says that what is given does not have all of that yet.
func (w *wear) of(unit, sum string) (parts []compose.Worn, late bool) {
	w.mu.Lock()
	is := w.by[unit]
	w.mu.Unlock()
	if is == nil {
		is = &wornUnit{parts: w.site.Worn(unit)}
		w.mu.Lock()
		if w.by[unit] == nil {
			w.by[unit] = is
		}
		w.mu.Unlock()
	}
	if is.sum == sum {
		return is.parts, false
	}
	w.want(map[string]string{unit: sum})
	return is.parts, true
}

// want has units looked at anew.
func (w *wear) want(units map[string]string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	maps.Copy(w.wanted, units)
	if !w.busy && len(w.wanted) > 0 {
		w.busy = true
		go w.work()
	}
}

// work looks at units anew until none is wanted. A unit that cannot be looked at keeps what
// was known of it.
func (w *wear) work() {
	for {
		w.mu.Lock()
		ids := slices.Sorted(maps.Keys(w.wanted))
		ids = ids[:min(len(ids), unitsAtATime)]
		sums := map[string]string{}
		for _, id := range ids {
			sums[id] = w.wanted[id]
			delete(w.wanted, id)
		}
		if w.busy = len(ids) > 0; !w.busy {
			w.mu.Unlock()
			return
		}
		w.mu.Unlock()
		of, err := w.site.WornSince(context.Background(), ids)
		for _, id := range ids {
			if err == nil {
				w.mu.Lock()
				w.by[id] = &wornUnit{sums[id], of[id]}
				w.mu.Unlock()
			}
		}
	}
}

// all gives the parts of all units, the limit that comes first before the others; whole is
// false while units are still being looked at. That begins when it is first asked for.
func (w *wear) all() (out []worn, whole bool) {
	w.mu.Lock()
	first := !w.listed
	w.listed = true
	w.mu.Unlock()
	if first {
		units := map[string]string{}
		for id := range w.site.Book.Units {
			units[id] = "" // its page looks again where the register knows of it
		}
		w.want(units)
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	for id, is := range w.by {
		for _, p := range is.parts {
			out = append(out, worn{Worn: p, Unit: id, Name: w.site.Book.Units[id].Name.S})
		}
	}
	slices.SortFunc(out, func(a, b worn) int {
		if n := a.Compare(b.Worn); n != 0 {
			return n
		}
		return slices.Compare([]string{a.Unit, a.Part.String()}, []string{b.Unit, b.Part.String()})
	})
	return out, !w.busy
}
