package compose

import (
	"cmp"
	"path"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/packet"
)

// workings is the working of a packet, brought into the order in which its numbers are
// read: an entry stands once, at the first place where its number is printed, and what
// is but a step on the way to a number stands behind the first that takes it.
type workings struct {
	r       *run
	entries []packet.Entry
	blocks  []packet.Block
	refs    references

	from  []packet.Entry // in the order in which they were worked out
	at    map[string]int // places in from, by name
	byKey map[string]int // by the key that they had
	order []int          // places in from, in the order of the entries
	keys  []string       // of those in from; "" before it has one
	spots [][]packet.Spot
	// The key of the entry that has the line of a record; and of the part of the card in
	// hand, which names each line anew.
	shown, part map[packet.Place]string
	first       map[packet.Place]int // the first entry of each formula, among entries
}

// stop is one place at which numbers are printed.
type stop struct {
	sheet    int // of those gone through; -1 for none
	step     string
	from, to int           // in order: those that are printed nowhere before
	again    []packet.Span // the others
}

func (r *run) workings(sheets []packet.Sheet) *workings {
	from := r.Working()
	w := &workings{r: r, from: from, at: make(map[string]int, len(from)), byKey: make(map[string]int, len(from)), keys: make([]string, len(from)), spots: make([][]packet.Spot, len(from)),
		shown: map[packet.Place]string{}, first: map[packet.Place]int{}, refs: references{r: r, files: shortNames(from), numbers: map[string]int{}}}
	for i := range from {
		w.at[from[i].Name], w.byKey[from[i].Key] = i, i
	}
	stops := w.walk(sheets)
	w.number()
	w.write(stops, sheets)
	return w
}

// walk finds where each number is printed.
func (w *workings) walk(sheets []packet.Sheet) []stop {
	var stops []stop
	for i := range sheets {
		s := &sheets[i]
		here := packet.Spot{Sheet: "?"} // of the last stop of the sheet
		begins := 0
		for step, span := range s.Numbers() {
			e, known := w.at[span.Entry]
			if !known {
				continue // cannot be: what is printed was entered
			}
			spot := packet.Spot{Sheet: s.ID, Step: step}
			if n := len(w.spots[e]); n > 0 && (w.spots[e][n-1] == spot || s.ID == "working") {
				continue // twice at one place; or a carried page says it
			}
			w.spots[e] = append(w.spots[e], spot)
			stands := w.keys[e] != ""
			if stands && (s.ID == "working" || s.ID == "aside") {
				continue // who looks it up finds the entry
			}
			if spot != here {
				here, begins = spot, len(w.order)
				stops = append(stops, stop{sheet: i, step: step, from: len(w.order), to: len(w.order)})
			}
			st := &stops[len(stops)-1]
			if stands {
				if slices.Index(w.order, e) < begins { // else it stands right here
					st.again = append(st.again, span)
				}
				continue
			}
			w.take(e)
			st.to = len(w.order)
		}
	}
	// What is printed where no sheet names its entry, such as in a title.
	rest := stop{sheet: -1, from: len(w.order)}
	for e := range w.from {
		w.take(e)
	}
	if rest.to = len(w.order); rest.to > rest.from {
		stops = append(stops, rest)
	}
	return stops
}

// take puts an entry in its place, and behind it the steps on the way to it that have
// none yet, though their numbers be printed further on: who follows a number finds them there.
func (w *workings) take(e int) {
	if w.keys[e] != "" {
		return
	}
	w.order = append(w.order, e)
	w.keys[e] = "W" + strconv.Itoa(len(w.order))
	for _, in := range w.from[e].Inputs {
		if i, computed := w.byKey[in.Key]; computed {
			w.take(i)
		}
	}
}

// number gives the entries their keys and the places of their numbers.
func (w *workings) number() {
	w.entries = make([]packet.Entry, len(w.order))
	for i, from := range w.order {
		e := w.from[from]
		e.Key, e.Stands = w.keys[from], w.spots[from]
		e.Inputs = slices.Clone(e.Inputs)
		for k := range e.Inputs {
			if in := &e.Inputs[k]; in.Key != "" {
				in.Key = w.keys[w.byKey[in.Key]]
			}
		}
		w.entries[i] = e
	}
}

// write makes the blocks: the place, its entries, and the keys of what stands there too.
func (w *workings) write(stops []stop, sheets []packet.Sheet) {
	w.blocks = index([]packet.Looked{{Text: packet.Say(w.r.Word("annex.intro"))}})
	before := ""
	for i, st := range stops {
		title, short := w.r.Word("annex.elsewhere"), w.r.Word("index.elsewhere")
		if st.sheet >= 0 && sheets[st.sheet].Title != "" {
			title, short = sheets[st.sheet].Title, sheets[st.sheet].Index
		}
		if title != before {
			if before, w.part = title, nil; st.sheet >= 0 && sheets[st.sheet].ID == "card" { // whoever checks a number at the bench has all of it before him
				w.part = map[packet.Place]string{}
			}
			b := heading(2, title)
			b.Heading.Index = short
			w.blocks = append(w.blocks, b)
		}
		b := &packet.Working{Entries: make([]packet.Entry, 0, st.to-st.from)}
		switch next := i + 1; {
		case st.step != "":
			b.At = w.r.WordWith("annex.step", "n", st.step)
		case next < len(stops) && stops[next].sheet == st.sheet: // what a stage says before its steps
			b.At = w.r.WordWith("annex.before", "n", stops[next].step)
		}
		for i := st.from; i < st.to; i++ {
			b.Entries = append(b.Entries, w.short(i))
		}
		if last := w.lastAgain(); last != nil && b.At != "" && len(b.Entries) == 0 { // a line for each would cost half a page
			last.To = b.At
			last.Again = append(last.Again, packet.Span{Text: "   "}, packet.Span{Text: b.At, Style: packet.Strong}, packet.Span{Text: "  "})
			b = last
		} else {
			w.blocks = append(w.blocks, packet.Block{Working: b})
		}
		for i, s := range st.again {
			if i > 0 {
				b.Again = append(b.Again, packet.Span{Text: " · "})
			}
			from := w.at[s.Entry]
			text, _, _ := strings.Cut(cmp.Or(s.Text, w.from[from].Printed), " (") // the same in other units
			b.Again = append(b.Again, packet.Span{Text: text}, packet.Span{Text: w.keys[from], Style: packet.Key})
		}
	}
}

