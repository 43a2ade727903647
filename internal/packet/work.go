package packet

// Work is what a mechanic works out at a step from what was read: exactly one of these.
type Work struct {
	Sum    *Sum    `json:"sum,omitempty"`
	Lookup *Lookup `json:"lookup,omitempty"`
}

// Sum is arithmetic laid out in one line, with a box for each number that nobody knew when
// the page was printed and one for the result, which is the last.
type Sum struct {
	What  Phrase `json:"what"` // is worked out; the number's entry is named in it
	Terms []Term `json:"terms"`
}

// Term is a sign or a number of a sum, or a box for one.
type Term struct {
	Text  string `json:"text,omitempty"`
	Blank *Blank `json:"blank,omitempty"`
}

// Lookup is a table by which a result is found from one reading.
type Lookup struct {
	What   Phrase      `json:"what"` // is looked up; the number's entry is named in it
	Over   string      `json:"over"` // the reading, with its unit
	At     []string    `json:"at"`   // the numbers that the table has for it, rising
	Rows   []LookupRow `json:"rows"`
	Note   string      `json:"note,omitempty"`
	Result []Blank     `json:"result"` // one for each row
}

// LookupRow is one result, for each number of At.
type LookupRow struct {
	Label string   `json:"label"` // with its unit
	Cells []string `json:"cells"`
}

// Blanks gives the places to write on, in the order in which they stand.
func (w *Work) Blanks() []*Blank {
	var out []*Blank
	if w.Sum != nil {
		for i := range w.Sum.Terms {
			if b := w.Sum.Terms[i].Blank; b != nil {
				out = append(out, b)
			}
		}
	}
	if w.Lookup != nil {
		for i := range w.Lookup.Result {
			out = append(out, &w.Lookup.Result[i])
		}
	}
	return out
}

// work walks over what is worked out.
func (w *walk) work(all []Work) {
	for i := range all {
		if s := all[i].Sum; s != nil {
			w.phrase(s.What)
		}
		if l := all[i].Lookup; l != nil {
			w.phrase(l.What)
		}
		for _, b := range all[i].Blanks() {
			w.blank(b, "")
		}
	}
}
