package compose

import (
	"cmp"
	"fmt"
	"strings"

	"jobsheaf/internal/compute"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
)

// jobSheet says what the job is, who does it, and what to pull before it starts.
// The table of instruments belongs at the index that it gives, once they are known.
func (r *run) jobSheet() (s packet.Sheet, instrumentsAt int) {
	s = packet.Sheet{ID: "job", Title: r.Word("job.title")}
	add := func(b ...packet.Block) { s.Blocks = append(s.Blocks, b...) }
	add(packet.Block{Facts: &packet.Facts{Columns: 3, Rows: r.identity()}})
	if items := r.items(r.Procedure.Scope, ""); len(items) > 0 {
		add(heading(2, r.Word("job.scope")), packet.Block{List: &packet.List{Items: items}})
	}
	if len(r.Unit.Notes) > 0 {
		add(heading(2, r.Word("job.notes")), packet.Block{List: &packet.List{Items: sayings(r.Unit.Notes)}})
	}
	if r.Procedure.Job.Kits {
		for _, t := range []*packet.Table{r.kits(), r.supplies()} {
			if t != nil {
				add(packet.Block{Table: t})
			}
		}
	}
	for _, part := range []struct {
		key  string
		list []procedure.Item
	}{{"job.parts", r.Procedure.Job.Parts}, {"job.tools", r.Procedure.Job.Tools}, {"job.papers", r.Procedure.Job.Papers}} {
		if items := r.items(part.list, part.key); len(items) > 0 {
			add(heading(2, r.Word(part.key)), packet.Block{List: &packet.List{Tick: true, Items: items}})
		}
	}
	instrumentsAt = len(s.Blocks)
	if t := r.lifting(); t != nil {
		add(packet.Block{Table: t})
		add(packet.Block{Para: &packet.Para{Small: true, Text: packet.Say(r.Word("lifting.note"))}})
	}
	if figs := r.figures(r.Procedure.Job.Figures); len(figs) > 0 {
		add(packet.Block{Figures: figs})
	}
	add(packet.Block{Notes: &packet.Notes{ID: r.places.id("job", "notes"), Title: r.Word("job.marks"), Lines: 6}})
	return s, instrumentsAt
}

// identity is which unit, how it is built and what it does.
func (r *run) identity() []packet.Fact {
	fact := func(key string, value packet.Phrase) packet.Fact {
		return packet.Fact{Label: r.Word("fact." + key), Value: value}
	}
	rows := []packet.Fact{fact("unit", packet.Phrase{{Text: cmp.Or(r.Unit.ID, compute.Ruled), Style: packet.Strong}, {Text: " " + r.Unit.Name.S}})}
	for _, f := range []struct{ key, name string }{{"area", "unit.area"}, {"design", "unit.design"}, {"size", "unit.size"}, {"serial", "unit.serial"}} {
		rows = append(rows, fact(f.key, r.Named(f.name)))
	}
	rows = append(rows, fact("procedure", packet.Say(r.Plain(r.Procedure.Title))))
	rows = append(rows, fact("day", packet.Say(r.Job.Day.S)))
	if r.Job.Crew.Known() {
		rows = append(rows, fact("crew", packet.Say(r.Job.Crew.S)))
	}
	hours := r.pointed(r.Job.Hours.S)
	if hours == "" && r.Procedure.Hours != nil {
		hours = r.pointed(r.Procedure.Hours.Plain())
	}
	if n := r.people(); n > 0 {
		rows = append(rows, fact("people", packet.Say(fmt.Sprint(n))))
	}
	if hours != "" {
		rows = append(rows, fact("hours", packet.Say(hours)))
	}
	for _, n := range r.c.terms {
		head, _, _ := strings.Cut(n, ".")
		t := r.Book.Terms[n]
		if t.Of != "" || head != "built" && head != "duty" && head != "drive" {
			continue
		}
		if _, ok := r.Book.Scalar(r.Unit, n); ok || r.Blank {
			rows = append(rows, packet.Fact{Label: r.What(t), Value: r.Recorded(t)})
		}
	}
	return rows
}

