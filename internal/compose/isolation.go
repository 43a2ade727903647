package compose

import (
	"fmt"
	"strconv"

	"jobsheaf/internal/compute"
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
)

// forLock says what the cells of the isolation table and of everyone's own locks are for.
var forLock = map[string]manifest.For{
	"point": manifest.ForWords, "device": manifest.ForWords, "name": manifest.ForWords, "lock": manifest.ForLock, "numbers": manifest.ForLock,
	"applied": manifest.ForLockOn, "on": manifest.ForLockOn, "proved": manifest.ForProved, "removed": manifest.ForLockOff, "off": manifest.ForLockOff,
}

// initials is how many letters of them there are at most.
const initials = 3

// isolation is the table of points to lock, a row a point, with who put each lock on
// and off.
func (r *run) isolation() *packet.Table {
	t := r.table("isolation", column{"point", 0, 0}, column{"device", 1, 0},
		column{"lock", 0, 0}, column{"applied", 0, 0}, column{"proved", 0, 0}, column{"removed", 0, 0})
	t.Title = "" // the heading says it
	row := func(id, of string, tagged bool, text ...packet.Phrase) packet.Row {
		write := func(key string, kind packet.BlankKind, n int) packet.Cell {
			return packet.Cell{Blanks: []packet.Blank{{ID: r.places.id("isolation", id, key), Kind: kind, Characters: n, Ask: &manifest.Ask{For: forLock[key], Of: of}}}}
		}
		cells := make([]packet.Cell, 0, len(t.Columns))
		for i, key := range []string{"point", "device"} {
			if text[i] != nil {
				cells = append(cells, packet.Cell{Text: text[i]})
			} else { // to be written in
				cells = append(cells, write(key, packet.Words, 2))
			}
		}
		if tagged {
			cells = append(cells, packet.Cell{Text: packet.Phrase{{Text: r.Word("isolation.tag"), Style: packet.Strong}}})
		} else {
			cells = append(cells, write("lock", packet.Words, 4))
		}
		for _, key := range []string{"applied", "proved", "removed"} {
			cells = append(cells, write(key, packet.Initial, initials))
		}
		return packet.Row{Cells: cells}
	}
	for i := range r.Unit.Isolate {
		p := &r.Unit.Isolate[i]
		at := packet.Phrase{{Text: r.Word("energy."+p.Energy.S) + ": ", Style: packet.Soft}, {Text: p.Device.S}}
		if p.Where.Known() {
			at = append(at, packet.Span{Text: ", " + p.Where.S})
		}
		at = append(at, packet.Span{Text: "\n"}, packet.Span{Text: p.Put.S, Style: packet.Strong}, packet.Span{Text: "; " + r.Word("isolation.prove") + ": "})
		if p.Prove.Known() {
			at = append(at, packet.Span{Text: p.Prove.S})
		} else {
			at = append(at, r.NotOnRecord(r.Word("isolation.title"), "unit.isolate."+p.Point.S+".prove")...)
		}
		t.Rows = append(t.Rows, row(p.Point.S, p.Point.S, p.Tagged(), packet.Phrase{{Text: p.Point.S, Style: packet.Strong}}, at))
	}
	for _, gap := range r.Unit.Unisolated() { // check has reported it
		t.Rows = append(t.Rows, row("no-"+gap, r.Word("energy."+gap), false, nil, packet.Phrase{{Text: r.Word("energy."+gap) + ": ", Style: packet.Soft}, r.Lacking(), {Text: " " + r.Word("isolation.find")}}))
	}
	room := 1 // for what the walk-down finds beside the list
	if len(r.Unit.Isolate) == 0 {
		room = 6
	}
	for n := 1; n <= room; n++ {
		t.Rows = append(t.Rows, row(fmt.Sprintf("more%d", n), r.WordWith("isolation.row", "n", strconv.Itoa(n)), false, nil, nil))
	}
	t.Note = append(append(r.locksInAll(), packet.Span{Text: " "}), packet.Say(r.Word("isolation.note"))...)
	return t
}

// locksInAll says how many locks hang when everyone has hung their own: what to count
// before the unit is opened, and when the locks come off.
func (r *run) locksInAll() packet.Phrase {
	p := packet.Phrase{{Text: r.Word("locks.in_all") + " ", Style: packet.Strong}}
	first, last := r.Unit.LocksOff()
	points, people := len(first)+len(last), r.people()
	if r.Blank || points == 0 || people == 0 || len(r.Unit.Unisolated()) > 0 {
		return append(p, packet.Span{Text: compute.Ruled})
	}
	var inputs []packet.Input
	for i := range r.Unit.Isolate {
		if p := &r.Unit.Isolate[i]; !p.Tagged() {
			inputs = append(inputs, packet.Input{Name: "unit.isolate", Text: p.Point.S, At: packet.Place(p.Point.At)})
		}
	}
	all := strconv.Itoa(points * people)
	says := r.WordWith("locks.count", "points", strconv.Itoa(points), "people", strconv.Itoa(people))
	by := r.WordWith("locks.people_of_procedure", "procedure", r.Procedure.Name)
	if r.Job.People.Known() { // by the job's name: its line in the list is no input of the packet
		by = r.WordWith("locks.people_of_job", "job", r.Job.ID.S)
	}
	p = append(p, r.Entered(all, packet.Entry{
		Name: "locks.in_all", What: r.Word("locks.in_all"), Formula: says + " (" + by + ")", SI: new(float64(points * people)), Kind: quantity.KindNumber.String(), Exactly: all, Printed: all,
		Inputs: inputs, Sources: []string{r.Word("locks.source")},
	})...)
	return append(p, packet.Span{Text: " (" + says + ")."})
}

// locks is where everyone else who works on the unit writes down the locks that are
// their own, two people side by side.
func (r *run) locks() *packet.Table {
	t := r.table("locks", column{"name", 2, 0}, column{"numbers", 3, 0}, column{"on", 1, 0}, column{"off", 1, 0})
	t.Double, t.Title = true, ""
	for n := range min(max(r.people()-1, 2), 8) {
		id := fmt.Sprint(n + 1)
		var cells []packet.Cell
		for _, b := range []packet.Blank{{ID: "name", Kind: packet.Words, Characters: 6}, {ID: "numbers", Kind: packet.Words, Characters: 4}, {ID: "on", Kind: packet.Initial, Characters: initials}, {ID: "off", Kind: packet.Initial, Characters: initials}} {
			b.Ask = &manifest.Ask{For: forLock[b.ID], Of: r.WordWith("locks.row", "n", id)}
			b.ID = r.places.id("locks", id, b.ID)
			cells = append(cells, packet.Cell{Blanks: []packet.Blank{b}})
		}
		t.Rows = append(t.Rows, packet.Row{Cells: cells})
	}
	return t
}

// people is how many the job is for, as the list or else the procedure says; 0
// where neither does.
func (r *run) people() int {
	if r.Job.People.Known() {
		return int(r.Job.People.Value.SI())
	}
	return r.Procedure.People
}
