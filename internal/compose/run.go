package compose

import (
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/record"
)

// run is the making of one packet.
type run struct {
	c       *Composer // what is the same for all jobs
	task              // what the job settles before anything is written
	decimal string    // the decimal sign of the pages

	// What is computed for the unit, each once.
	results map[string]*result        // by full name
	wear    map[*record.Feature]*worn // of features that have readings enough
	doubt   int                       // how many undecided conditions what is rendered hangs on

	// What grows while the packet is written.
	working  working
	places   places
	missing  map[string][]string           // for each name not on record, what it is wanted for
	leftOut  []omission                    // what does not apply
	tools    map[string]*record.Instrument // instruments that the packet names
	codes    []*record.Statement           // GHS statements that the packet prints
	problems diag.List
}

// omission is a step or item that does not apply to this unit.
type omission struct {
	what packet.Phrase
	when string
}

// usual is about how many numbers a packet has beside the values of its procedure.
const usual = 32

// newRun begins a packet, with room for that many numbers.
func (c *Composer) newRun(t task, numbers int) *run {
	r := &run{
		c: c, task: t, results: make(map[string]*result, numbers), wear: map[*record.Feature]*worn{},
		working: newWorking(numbers), places: newPlaces(4 * numbers), missing: map[string][]string{}, tools: map[string]*record.Instrument{},
	}
	r.decimal = r.word("decimal_sign")
	return r
}

// word gives a fixed word of the packet's language.
func (r *run) word(key string) string {
	w, ok := r.c.words["compose."+key]
	if !ok {
		r.problems.Errorf(diag.Pos{File: "words/" + r.c.book.Site.Language + ".yaml"}, "missing-word", "add it to the catalogue", "the catalogue of words lacks compose.%s", key)
	}
	return w
}

// wordWith gives a fixed word with {name} parts filled in, in pairs.
func (r *run) wordWith(key string, pairs ...string) string {
	w := r.word(key)
	for i := 0; i+1 < len(pairs); i += 2 {
		w = strings.ReplaceAll(w, "{"+pairs[i]+"}", pairs[i+1])
	}
	return w
}

func (r *run) siteName() string {
	if n := r.c.book.Site.Name; n.Known() {
		return n.S
	}
	return r.c.book.Site.ID
}