// keyed puts behind each number of a text the key of its entry.
func (w *workings) keyed(text packet.Phrase) (out packet.Phrase) {
	for _, s := range text {
		out = append(out, s)
		if e, known := w.at[s.Entry]; known {
			out = append(out, packet.Span{Text: w.keys[e], Style: packet.Key})
		}
	}
	return out
}

// lastAgain gives the last block where it is a step at which every number stands again;
// nil where it is not.
func (w *workings) lastAgain() *packet.Working {
	if b := w.blocks[len(w.blocks)-1].Working; b != nil && b.At != "" && len(b.Entries) == 0 {
		return b
	}
	return nil
}

// short gives an entry as the annex prints it: its sources by number, its places by
// short names, the line of a record the first time only, and a formula that several members
// share at the first of them.
func (w *workings) short(i int) packet.Entry {
	e := w.entries[i]
	if e.Recorded {
		w.show(e.At, e.Key)
		e.Formula, e.Inputs = w.r.Word("as_recorded"), nil
	}
	if first, ok := w.first[e.At]; !ok {
		w.first[e.At] = i
	} else if had := &w.entries[first]; !e.Recorded && e.Formula != "" && had.Formula == e.Formula && slices.Equal(had.Sources, e.Sources) {
		e.Formula, e.Reads, e.At, e.Sources = w.r.WordWith("annex.formula_as", "key", had.Key), "", packet.Place{}, nil
		if e.Printed == "" {
			e.What = "" // it is what that one is
		}
	}
	if e.Reads == "" && !e.Recorded {
		e.Formula = w.r.readable(e.Formula)
	}
	e.Governed = w.r.readable(e.Governed)
	if as := w.sameInputs(i); as != "" {
		e.Inputs = []packet.Input{{Name: w.r.Word("annex.inputs"), Text: w.r.Word("annex.inputs_as"), Key: as}}
	}
	hand := inHand(e.Name)
	e.Sources = w.refs.of(e.Sources)
	e.At = w.refs.place(e.At)
	e.Inputs = slices.Clone(e.Inputs)
	for k := range e.Inputs {
		in := &e.Inputs[k]
		if rest, ok := strings.CutPrefix(in.Name, hand); ok && hand != "" {
			in.Name = rest
		}
		if in.At == (packet.Place{}) {
			continue
		}
		if key := w.show(in.At, e.Key); key != "" {
			in.Key, in.At = key, packet.Place{}
			continue
		}
		in.At = w.refs.place(in.At)
	}
	return e
}

// show notes that an entry names the line of a record, and gives the key of one that it
// can refer to instead; "" for none.
func (w *workings) show(at packet.Place, key string) (had string) {
	had = w.shown[at]
	if had == "" {
		w.shown[at] = key
	}
	if w.part != nil {
		if had = w.part[at]; had == "" {
			w.part[at] = key
		}
	}
	return had
}

// longList is from how many inputs on a list is not printed again.
const longList = 5

// sameInputs gives the key of the entry before that has the same long list of inputs, such
// as the least and the greatest of many numbers; "" where there is none.
func (w *workings) sameInputs(i int) string {
	if i == 0 || len(w.entries[i].Inputs) < longList || !slices.Equal(w.entries[i].Inputs, w.entries[i-1].Inputs) {
		return ""
	}
	return w.entries[i-1].Key
}

// inHand gives what the names of the joint, feature or assembly of an entry begin with,
// such as "joints.head."; "" for an entry of none. Its own formula does without.
func inHand(name string) string {
	if parts := strings.SplitN(name, ".", 3); len(parts) == 3 && slices.Contains([]string{"joints", "features", "assemblies"}, parts[0]) {
		return parts[0] + "." + parts[1] + "."
	}
	return ""
}

func sourceKey(n int) string { return "S" + strconv.Itoa(n) }

// of gives sources by their numbers.
func (k *references) of(sources []string) []string {
	var keys []string
	for _, s := range sources {
		n, known := k.numbers[s]
		if !known {
			k.sources = append(k.sources, s)
			n = len(k.sources)
			k.numbers[s] = n
		}
		keys = append(keys, sourceKey(n))
	}
	return keys
}

// place gives a place by the file's short name and the line.
func (k *references) place(at packet.Place) packet.Place {
	at.File, at.Col = k.files[at.File], 0
	return at
}

// shortNames gives the files of all entries a name each: without folder and
// extension where that tells them apart.
func shortNames(entries []packet.Entry) map[string]string {
	files, count := map[string]string{}, map[string]int{}
	see := func(file string) {
		if _, known := files[file]; file == "" || known {
			return
		}
		short := strings.TrimSuffix(path.Base(file), path.Ext(file))
		files[file] = short
		count[short]++
	}
	for _, e := range entries {
		see(e.At.File)
		for _, in := range e.Inputs {
			see(in.At.File)
		}
	}
	for file, short := range files {
		if count[short] > 1 {
			files[file] = file
		}
	}
	return files
}
