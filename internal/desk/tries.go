package desk

import (
	"net/netip"
	"strings"
	"sync"
	"time"
)

// How often somebody may try to sign in, by name and by address: so many times, and one
// more each time that a share of the period has passed. Common practice, no source.
const (
	triesByName    = 10
	triesByAddress = 20
	triesIn        = 15 * time.Minute
	mostTried      = 10_000 // names and addresses that are counted
)

// tries counts who tried to sign in.
type tries struct {
	now func() time.Time
	mu  sync.Mutex
	by  map[string]*tried
}

// tried is what a name or an address has left.
type tried struct {
	left float64
	at   time.Time
}

func newTries(now func() time.Time) *tries { return &tries{now: now, by: map[string]*tried{}} }

// take counts a try and reports whether it may be made.
func (t *tries) take(name string, from netip.Addr) bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	// An address that has none left counts no names: with names enough it would have this
	// table forget it.
	return t.one("a "+near(from).String(), triesByAddress) && t.one("n "+strings.ToLower(name), triesByName)
}

func (t *tries) one(key string, most float64) bool {
	now := t.now()
	is := t.by[key]
	if is == nil {
		if len(t.by) >= mostTried {
			t.room(now)
		}
		is = &tried{most, now}
		t.by[key] = is
	}
	is.left = min(most, is.left+most*float64(now.Sub(is.at))/float64(triesIn))
	is.at = now
	if is.left < 1 {
		return false
	}
	is.left--
	return true
}

// room forgets what has all its tries again; where all are in use, everything: what a
// guesser wins by that is a few tries.
func (t *tries) room(now time.Time) {
	for k, is := range t.by {
		if now.Sub(is.at) >= triesIn {
			delete(t.by, k)
		}
	}
	if len(t.by) >= mostTried {
		clear(t.by)
	}
}

// forget gives a name all its tries back, once it was let in.
func (t *tries) forget(name string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	delete(t.by, "n "+strings.ToLower(name))
}
