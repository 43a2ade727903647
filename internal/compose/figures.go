package compose

import (
	"slices"
	"strings"

	"jobsheaf/internal/calc/bolting"
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
		yes, only := r.applies(list[i].When)
		if !yes || !r.shows(&list[i]) {
			continue
		}
		leave := r.enter(only)
		if f, ok := r.figure(&list[i]); ok {
			out = append(out, f)
		}
		leave()
	}
	return out
}

// shows reports whether the records have what a drawing is for: a trend needs a
// history, and a worn part a feature that is measured there. Where a design says of no
// feature where it is measured, all parts are shown.
func (r *run) shows(src *procedure.Figure) bool {
	switch {
	case src.Figure.Name == "trend":
		return r.hasTrend(src)
	case src.Figure.Name != "wear-points" || r.size == nil:
		return true
	}
	part := ""
	for _, t := range src.Texts {
		if t.Key == "part" {
			part = t.Say.Original()
		}
	}
	said := false
	for _, f := range r.size.Features {
		if f.Points.Known() && f.Points.S == part {
			return true
		}
		said = said || f.Points.Known()
	}
	return !said
}

func (r *run) figure(src *procedure.Figure) (packet.Figure, bool) {
	f := packet.Figure{
		Name: src.Figure.Name, Caption: r.say(src.Caption), Exact: src.Figure.Name == "strip" || src.Figure.Name == "scale-bar",
		Numbers: map[string]float64{}, Texts: map[string]string{}, Lists: map[string][]string{}, Series: map[string][]float64{},
	}
	var missing []string
	gap := false // a text has named what it lacks already
	for i := range src.Numbers {
		n := &src.Numbers[i]
		form := r.plan.forms[n.Is.At]
		v, gone, err := r.eval(form, single, "")
		switch {
		case err != nil:
			r.fault(err, "figure "+f.Name)
			return f, false
		case r.failing(gone) != nil && r.doubt == 0:
			r.fault(r.failing(gone), "figure "+f.Name)
			return f, false
		case gone != nil:
			missing = append(missing, gone...)
		default:
			f.Numbers[n.Key] = forDrawing(v.SI, form.Type().Quantity)
		}
	}
	for _, t := range src.Texts {
		say := r.drawn(t.Say)
		for _, s := range say {
			gap = gap || s.Style == packet.Missing || r.c.Blank && strings.Contains(s.Text, ruled)
		}
		f.Texts[t.Key] = keyless(say)
	}
	if from, ok := fromRecords[f.Name]; ok {
		missing = append(missing, from.fill(r, src, &f)...)
	}
	if len(missing) > 0 {
		r.notOnRecord("the drawing "+f.Name, missing)
	}
	return f, !gap && len(missing) == 0
}

// drawn renders a text for a drawing. A word of a record stays as it is there, in
// whatever language the pages are: the drawing knows it by that.
func (r *run) drawn(t procedure.Text) packet.Phrase {
	if len(t.Parts) == 1 {
		if s, ok := r.c.book.Scalar(r.unit, t.Parts[0].Name); ok && s.Form == record.FormWords {
			return packet.Say(s.Text)
		}
	}
	return r.say(t)
}

// forDrawing gives an amount in a drawing's units: millimetres and degrees.
func forDrawing(si float64, t quantity.Type) float64 {
	switch k, _ := t.Kind(); k {
	case quantity.KindLength:
		return si * 1000
	case quantity.KindAngle:
		u := quantity.Preferred(quantity.KindAngle, quantity.Metric)
		return si / u.Factor
	}
	return si
}

// filler fills in what a figure takes from the records and not from the template;
// fill gives the names of what is not on record.
type filler struct {
	fill  func(*run, *procedure.Figure, *packet.Figure) []string
	gives []string // texts and numbers among it; lists are always from the records
	of    string   // joint or feature, where the template has to say which
}

var fromRecords = map[string]filler{
	"bolt-circle":     {(*run).boltCircle, []string{"count", "title", "seat"}, "joint"},
	"isolation":       {(*run).isolationSketch, nil, ""},
	"section":         {fill: (*run).shape},
	"lip-seals":       {fill: (*run).shape},
	"bearing-housing": {fill: (*run).shape},
	"seal-stack":      {fill: (*run).shape},
	"gears":           {fill: (*run).shape},
	"feature":         {fill: (*run).shape},
	"relief-valve":    {(*run).suctionSide, []string{"side"}, ""},
	"strip":           {(*run).stripSystem, []string{"us"}, ""},
	"trend":           {(*run).trend, []string{"limit", "us", "title", "forecast", "earliest", "latest"}, "feature"},
	"wear-points":     {(*run).wearPlaces, nil, ""},
}

// FromRecords says which numbers and texts of a figure the records give, and
// whether its template has to name a joint or a feature for that ("" for neither).
func FromRecords(figure string) (gives []string, of string) {
	f := fromRecords[figure]
	gives = slices.Clone(f.gives)
	for _, p := range shapes[figure] {
		gives = append(gives, p.param)
	}
	return gives, f.of
}

