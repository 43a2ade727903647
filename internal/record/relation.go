package record

import "jobsheaf/internal/source"

// RelationOwners are what a relation may be of: it is evaluated once for each.
var RelationOwners = []string{"site", "crew", "liquid", "size", "joint", "feature", "assembly", "unit"}

// Relation checks values of a record against each other: a formula, and between
// which values it lies on a sound record. Relations are data, in relations.yaml;
// what their formulas mean is known to check.
type Relation struct {
	Of       string // one of RelationOwners
	When     Text   // a condition; unknown where the relation always holds
	Is       Text   // the formula
	From, To Text   // formulas of the same type; one of them may be unknown
	Why      Text   // what a reader is told, as a sentence without its full stop
	Must     bool   // outside of the range the record contradicts itself
	Machine  string // the kind whose machines it holds of; "" for all
	BuiltIn  bool
}

// relations reads a record of relations. Those of a site stand beside the
// built-in ones.
func (l *loader) relations(m *source.Map) {
	l.Relations = append(l.Relations, l.relationsOf(m)...)
}

// relationsOf reads the list of relations of a record, with their common source.
func (l *loader) relationsOf(m *source.Map) (out []Relation) {
	all := m.Text("source") // of those that name none of their own
	for _, v := range m.List("relations") {
		e := v.Map()
		e.Need("of: size", "is: drive.power / drive.current", "why: a motor gives some hundred watts for each ampere")
		if !all.Known() {
			e.Need("source: common practice, no source")
		}
		r := Relation{Of: e.OneOf("of", RelationOwners...).S, When: e.Text("when"), Is: e.Text("is"), From: e.Text("from"), To: e.Text("to"),
			Why: e.Text("why"), BuiltIn: l.builtIn}
		r.Must, _ = e.YesNo("must")
		e.Text("source")
		if r.Is.Known() && !r.From.Known() && !r.To.Known() {
			r.Is.Errorf(0, "missing-key", `such as from: "0.1"`, "the relation has neither from nor to, so nothing could break it")
		}
		e.Done()
		if r.Of != "" && r.Is.Known() {
			out = append(out, r)
		}
	}
	return out
}
