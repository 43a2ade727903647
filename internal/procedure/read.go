package procedure

import (
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/order"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/source"
)

// template is one document as it stands, before fragments are worked in. A
// fragment is the same as a procedure, without what only a whole job has.
type template struct {
	Procedure
	fragment bool
	builtIn  bool
	use      []Ref
	places   []place // of the stages
	put      []put
	doc      *source.Doc
}

// place is where a stage stands: a stage of the template's own, or those of a
// fragment.
type place struct {
	own  *Stage
	use  *Ref
	when *formula.Expr // of the fragment's stages
}

// mostPages is the highest budget that a procedure may set itself: more is no
// packet that anybody reads.
const mostPages = 100

// readTemplate reads a document; what is wrong is in the document's problems.
func readTemplate(d *source.Doc) *template {
	t := &template{fragment: d.Kind == "fragment", doc: d, Procedure: Procedure{Name: d.ID, at: d.At}}
	m := d.Root
	if m == nil {
		return t
	}
	m.Need(`revision: "1"`, "language: en")
	t.Name = m.Name(d.Kind).S
	t.Revision = m.Text("revision").S
	t.language = m.Language("language").S
	if !t.fragment {
		m.Need("title: Reset the end clearance", "stages: [{stage: Look, steps: [{do: Look at the seal.}]}]")
		t.Title = textOf(m.Text("title"))
		for _, k := range oneOrMore(m, "machine") {
			t.Machines = append(t.Machines, *refOf(k))
		}
		t.For = exprOf(m.Text("for"))
		t.People = int(m.Whole("people", 1, 20).Value.SI())
		if h := m.Amount("hours", quantity.KindTime, source.Within(quantity.KindTime, "0.1 h", "1000 h")); h.Known() {
			t.Hours = &h.Value
		}
		if n := m.Whole("pages", 1, mostPages); n.Known() {
			t.Pages, t.PagesAt = int(n.Value.SI()), n.Text.Pos(0)
		}
		if yes, ok := m.YesNo("strip"); ok {
			t.Strip = &yes
		}
	}
	for _, u := range m.Texts("use") {
		t.use = append(t.use, *refOf(u))
	}
	t.Scope = items(m, "scope", false)
	t.values = values(m, "values", Single)
	t.eachJoint = values(m, "each_joint", PerJoint)
	t.eachFeature = values(m, "each_feature", PerFeature)
	t.eachAssembly = values(m, "each_assembly", PerAssembly)
	t.Cover = cover(m.Map("cover"))
	t.Job = jobSheet(m.Map("job"))
	t.Numbers = numbers(m.Map("numbers"))
	t.Wear = wear(m.Map("wear"))
	for _, e := range m.Map("holds").Entries() {
		h := Hold{Ref{e.Key.S, e.Key.At}, exprOf(e.Value.Text())}
		if !slices.Contains(order.Facts(), h.Fact.Name) {
			e.Key.Errorf(0, "does", diag.OneOf(h.Fact.Name, order.Facts()), "no rule of order asks whether a unit holds %s", source.Quote(h.Fact.Name))
		}
		t.Holds = append(t.Holds, h)
	}
	for _, v := range m.List("stages") {
		if p, ok := stage(v.Map()); ok {
			t.places = append(t.places, p)
		}
	}
	t.put = puts(m)
	m.Done()
	for _, list := range t.groups() {
		for i := range list {
			list[i].Language = t.language
		}
	}
	return t
}

// oneOrMore reads a text or a list of texts.
func oneOrMore(m *source.Map, key string) []source.Text {
	if v, ok := m.Value(key); ok && !v.IsList() {
		if t := v.Text(); t.Known() {
			return []source.Text{t}
		}
		return nil
	}
	return m.Texts(key)
}

// values reads a mapping of named values of a group.
func values(m *source.Map, key string, group Group) []Value {
	var out []Value
	for _, e := range m.Map(key).Entries() {
		if !source.IsWord(e.Key.S) {
			e.Key.Errorf(0, "name", "use lower-case letters, digits and single underscores, such as lock_nut_torque", "%s cannot be the name of a value", source.Quote(e.Key.S))
			continue
		}
		if v, ok := value(e, group); ok {
			out = append(out, v)
		}
	}
	return out
}

func value(e source.Entry, group Group) (Value, bool) {
	m := e.Value.Map()
	if m == nil {
		return Value{}, false
	}
	m.Need("what: Travel from mark to mark")
	v := Value{
		Name: e.Key.S, Group: group, At: e.Key.At, BuiltIn: strings.HasPrefix(e.Key.At.File, source.BuiltIn), What: textOf(m.Text("what")), Source: textOf(m.Text("source")),
		is: exprOf(m.Text("is")), low: exprOf(m.Text("low")), high: exprOf(m.Text("high")), target: exprOf(m.Text("target")),
		Instrument: refOf(m.Text("instrument")), Finer: refOf(m.Text("finer")),
	}
	if m.Has("reads") {
		v.Reads = textOf(m.Text("reads"))
	}
	if m.Has("letters") {
		if !m.Has("reads") {
			m.Errorf("letters", "value", "add reads: and the formula as a handbook has it", "the value %s has letters and no formula that they stand in", v.Name)
		}
		for _, l := range m.Map("letters").Entries() {
			if name := refOf(l.Value.Text()); name != nil {
				v.Letters = append(v.Letters, Letter{l.Key.S, *name})
			}
		}
	}
	if m.Has("finer") && !m.Has("instrument") {
		m.Errorf("finer", "value", "add instrument: and the coarser one", "the value %s has a finer instrument and none that it is finer than", v.Name)
	}
	band := m.Has("low") || m.Has("high")
	switch {
	case m.Has("is") && (band || m.Has("target")):
		m.Errorf("is", "value", "write is: for one value, or low:, high: and target: for a band", "the value %s is one value and a band at once", v.Name)
	case !m.Has("is") && !band:
		e.Key.Errorf(0, "value", "write is: for one value, or low: and high: for a band", "the value %s has no formula", v.Name)
	}
	if t := m.Text("show"); t.Known() {
		v.ShowAt = t.Pos(0)
		if t.S == "text" {
			v.Show = &quantity.Show{}
		} else if s, err := quantity.ParseShow(t.S); err != nil {
			t.QuantityError(err)
		} else {
			v.Show = &s
		}
	}
	v.Paper = paper(m)
	if group != Single { // a single one stands in a row of the table, which says it
		v.Annex, _ = m.YesNo("annex")
	}
	m.Done()
	return v, true
}

