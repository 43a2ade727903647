package desk

import (
	"context"
	"maps"
	"slices"
	"sync"

	"jobsheaf/internal/compose"
)

// wear is what histories tell of units: of their wear, and in the working of their numbers.
// What the register knows of one takes as long as reading the site: nobody waits for that.
// Until it is there, what the records alone tell is shown, or what was known before.
type wear struct {
	site     *reading
	workings *recent[workingOf, Explained]

	mu     sync.Mutex
	by     map[string]*wornUnit
	wanted map[string]string  // by unit that is to be looked at anew, the sum of what the register knows
	asked  map[workingOf]bool // workings that are wanted of them
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

func newWear(site *reading) *wear {
	return &wear{site: site, workings: newRecent[workingOf, Explained](128), by: map[string]*wornUnit{}, wanted: map[string]string{}, asked: map[workingOf]bool{}}
}

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

// working gives the working of a unit's numbers; late as of of.
func (w *wear) working(of workingOf) (is Explained, late bool, err error) {
	if is, ok := w.workings.kept(of); ok {
		return is, false, nil
	}
	plain := workingOf{of.unit, of.procedure, ""}
	is, err = w.workings.get(plain, func() (Explained, error) { return w.site.Explain(of.unit, of.procedure) })
	if err != nil || plain == of {
		return is, false, err
	}
	w.mu.Lock()
	if len(w.asked) < mostAsked {
		w.asked[of] = true
	}
	w.mu.Unlock()
	w.want(map[string]string{of.unit: of.known})
	return is, true, nil
}

// mostAsked is how many workings are wanted at a time at most.
const mostAsked = 200

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
		var workings []workingOf
		for of := range w.asked {
			if sums[of.unit] == of.known && of.known != "" {
				workings = append(workings, of)
				delete(w.asked, of)
			}
		}
		w.mu.Unlock()
		since, err := w.site.Since(context.Background(), ids)
		if err != nil {
			continue
		}
		for _, id := range ids {
			parts := since.Worn(id)
			w.mu.Lock()
			w.by[id] = &wornUnit{sums[id], parts}
			w.mu.Unlock()
		}
		for _, of := range workings {
			w.workings.get(of, func() (Explained, error) { return since.Explain(of.unit, of.procedure) })
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