func (r *run) boltCircle(src *procedure.Figure, f *packet.Figure) []string {
	if src.Joint == nil {
		return nil
	}
	name := src.Joint.Name
	if r.size == nil || r.size.Joints[name] == nil || !r.size.Joints[name].Count.Known() {
		return []string{"joints." + name + ".count"}
	}
	j := r.size.Joints[name]
	n := int(j.Count.Value.SI())
	turns := make([]int, n)
	if j.Order == "ring" || n < 3 {
		for i := range turns {
			turns[i] = i + 1
		}
	} else {
		order, err := bolting.CrossPattern(n)
		if err != nil {
			r.problems.Errorf(j.Count.At, "computation", "", "joint %s: %s", name, err)
			return nil
		}
		copy(turns, order)
	}
	place := make([]float64, n)
	for turn, bolt := range turns {
		place[bolt-1] = float64(turn + 1)
	}
	f.Numbers["count"], f.Series["order"] = float64(n), place
	f.Texts["title"], f.Texts["seat"] = j.What.S, record.Seats[0]
	if slices.Contains(record.Seats, j.Seat.S) { // another is drawn as the commonest
		f.Texts["seat"] = j.Seat.S
	}
	for _, v := range shown(r.plan.order[perJoint]) {
		if res := r.result(v.of(name)); strings.HasSuffix(v.src.Name, "_pass") && !res.without && len(res.missing) == 0 && res.err == nil {
			f.Lists["passes"] = append(f.Lists["passes"], r.resultText(res, ""))
		}
	}
	if n < 3 {
		return []string{"joints." + name + " (a circle has three bolts at least)"}
	}
	return nil
}

func (r *run) isolationSketch(_ *procedure.Figure, f *packet.Figure) []string {
	if len(r.unit.Isolate) == 0 {
		return []string{"unit.isolate"}
	}
	for _, p := range r.unit.Isolate {
		f.Lists["points"] = append(f.Lists["points"], p.Point.S)
		f.Lists["energies"] = append(f.Lists["energies"], p.Energy.S)
		f.Lists["devices"] = append(f.Lists["devices"], p.Device.S)
		f.Lists["puts"] = append(f.Lists["puts"], p.Put.S)
		// A point that does not say where it is stands apart in the sketch: a
		// guess from its name could put a lock on the wrong valve.
		spot := p.Spot.S
		switch {
		case spot != "":
		case p.Energy.S == "electrical" || p.Energy.S == "mechanical":
			spot = "drive"
		default:
			spot = "elsewhere"
		}
		f.Lists["at"] = append(f.Lists["at"], spot)
	}
	return nil
}

// shape is a text or number of a figure that is a value on record.
type shape struct {
	param, name string
	optional    bool // what is not on record is left to the figure
}

var teeth = []shape{{"rotor_teeth", "rotor.teeth", true}, {"idler_teeth", "idler.teeth", true}, {"odd_teeth", "rotor.odd_teeth", true}}

var shapes = map[string][]shape{
	"section":         {{"half_rings", "half_rings", false}, {"relief_valve", "built.relief_valve", false}, {"bearing", "built.thrust_bearing", false}, {"seal", "built.seal", false}},
	"lip-seals":       {{"half_rings", "half_rings", false}, {"bearing", "built.thrust_bearing", false}},
	"bearing-housing": {{"half_rings", "half_rings", false}, {"bearing", "built.thrust_bearing", false}},
	"seal-stack":      {{"type", "built.seal_type", false}, {"washer", "seal.washer", true}},
	"gears":           append([]shape{{"port_angle", "port_angle", false}}, teeth...),
	"wear-points":     teeth,
	"feature":         teeth,
}

// shape fills in what the template does not say and the records do.
func (r *run) shape(_ *procedure.Figure, f *packet.Figure) []string {
	var missing []string
	for _, p := range shapes[f.Name] {
		if _, given := f.Numbers[p.param]; given || f.Texts[p.param] != "" {
			continue
		}
		v, ok := r.c.book.Scalar(r.unit, p.name)
		switch {
		case ok && v.Form == record.FormAmount:
			f.Numbers[p.param] = forDrawing(v.Value.SI(), v.Term.Kind.Type())
		case ok && v.Form == record.FormWords:
			f.Texts[p.param] = strings.ReplaceAll(v.Text, " ", "-")
		case ok && v.Form == record.FormYesNo:
			f.Texts[p.param] = map[bool]string{true: "yes", false: "no"}[v.Yes]
		case !p.optional:
			missing = append(missing, p.name)
		}
	}
	return missing
}

func (r *run) suctionSide(_ *procedure.Figure, f *packet.Figure) []string {
	if f.Texts["side"] == "" {
		if !r.unit.Suction.Known() {
			return []string{"unit.suction"}
		}
		f.Texts["side"] = r.unit.Suction.S
	}
	if r.size != nil && r.size.Joints["head"] != nil && r.size.Joints["head"].Count.Known() {
		f.Numbers["head_bolts"] = r.size.Joints["head"].Count.Value.SI()
	}
	return nil
}

func (r *run) stripSystem(_ *procedure.Figure, f *packet.Figure) []string {
	f.Numbers["us"] = float64(r.system)
	return nil
}

// wearPlaces names the places that the wear sheet asks for.
func (r *run) wearPlaces(src *procedure.Figure, f *packet.Figure) []string {
	r.shape(src, f)
	if r.size == nil {
		return nil
	}
	for _, name := range r.size.FeatureOrder {
		if w := r.size.Features[name]; w.Points.S == f.Texts["part"] {
			for _, p := range w.Places {
				if !slices.Contains(f.Lists["places"], p.S) {
					f.Lists["places"] = append(f.Lists["places"], p.S)
				}
			}
		}
	}
	return nil
}