// items reads a list whose entries are texts or {say: ..., when: ...}; annex says
// whether an entry may stand in the annex alone.
func items(m *source.Map, key string, annex bool) []Item {
	var out []Item
	for _, v := range m.List(key) {
		if !v.IsMap() {
			if say := textOf(v.Text()); !say.Empty() {
				out = append(out, Item{Say: say})
			}
			continue
		}
		e := v.Map()
		e.Need("say: Soft-face hammer")
		item := Item{Say: textOf(e.Text("say")), When: exprOf(e.Text("when"))}
		if annex {
			item.Annex, _ = e.YesNo("annex")
		}
		out = append(out, item)
		e.Done()
	}
	return out
}

// named reads a list whose entries are names or {KEY: name, ...}; rest reads what
// stands beside the name.
func named(m *source.Map, list, key string, each func(Ref, *source.Map)) {
	for _, v := range m.List(list) {
		if !v.IsMap() {
			if r := refOf(v.Text()); r != nil {
				each(*r, nil)
			}
			continue
		}
		e := v.Map()
		e.Need(key + ": NAME")
		if r := refOf(e.Text(key)); r != nil {
			each(*r, e)
			e.Done()
		}
	}
}

var signals = []string{"danger", "warning", "caution", "notice"}

func cover(m *source.Map) (c Cover) {
	for _, v := range m.List("hazards") {
		h := v.Map()
		h.Need("signal: danger", "say: Hot surface.")
		c.Hazards = append(c.Hazards, Alert{
			Signal: Signal(h.OneOf("signal", signals...).S), Say: textOf(h.Text("say")), When: exprOf(h.Text("when")),
		})
		h.Done()
	}
	named(m, "wear", "sign", func(r Ref, e *source.Map) {
		if e == nil {
			m.Doc().Errorf(r.At, "missing-key", "write it as {sign: gloves, say: Nitrile gauntlets}", "what is worn is not said in words")
		}
		e.Need("say: Nitrile gauntlets")
		c.Wear = append(c.Wear, Sign{Sign: r, Say: textOf(e.Text("say")), When: exprOf(e.Text("when"))})
	})
	c.FirstAid, c.Prove, c.Stop = items(m, "first_aid", false), items(m, "prove", false), items(m, "stop", false)
	m.Done()
	return c
}

func jobSheet(m *source.Map) JobSheet {
	j := JobSheet{Tools: items(m, "tools", true), Papers: items(m, "papers", true), Parts: items(m, "parts", true), Figures: figures(m)}
	j.Kits, _ = m.YesNo("kits")
	m.Done()
	return j
}

func numbers(m *source.Map) (n Numbers) {
	named(m, "joints", "joint", func(r Ref, e *source.Map) {
		n.Joints = append(n.Joints, Joint{Joint: r, When: exprOf(e.Text("when"))})
	})
	named(m, "table", "value", func(r Ref, e *source.Map) {
		row := Row{Value: r, How: textOf(e.Text("how")), When: exprOf(e.Text("when"))}
		row.Annex, _ = e.YesNo("annex")
		row.Index = textOf(e.Text("index"))
		n.Table = append(n.Table, row)
	})
	n.Figures = figures(m)
	m.Done()
	return n
}

func wear(m *source.Map) (w Wear) {
	if v, ok := m.Value("features"); ok && !v.IsList() {
		if t := v.Text(); t.Known() && t.S != "all" {
			t.Errorf(0, "one-of", "write features: all, or features: [shaft_journal, ...]", "found %s where all or a list of features is wanted", source.Quote(t.S))
		}
		w.All = true
	} else {
		for _, t := range m.Texts("features") {
			w.Features = append(w.Features, *refOf(t))
		}
	}
	for _, t := range m.Texts("renews") {
		w.Renews = append(w.Renews, *refOf(t))
	}
	w.Figures = figures(m)
	m.Done()
	return w
}

// figures reads the key figures, a list of names or {figure: NAME, ...}.
func figures(m *source.Map) []Figure {
	var out []Figure
	named(m, "figures", "figure", func(r Ref, e *source.Map) {
		f := Figure{Figure: r, Joint: refOf(e.Text("joint")), Feature: refOf(e.Text("feature")), Caption: textOf(e.Text("caption")), When: exprOf(e.Text("when"))}
		f.Annex, _ = e.YesNo("annex")
		for _, n := range e.Map("numbers").Entries() {
			if is := exprOf(n.Value.Text()); is != nil {
				f.Numbers = append(f.Numbers, Number{Key: n.Key.S, Is: is})
			}
		}
		for _, l := range e.Map("texts").Entries() {
			f.Texts = append(f.Texts, Label{Key: l.Key.S, Say: textOf(l.Value.Text())})
		}
		out = append(out, f)
	})
	return out
}
