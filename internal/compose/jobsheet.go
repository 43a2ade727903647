package compose

import (
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/compute"
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// jobSheet says on its first page what the job is and what to fetch for it, and on its
// second shows the machine, with room for its marks and what is lifted.
func (r *run) jobSheet() packet.Sheet {
	s := packet.Sheet{ID: "job", Title: r.Word("job.title"), Pages: 2}
	add := func(b ...packet.Block) { s.Blocks = append(s.Blocks, b...) }
	add(packet.Block{Facts: &packet.Facts{Columns: 3, Rows: r.identity()}})
	said := func(key string, texts ...packet.Phrase) {
		p := packet.Phrase{{Text: r.Word(key), Style: packet.Strong}}
		for _, t := range texts {
			p = append(append(p, packet.Span{Text: " "}), t...)
		}
		if len(texts) > 0 {
			add(packet.Block{Para: &packet.Para{Text: p}})
		}
	}
	if r.Job.Reason.Known() {
		said("job.reason", packet.Say(r.Job.Reason.S))
	}
	said("job.scope", texts(r.items(r.Procedure.Scope, ""))...)
	said("job.notes", texts(sayings(r.Unit.Notes))...)
	r.need = packet.Needs{}
	ticked := func(key string, items []packet.ListItem) {
		if len(items) > 0 {
			add(titled(r.Word(key), packet.List{Tick: true, Items: items})...)
		}
	}
	var fetch []packet.ListItem
	if r.Size != nil && r.Procedure.Job.Kits {
		fetch = append(r.kits(), r.supplies()...)
	}
	parts, needed := r.wanted(r.Procedure.Job.Parts, "job.parts")
	r.need.Parts = needed
	ticked("job.parts", append(fetch, parts...))
	tools, needed := r.wanted(r.Procedure.Job.Tools, "job.tools")
	for _, it := range needed {
		if slices.ContainsFunc(it.Asks, func(a packet.Amount) bool { return a.Kind == quantity.KindVolume.String() }) {
			r.need.Containers = append(r.need.Containers, it)
		} else {
			r.need.Tools = append(r.need.Tools, it)
		}
	}
	papers, _ := r.wanted(r.Procedure.Job.Papers, "job.papers")
	wrenches, needed := r.wrenches()
	r.need.Tools = append(r.need.Tools, needed...)
	ticked("job.tools", slices.Concat(tools, wrenches, papers))
	add(packet.Block{Table: r.paperNumbers()})
	r.instruments = r.instrumentTable()
	add(packet.Block{Table: r.instruments})

	if figs := r.figuresFor(r.Procedure.Job.Figures); len(figs) > 0 {
		figs[0].Index = r.Word("index.machine")
		add(packet.Block{Figures: figs})
	}
	if !r.isShort() { // a short job takes nothing apart
		add(packet.Block{Notes: &packet.Notes{ID: r.places.id("job", "notes"), Title: r.Word("job.marks"), Lines: 4, Ask: &manifest.Ask{For: manifest.ForWords}}})
	}
	return s
}

// texts gives the texts of a list's items.
func texts(items []packet.ListItem) []packet.Phrase {
	out := make([]packet.Phrase, len(items))
	for i := range items {
		out[i] = items[i].Text
	}
	return out
}

// paperNumbers is where the permit's number is written down, and why the job is done
// where the list does not say.
func (r *run) paperNumbers() *packet.Table {
	t := &packet.Table{ID: "papers"}
	cells := []packet.Cell{}
	write := func(key string, weight float64, n int) {
		t.Columns = append(t.Columns, packet.Column{Title: r.Word("papers." + key), Weight: weight})
		cells = append(cells, packet.Cell{Blanks: []packet.Blank{{ID: r.places.id("papers", key), Kind: packet.Words, Characters: n, Ask: &manifest.Ask{For: manifest.ForWords}}}})
	}
	write("serial", 1, 8)
	write("permit", 1, 8)
	if r.Unit.HasLiquid() {
		write("revision", 1, 6) // of the liquid's data sheet
	}
	if !r.Job.Reason.Known() {
		write("reason", 4, 8)
	}
	t.Rows = []packet.Row{{Cells: cells}}
	return t
}

// identity is which unit and how it is built, in what decides what is done: an amount
// stands where it is used.
func (r *run) identity() []packet.Fact {
	fact := func(key string, value packet.Phrase) packet.Fact {
		return packet.Fact{Label: r.Word("fact." + key), Value: value}
	}
	var rows []packet.Fact
	for _, f := range []struct{ key, name string }{{"area", "unit.area"}, {"design", "unit.design"}, {"size", "unit.size"}, {"serial", "unit.serial"}} {
		rows = append(rows, fact(f.key, r.Named(f.name)))
	}
	var who []string
	if r.Job.Crew.Known() {
		who = append(who, r.Job.Crew.S)
	}
	if n := r.people(); n > 0 {
		who = append(who, r.WordWith("fact.people", "n", fmt.Sprint(n)))
	}
	hours := r.pointed(r.Job.Hours.S)
	if hours == "" && r.Procedure.Hours != nil {
		hours = r.pointed(r.Procedure.Hours.Plain())
	}
	if hours != "" {
		who = append(who, hours)
	}
	if len(who) > 0 {
		rows = append(rows, fact("crew", packet.Say(strings.Join(who, ", "))))
	}
	for _, n := range r.c.terms {
		t := r.Book.TermOf(r.Unit, n)
		if t.Fact == "" || !t.OfMachine(r.Unit.Machine) {
			continue
		}
		if is, ok := r.Book.Scalar(r.Unit, n); !ok && r.Blank || ok && (is.Form != record.FormYesNo || is.Yes) {
			rows = append(rows, packet.Fact{Label: r.Translate(t.Fact), Value: r.Recorded(t)})
		}
	}
	return rows
}

// wanted renders the items of a list that apply to this unit, each with a box to tick,
// and gives what the job needs by them.
func (r *run) wanted(list []procedure.Item, tick string) (items []packet.ListItem, needed []packet.Item) {
	for _, it := range list {
		text, applies := r.SayWhere(it.When, it.Say)
		switch {
		case !applies:
			r.omit(it.Say, it.When)
			continue
		case it.Annex:
			r.annexed(text, nil)
		default:
			items = append(items, supply(r.places.id(tick, fmt.Sprint(len(items)+1)), text))
		}
		needed = append(needed, r.itemNeed(text))
	}
	return items, needed
}

// supply is a line of what to bring, with its box to tick.
func supply(id string, text packet.Phrase) packet.ListItem {
	return packet.ListItem{ID: id, Text: text, Ask: &manifest.Ask{For: manifest.ForSupply}}
}

// kits is what to pull: the kits of the design that fit this unit's build and
// serial number. Where the records do not say, the sheet says to ask. What a kit holds
// stands in the week's pull list.
func (r *run) kits() []packet.ListItem {
	var out []packet.ListItem
	item := func(id string, text packet.Phrase) {
		out = append(out, supply(r.places.id("kit", id), text))
	}
	ask := packet.Span{Text: " " + r.Word("kits.ask"), Style: packet.Missing}
	for i, k := range r.Size.Kits {
		yes, sure := r.WantsKit(i)
		fits, known := k.ForSerial(r.Unit.Serial)
		if !yes || known && !fits {
			continue
		}
		kit := packet.Kit{Kit: k.Kit.S, Number: k.Number.S, Ask: !sure || !known}
		for _, it := range k.Items {
			kit.Items = append(kit.Items, it.S)
		}
		r.need.Kits = append(r.need.Kits, kit)
		text := packet.Phrase{{Text: kit.Number, Style: packet.Strong}}
		if !k.Number.Known() {
			text = r.NotOnRecord(kit.Kit, "kits")
		}
		text = append(text, packet.Span{Text: " "}, packet.Span{Text: kit.Kit})
		if kit.Ask {
			text = append(text, ask)
		}
		item(slug(kit.Kit), text)
	}
	if r.need.KitsUnknown = len(out) == 0; r.need.KitsUnknown {
		item("none", append(append(packet.Say(r.Word("unknown.kits")+" "), r.NotOnRecord("kits", "kits")...), ask))
	}
	return out
}

// supplies is what is used up.
func (r *run) supplies() []packet.ListItem {
	var out []packet.ListItem
	for i, s := range r.Size.Supplies {
		if !r.WantsSupply(i) {
			continue
		}
		r.need.Supplies = append(r.need.Supplies, packet.Supply{Item: s.Item.S, Amount: asWritten(s.Amount)})
		text := packet.Say(s.Item.S)
		if s.Amount.Known() {
			text = append(text, packet.Span{Text: ", "}, packet.Span{Text: r.pointed(s.Amount.S), Style: packet.Strong})
		}
		if s.Where.Known() { // the steps say so where it is needed
			r.annexed(packet.Say(s.Item.S), packet.Say(s.Where.S))
		}
		out = append(out, supply(r.places.id("supply", slug(s.Item.S)), text))
	}
	return out
}

// lifting is the mass of each assembly that the unit has and what it needs; nil where
// the procedure says nothing of lifting.
func (r *run) lifting() *packet.Table {
	values := r.Shown(procedure.PerAssembly)
	if r.Size == nil || len(r.Size.AssemblyOrder) == 0 || len(values) == 0 {
		return nil
	}
	t := r.titledTable("lifting", 3, column{"mass", 2, 0})
	for _, v := range values {
		for _, name := range r.Size.AssemblyOrder {
			if v.Annex && !r.unturned(name) {
				r.annexed(packet.Say(r.Plain(v.What)+": "+r.Size.Assemblies[name].What.S), r.Number(r.Result(v, name), procedure.Whole))
			}
		}
	}
	if values = slices.DeleteFunc(values, func(v *compute.Value) bool { return v.Annex }); len(values) == 0 {
		return nil
	}
	for _, v := range values {
		t.Columns = append(t.Columns, packet.Column{Title: r.Plain(v.What), Weight: 2})
	}
	whole := func(what string, mass packet.Phrase, how *compute.Result, name string) {
		cells := []packet.Cell{{Text: packet.Say(what)}, {Text: mass}}
		for _, v := range values[:len(values)-1] { // the last says how
			var is packet.Phrase
			if name != "" {
				is = r.Number(r.Result(v, name), procedure.Whole)
			}
			cells = append(cells, packet.Cell{Text: is})
		}
		t.Rows = append(t.Rows, packet.Row{Cells: append(cells, packet.Cell{Text: r.Number(how, procedure.Whole)})})
	}
	for _, name := range r.Size.AssemblyOrder {
		if r.unturned(name) {
			continue
		}
		a := r.Size.Assemblies[name]
		if mass, how := r.ResultNamed(name+lifted), r.ResultNamed(name+people); mass != nil && how != nil {
			number := r.Number(mass, procedure.Whole)
			whole(r.asLifted(name, mass.Name), number, how, name)
			continue
		}
		cells := []packet.Cell{{Text: packet.Say(a.What.S)}, {Text: r.MemberText(procedure.PerAssembly, name, "mass")}}
		for _, v := range values {
			cells = append(cells, packet.Cell{Text: r.Number(r.Result(v, name), procedure.Whole)})
		}
		t.Rows = append(t.Rows, packet.Row{Cells: cells})
	}
	if how := r.ResultNamed("pump" + people); how != nil && !how.Without {
		whole(r.Word("lifting.pump"), r.Named("pump.mass"), how, "")
	}
	return t
}

// What the names of a procedure's values end in that say of an assembly which mass is
// lifted, where more hangs on it, and how; the latter also of the whole pump.
const (
	lifted = "_lift"
	people = "_people"
)

// asLifted says what is lifted with an assembly: the others whose masses are in the sum
// that the working has of it.
func (r *run) asLifted(name, mass string) string {
	what := r.Size.Assemblies[name].What.S
	var more []string
	for _, e := range r.Working() {
		if e.Name != mass {
			continue
		}
		for _, other := range r.Size.AssemblyOrder {
			is := func(in packet.Input) bool { return in.Name == "assemblies."+other+".mass" }
			if other != name && slices.ContainsFunc(e.Inputs, is) {
				more = append(more, r.Size.Assemblies[other].What.S)
			}
		}
	}
	if len(more) == 0 {
		return what
	}
	return r.WordWith("lifting.with", "what", what, "more", strings.Join(more, ", "))
}

// unturned reports whether an assembly hangs on a joint of its name that the unit does
// not have, such as a relief valve that is not on the head.
func (r *run) unturned(name string) bool {
	for _, j := range r.Procedure.Numbers.Joints {
		if j.Joint.Name == name {
			yes, _ := r.Applies(j.When)
			return !yes
		}
	}
	return false
}
