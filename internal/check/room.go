package check

import (
	"fmt"
	"slices"
	"unicode/utf8"

	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
)

// Place names one where a text of a record stands on every page of a packet.
type Place string

const (
	JobID          Place = "job ID"
	UnitTag        Place = "unit's tag"
	UnitName       Place = "unit's name"
	ProcedureTitle Place = "procedure's title"
	SiteName       Place = "site's name"
)

// room: what is too long for a drawing, and a job ID or tag that is too long for the
// pages' header, would be refused when the packet is laid out, far from its record;
// a name is shortened there.
var room = rule{
	name: "room",
	what: "a job ID, a tag and what a drawing takes from a record are no longer than there is room for; a longer name (of unit, procedure, site) is shortened in the header and footer, with a warning",
	run: func(r *run) {
		header := func(t record.Text, at Place) {
			if !t.Known() || r.known.Room == nil || r.Site == nil {
				return
			}
			most, ok := r.known.Room(at, r.Site.Paper, t.S)
			if ok {
				return
			}
			n, hint := utf8.RuneCountInString(t.S), fmt.Sprintf("about %d characters have room", most)
			if at == JobID || at == UnitTag {
				r.errorf(t.At, nil, hint, "the %s has %d characters, too many for the pages' header", at, n)
				return
			}
			r.warnf(t.At, nil, hint, "the %s has %d characters, and is shortened in the pages' header or footer", at, n)
		}
		if r.Site != nil {
			header(r.Site.Name, SiteName)
		}
		for _, u := range r.units() {
			header(record.Text{S: u.ID, At: u.At}, UnitTag)
			header(u.Name, UnitName)
			for i, p := range u.Isolate {
				r.drawn(p.Point, "isolation", "points", i)
				r.drawn(p.Device, "isolation", "devices", 0)
			}
		}
		for _, name := range inOrder(r.Lists) {
			for _, j := range r.Lists[name].Jobs {
				header(j.ID, JobID)
			}
		}
		for _, p := range r.procedures() {
			if title := p.Title.String(); !slices.ContainsFunc(p.Title.Parts, func(q procedure.Part) bool { return q.Name != "" }) {
				header(record.Text{S: title, At: p.Title.At}, ProcedureTitle)
			}
		}
		for _, s := range r.sizes() {
			for _, name := range s.JointOrder {
				r.drawn(s.Joints[name].What, "bolt-circle", "title", 0)
			}
			places := map[string][]string{} // of a part's drawing, which several features may share
			for _, name := range s.FeatureOrder {
				f := s.Features[name]
				for _, p := range f.Places {
					if of := places[f.Points.S]; !slices.Contains(of, p.S) {
						r.drawn(p, "wear-points", "places", len(of))
						places[f.Points.S] = append(of, p.S)
					}
				}
				r.drawn(record.Text{S: f.Part.S + ": " + f.What.S, At: f.What.At}, "trend", "title", 0)
			}
		}
	},
}

// drawn holds a text to what a drawing takes as its i-th entry there.
func (r *run) drawn(t record.Text, figure, entry string, i int) {
	if !t.Known() || r.known.Drawn == nil {
		return
	}
	entries, characters := r.known.Drawn(figure, entry)
	switch n := utf8.RuneCountInString(t.S); {
	case i == entries:
		r.errorf(t.At, nil, "make one of two, or leave it out", "%s is one more than the %d that have room in the drawing", t, entries)
	case n > characters:
		r.errorf(t.At, nil, fmt.Sprintf("say it in at most %d characters", characters), "found %d characters, too many for the drawing that shows it", n)
	}
}
