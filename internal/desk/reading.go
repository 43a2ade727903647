package desk

import (
	"context"
	"maps"
	"slices"
	"sync"
	"time"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/record"
)

// reading is a site's folder as it was read once, with what is found out of it since.
type reading struct {
	*Site

	mu      sync.Mutex
	checks  bool      // it has begun
	checked diag.List // nil until it is done
	fault   error
	wears   bool // the units are being looked through
	all     []unitWorn
	known   bool // all has all units

	wearFault error
}

// unitWorn is what is known of the wear of one feature of a unit.
type unitWorn struct {
	Unit *record.Unit
	compose.Worn
}

// lookEvery is how long a desk goes on with the records as it read them before it looks
// whether a file has changed.
const lookEvery = 2 * time.Second

// read gives the records, read anew where a file has changed since.
func (v *visit) read() (*reading, error) {
	if v.site != nil {
		return v.site, nil
	}
	site, err := v.reading()
	v.site = site
	return site, err
}

// reading gives the newest reading of the records.
func (d *Desk) reading() (*reading, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	now := d.Now()
	if d.site != nil && now.Sub(d.looked) < lookEvery {
		return d.site, nil
	}
	stamp := d.Stamp()
	if d.site != nil && stamp == d.stamp {
		d.looked = now
		return d.site, nil
	}
	s, err := d.Read()
	if err != nil {
		return nil, err
	}
	site := &reading{Site: s}
	d.site, d.stamp, d.looked = site, stamp, now
	d.working.clear()
	d.worn.clear()
	return site, nil
}

// check gives all problems of the records; whole is false, and the list what reading them
// found, while the jobs of the lists are still being made. That begins when it is first
// asked for.
func (s *reading) check() (list diag.List, whole bool, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	switch {
	case s.fault != nil || s.checked != nil:
		return s.checked, true, s.fault
	case !s.checks:
		s.checks = true
		go func() {
			all, err := s.Check(context.Background())
			s.mu.Lock()
			defer s.mu.Unlock()
			s.checked, s.fault = append(diag.List{}, all...), err
		}()
	}
	return s.Problems, false, nil
}

// unitsAtATime is of how many units what the register knows is read at a time.
const unitsAtATime = 50

// wear gives what is known of the wear of all units, the limit that comes first before the
// others; whole is false while they are still being looked through. What came back since they
// were is not in it until a record changes.
func (s *reading) wear() (list []unitWorn, whole bool, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.wears {
		s.wears = true
		go func() {
			var all []unitWorn
			var fault error
			for ids := range slices.Chunk(slices.Sorted(maps.Keys(s.Book.Units)), unitsAtATime) {
				of, err := s.Worn(context.Background(), ids)
				if err != nil {
					fault = err
					break
				}
				for _, id := range ids {
					for _, w := range of[id] {
						w.Trend = packet.Figure{} // a drawing is made of one unit at a time
						all = append(all, unitWorn{s.Book.Units[id], w})
					}
				}
			}
			slices.SortStableFunc(all, func(a, b unitWorn) int { return a.Compare(b.Worn) })
			s.mu.Lock()
			defer s.mu.Unlock()
			s.all, s.known, s.wearFault = all, true, fault
		}()
	}
	return s.all, s.known, s.wearFault
}