// kits is what to pull: the kits of the design that fit this unit's build and
// serial number. Where the records do not say, the sheet says to ask.
func (r *run) kits() *packet.Table {
	if r.Size == nil {
		return nil
	}
	t := r.table("kits", column{"kit", 2, 0}, column{"number", 2, 0}, column{"items", 4, 0}, column{"pulled", 1, 0})
	for i, k := range r.Size.Kits {
		yes, sure := r.WantsKit(i)
		if !yes {
			continue
		}
		fits, known := k.ForSerial(r.Unit.Serial)
		if known && !fits {
			continue
		}
		number := packet.Phrase{{Text: k.Number.S, Style: packet.Strong}}
		if !k.Number.Known() {
			number = r.NotOnRecord(k.Kit.S, "kits")
		}
		if !sure || !known {
			number = append(number, packet.Span{Text: " " + r.Word("kits.ask"), Style: packet.Missing})
		}
		t.Rows = append(t.Rows, packet.Row{Cells: []packet.Cell{
			{Text: packet.Say(k.Kit.S)}, {Text: number}, {Text: packet.Say(joined(k.Items))},
			{Blanks: []packet.Blank{{ID: r.places.id("kit", slug(k.Kit.S)), Kind: packet.Tick}}},
		}})
	}
	if len(t.Rows) == 0 {
		t.Rows = append(t.Rows, packet.Row{Cells: []packet.Cell{{Text: r.NotOnRecord(t.Title, "kits")}, {Text: packet.Say(r.Word("kits.ask"))}, {},
			{Blanks: []packet.Blank{{ID: r.places.id("kit", "none"), Kind: packet.Tick}}}}})
	}
	t.Note = packet.Say(r.Word("kits.note"))
	return t
}

func joined(list []record.Text) string {
	var s []string
	for _, t := range list {
		s = append(s, t.S)
	}
	return strings.Join(s, "; ")
}

// supplies is what is used up.
func (r *run) supplies() *packet.Table {
	if r.Size == nil || len(r.Size.Supplies) == 0 {
		return nil
	}
	t := r.table("supplies", column{"item", 2, 0}, column{"amount", 1, 0}, column{"where", 3, 0}, column{"pulled", 1, 0})
	for i, s := range r.Size.Supplies {
		if !r.WantsSupply(i) {
			continue
		}
		amount := packet.Say(r.Word("supplies.by_steps"))
		if s.Amount.Known() {
			amount = packet.Say(r.pointed(s.Amount.S))
		}
		t.Rows = append(t.Rows, packet.Row{Cells: []packet.Cell{{Text: packet.Say(s.Item.S)}, {Text: amount}, {Text: packet.Say(s.Where.S)},
			{Blanks: []packet.Blank{{ID: r.places.id("supply", slug(s.Item.S)), Kind: packet.Tick}}}}})
	}
	return t
}

// lifting is the mass of each assembly and what it needs; nil where the procedure
// says nothing of lifting.
func (r *run) lifting() *packet.Table {
	values := r.Shown(procedure.PerAssembly)
	if r.Size == nil || len(r.Size.AssemblyOrder) == 0 || len(values) == 0 {
		return nil
	}
	t := r.table("lifting", column{"what", 3, 0}, column{"mass", 2, 0})
	for _, v := range values {
		t.Columns = append(t.Columns, packet.Column{Title: r.Plain(v.What), Weight: 2})
	}
	for _, name := range r.Size.AssemblyOrder {
		a := r.Size.Assemblies[name]
		cells := []packet.Cell{{Text: packet.Say(a.What.S)}, {Text: r.MemberText(procedure.PerAssembly, name, "mass")}}
		for _, v := range values {
			cells = append(cells, packet.Cell{Text: r.Number(r.Result(v, name), procedure.Whole)})
		}
		t.Rows = append(t.Rows, packet.Row{Cells: cells})
	}
	return t
}
