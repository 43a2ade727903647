// Package check holds the rules that span records: what one record says against
// what another one says, or against what the unit is used for.
//
// Entry point: Run. It belongs here if it needs two records, or two values of one
// record, to see that something is wrong; each rule has a file. It is not for the
// form of a single value (record), nor for what a procedure needs and does not find
// on record (compute).
//
// An error stops the packets that use the record in which it is found
// (record.Book.Attach); a warning is worth a look.
package check

import (
	"maps"
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
)

// Known is what the rooms of the pages know, which come later: what has room there
// and what can be drawn. What is nil is not checked.
type Known struct {
	Link     func(link string) error // says what is wrong with it
	Signs    []string                // of what to wear
	Drawings []string                // of where to measure
	Roles    []string                // in which somebody signs on the pages, besides hold points
	// Room says whether a text has room at a place of the pages of a paper, and if
	// not how many of its characters have.
	Room func(at Place, paper, text string) (most int, ok bool)
	// Drawn says how many entries a drawing takes of a kind, and how many characters
	// of each.
	Drawn func(drawing, entry string) (entries, characters int)
}

// rule is one thing that is checked.
type rule struct {
	name string // as problems name it
	what string // what it holds against what
	run  func(r *run)
}

// rules lists the rules in the order in which they run.
func rules() []rule {
	return []rule{unknownName, unknownWord, twice, isolation, opens, limits, wants, hazard, history, doubted, serial, crew, role, renews, keep, does, unturned, writing, room}
}

// run is what a rule sees and where it reports.
type run struct {
	*record.Book
	library  *procedure.Library // nil where procedures are not looked at
	known    Known
	rule     string
	problems diag.List
	numbers  *numbers
	doubts   []doubt
}

// Run holds all the rules against a site's records. Records with errors of their
// own are looked at as far as they could be read. The list is sorted.
func Run(b *record.Book, library *procedure.Library, known Known) diag.List {
	r := &run{Book: b, library: library, known: known}
	r.numbers = r.collect()
	for _, rule := range rules() {
		r.rule = rule.name
		rule.run(r)
	}
	return r.problems.Sorted()
}

// errorf reports an error of the rule in hand, with other places that add to it.
func (r *run) errorf(at diag.Pos, related []diag.Pos, hint, format string, args ...any) {
	r.problems.Errorf(at, r.rule, hint, format, args...)
	r.problems[len(r.problems)-1].Related = related
}

// warnf reports a warning of the rule in hand.
func (r *run) warnf(at diag.Pos, related []diag.Pos, hint, format string, args ...any) {
	r.problems.Warnf(at, r.rule, hint, format, args...)
	r.problems[len(r.problems)-1].Related = related
}

// places makes the list of other places, leaving out those not known.
func places(at ...diag.Pos) []diag.Pos {
	return slices.DeleteFunc(at, func(p diag.Pos) bool { return p.Line == 0 })
}

// inOrder gives the names of a map sorted, so that every run says the same.
func inOrder[T any](m map[string]T) []string { return slices.Sorted(maps.Keys(m)) }

// units gives the units in order of name.
func (r *run) units() []*record.Unit {
	var out []*record.Unit
	for _, id := range inOrder(r.Units) {
		out = append(out, r.Units[id])
	}
	return out
}

// procedures gives those that may be made, in order of name; none where procedures are
// not looked at.
func (r *run) procedures() []*procedure.Procedure {
	var out []*procedure.Procedure
	if r.library != nil {
		for _, name := range r.library.Names() {
			p, _ := r.library.Procedure(name)
			out = append(out, p)
		}
	}
	return out
}

// sizes gives every size of every design in order of name.
func (r *run) sizes() []*record.Size {
	var out []*record.Size
	for _, id := range inOrder(r.Designs) {
		for _, name := range inOrder(r.Designs[id].Sizes) {
			out = append(out, r.Designs[id].Sizes[name])
		}
	}
	return out
}
