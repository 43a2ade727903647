package compose

import (
	"slices"
	"strings"

	"jobsheaf/internal/calc/bolting"
	"jobsheaf/internal/compute"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// figures gives the drawings that apply, each with what it is drawn from. One
// whose numbers are not on record is left out and named among the gaps.
func (r *run) figures(list []procedure.Figure) []packet.Figure {
	var out []packet.Figure
	for i := range list {
		yes, only := r.Applies(list[i].When)
		if shows := fromRecords[list[i].Figure.Name].shows; !yes || shows != nil && !shows(r, &list[i]) {
			continue
		}
		if _, ok := r.Book.Draws(r.Unit.Machine, list[i].Figure.Name); !ok {
			continue
		}
		leave := r.Suppose(only)
		if f, ok := r.figure(&list[i]); ok {
			out = append(out, f)
		}
		leave()
	}
	return out
}

// measuredThere reports whether a feature is measured on the worn part that is drawn.
// Where a design says of no feature where it is measured, all parts are shown.
func (r *run) measuredThere(src *procedure.Figure) bool {
	if r.Size == nil {
		return true
	}
	part := ""
	for _, t := range src.Texts {
		if t.Key == "part" {
			part = t.Say.Original()
		}
	}
	said := false
	for _, f := range r.Size.Features {
		if f.Points.Known() && f.Points.S == part {
			return true
		}
		said = said || f.Points.Known()
	}
	return !said
}

func (r *run) figure(src *procedure.Figure) (packet.Figure, bool) {
	from := fromRecords[src.Figure.Name]
	f := packet.Figure{
		Name: src.Figure.Name, Caption: r.Say(src.Caption), Exact: from.exact,
		Numbers: map[string]float64{}, Texts: map[string]string{}, Lists: map[string][]string{}, Series: map[string][]float64{},
	}
	var missing []string
	gap := false // a text has named what it lacks already
	for i := range src.Numbers {
		n := &src.Numbers[i]
		v, gone, ok := r.Amount(n.Is, "figure "+f.Name)
		switch {
		case !ok:
			return f, false
		case gone != nil:
			missing = append(missing, gone...)
		default:
			f.Numbers[n.Key] = forDrawing(v)
		}
	}
	for _, t := range src.Texts {
		say := r.drawn(t.Say)
		for _, s := range say {
			gap = gap || s.Style == packet.Missing || r.Blank && strings.Contains(s.Text, compute.Ruled)
			if s.Entry != "" && !slices.Contains(f.Entries, s.Entry) {
				f.Entries = append(f.Entries, s.Entry)
			}
		}
		f.Texts[t.Key] = say.String()
	}
	missing = append(missing, r.taken(&f)...)
	if from.fill != nil {
		missing = append(missing, from.fill(r, src, &f)...)
	}
	if len(missing) > 0 {
		r.NotOnRecord("the drawing "+f.Name, missing...)
	}
	return f, !gap && len(missing) == 0
}

// drawn renders a text for a drawing. A word of a record stays as it is there, in
// whatever language the pages are: the drawing knows it by that.
func (r *run) drawn(t procedure.Text) packet.Phrase {
	if len(t.Parts) == 1 {
		if s, ok := r.Book.Scalar(r.Unit, t.Parts[0].Name); ok && s.Form == record.FormWords {
			return packet.Say(s.Text)
		}
	}
	return r.Say(t)
}

// forDrawing gives an amount in a drawing's units: millimetres and degrees.
func forDrawing(v quantity.Value) float64 {
	switch k, _ := v.Type().Kind(); k {
	case quantity.KindLength:
		return v.SI() * 1000
	case quantity.KindAngle:
		u := quantity.Preferred(quantity.KindAngle, quantity.Metric)
		return v.SI() / u.Factor
	}
	return v.SI()
}

// filler fills in what a figure takes from the records and not from the template;
// fill gives the names of what is not on record.
type filler struct {
	fill  func(*run, *procedure.Figure, *packet.Figure) []string
	gives []string                           // texts and numbers among it; lists are always from the records
	of    string                             // joint or feature, where the template has to say which
	shows func(*run, *procedure.Figure) bool // whether the records have what it is for; nil: always
	exact bool                               // it is printed 1:1
}

var fromRecords = map[string]filler{
	"bolt-circle": {fill: (*run).boltCircle, gives: []string{"count", "title", "seat"}, of: "joint"},
	"isolation":   {fill: (*run).isolationSketch, gives: []string{"machine"}, shows: func(r *run, _ *procedure.Figure) bool { return !r.isShort() }}, // a short job has the cover's table alone
	"scale-bar":   {exact: true},
	"strip":       {fill: (*run).stripSystem, gives: []string{"us"}, exact: true},
	"trend":       {fill: (*run).trend, gives: []string{"limit", "us", "title", "unit", "forecast", "earliest", "latest"}, of: "feature", shows: (*run).hasTrend},
	"wear-points": {fill: (*run).wearPlaces, shows: (*run).measuredThere},
}

// FromRecords says which numbers and texts of a figure the records give, of one kind of
// machine or of any, and
// whether its template has to name a joint or a feature for that ("" for neither).
func FromRecords(book *record.Book, figure string) (gives []string, of string) {
	f := fromRecords[figure]
	return slices.Concat(f.gives, book.Given(figure)), f.of
}

func (r *run) boltCircle(src *procedure.Figure, f *packet.Figure) []string {
	if src.Joint == nil {
		return nil
	}
	name := src.Joint.Name
	if r.Size == nil || r.Size.Joints[name] == nil || !r.Size.Joints[name].Count.Known() {
		return []string{"joints." + name + ".count"}
	}
	j := r.Size.Joints[name]
	place, err := r.turns(j)
	if err != nil {
		r.Problems.Errorf(j.Count.At, "computation", "", "joint %s: %s", name, err)
		return nil
	}
	n := len(place)
	f.Numbers["count"], f.Series["order"] = float64(n), place
	f.Texts["title"], f.Texts["seat"] = j.What.S, record.Seats[0]
	if slices.Contains(record.Seats, j.Seat.S) { // another is drawn as the commonest
		f.Texts["seat"] = j.Seat.S
	}
	for _, v := range r.Shown(procedure.PerJoint) {
		if res := r.Result(v, name); v.OfPass() && res.Known() {
			f.Lists["passes"] = append(f.Lists["passes"], r.Text(res))
		}
	}
	if n < 3 {
		return []string{"joints." + name + " (a circle has three bolts at least)"}
	}
	return nil
}

// turns gives for each bolt of a joint, clockwise from the top, when it is tightened: 1 is
// first. There is no order for more bolts than bolting knows of.
func (r *run) turns(j *record.Joint) ([]float64, error) {
	n := int(j.Count.Value.SI())
	bolts := make([]int, n)
	if j.Order == "ring" || n < 3 {
		for i := range bolts {
			bolts[i] = i + 1
		}
	} else {
		order, err := bolting.CrossPattern(n)
		if err != nil {
			return nil, err
		}
		copy(bolts, order)
	}
	place := make([]float64, n)
	for turn, bolt := range bolts {
		place[bolt-1] = float64(turn + 1)
	}
	return place, nil
}

func (r *run) isolationSketch(_ *procedure.Figure, f *packet.Figure) []string {
	if len(r.Unit.Isolate) == 0 {
		return []string{"unit.isolate"}
	}
	if kind := r.Unit.Machine; kind != nil && kind.Place("suction") == nil && kind.Place("discharge") == nil {
		f.Texts["machine"] = r.Unit.ID // its points around a box: the pump's pipes are not its own
	}
	for _, p := range r.Unit.Isolate {
		f.Lists["points"] = append(f.Lists["points"], p.Point.S)
		f.Lists["energies"] = append(f.Lists["energies"], p.Energy.S)
		f.Lists["devices"] = append(f.Lists["devices"], p.Device.S)
		// A point that does not say where it is stands apart in the sketch: a
		// guess from its name could put a lock on the wrong valve.
		spot := p.Spot.S
		switch {
		case p.Role() == record.IsDrive:
			spot = record.IsDrive
		case spot == "":
			spot = record.IsElsewhere
		}
		f.Lists["at"] = append(f.Lists["at"], spot)
	}
	return nil
}

// taken fills in what the template does not say and the records do, as the unit's kind
// of machine has it. It gives the names of what is not on record.
func (r *run) taken(f *packet.Figure) []string {
	var missing []string
	takes, _ := r.Book.Draws(r.Unit.Machine, f.Name)
	for _, p := range takes {
		if _, given := f.Numbers[p.Key]; given || f.Texts[p.Key] != "" {
			continue
		}
		v, typ, ok := r.OnRecord(p.Name.S)
		switch {
		case !ok && !p.Optional:
			missing = append(missing, p.Name.S)
		case !ok:
		case typ.Sort == formula.Quantity:
			f.Numbers[p.Key] = forDrawing(quantity.OfType(v.SI, typ.Quantity))
		case typ.Sort == formula.YesNo:
			f.Texts[p.Key] = map[bool]string{true: "yes", false: "no"}[v.Yes]
		default:
			f.Texts[p.Key] = strings.ReplaceAll(v.Text, " ", "-")
		}
	}
	return missing
}

func (r *run) stripSystem(_ *procedure.Figure, f *packet.Figure) []string {
	f.Numbers["us"] = float64(r.System)
	return nil
}

// wearPlaces names the places that the wear sheet asks for.
func (r *run) wearPlaces(_ *procedure.Figure, f *packet.Figure) []string {
	if r.Size == nil {
		return nil
	}
	for _, name := range r.Size.FeatureOrder {
		if w := r.Size.Features[name]; w.Points.S == f.Texts["part"] {
			for _, p := range w.Places {
				if !slices.Contains(f.Lists["places"], p.S) {
					f.Lists["places"] = append(f.Lists["places"], p.S)
				}
			}
		}
	}
	return nil
}

// apart parts the drawings that stand side by side where they fit from those that
// are 1:1, which stand each by itself.
func apart(figs []packet.Figure) (out, exact []packet.Block) {
	var scaled []packet.Figure
	for _, f := range figs {
		if f.Exact {
			exact = append(exact, packet.Block{Figures: []packet.Figure{f}})
		} else {
			scaled = append(scaled, f)
		}
	}
	if len(scaled) > 0 {
		out = []packet.Block{{Figures: scaled}}
	}
	return out, exact
}
