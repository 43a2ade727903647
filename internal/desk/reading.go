package desk

import (
	"context"
	"sync"
	"time"

	"jobsheaf/internal/diag"
)

// reading is a site's folder as it was read once, with what is found out of it since.
type reading struct {
	*Site

	mu      sync.Mutex
	checks  bool      // it has begun
	checked diag.List // nil until it is done
	fault   error

	wear *wear
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
	site.wear = newWear(site)
	d.site, d.stamp, d.looked = site, stamp, now
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
