package compose

import (
	"cmp"
	"fmt"
	"strings"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
)

// jobSheet says what the job is, who does it, and what to pull before it starts.
// The table of instruments belongs at the index that it gives, once they are known.
func (r *run) jobSheet() (s packet.Sheet, instrumentsAt int) {
	s = packet.Sheet{ID: "job", Title: r.word("job.title")}
	add := func(b ...packet.Block) { s.Blocks = append(s.Blocks, b...) }
	add(packet.Block{Facts: &packet.Facts{Columns: 3, Rows: r.identity()}})
	if items := r.items(r.plan.proc.Scope, ""); len(items) > 0 {
		add(heading(2, r.word("job.scope")), packet.Block{List: &packet.List{Items: items}})
	}
	if len(r.unit.Notes) > 0 {
		add(heading(2, r.word("job.notes")), packet.Block{List: &packet.List{Items: sayings(r.unit.Notes)}})
	}
	if r.plan.proc.Job.Kits {
		for _, t := range []*packet.Table{r.kits(), r.supplies()} {
			if t != nil {
				add(packet.Block{Table: t})
			}
		}
	}
	for _, part := range []struct {
		key  string
		list []procedure.Item
	}{{"job.parts", r.plan.proc.Job.Parts}, {"job.tools", r.plan.proc.Job.Tools}, {"job.papers", r.plan.proc.Job.Papers}} {
		if items := r.items(part.list, part.key); len(items) > 0 {
			add(heading(2, r.word(part.key)), packet.Block{List: &packet.List{Tick: true, Items: items}})
		}
	}
	instrumentsAt = len(s.Blocks)
	if t := r.lifting(); t != nil {
		add(packet.Block{Table: t})
		add(packet.Block{Para: &packet.Para{Small: true, Text: packet.Say(r.word("lifting.note"))}})
	}
	if figs := r.figures(r.plan.proc.Job.Figures); len(figs) > 0 {
		add(packet.Block{Figures: figs})
	}
	add(packet.Block{Notes: &packet.Notes{ID: r.places.id("job", "notes"), Title: r.word("job.marks"), Lines: 6}})
	return s, instrumentsAt
}

// identity is which unit, how it is built and what it does.
func (r *run) identity() []packet.Fact {
	fact := func(key string, value packet.Phrase) packet.Fact {
		return packet.Fact{Label: r.word("fact." + key), Value: value}
	}
	rows := []packet.Fact{fact("unit", packet.Phrase{{Text: cmp.Or(r.unit.ID, ruled), Style: packet.Strong}, {Text: " " + r.unit.Name.S}})}
	for _, f := range []struct{ key, name string }{{"area", "unit.area"}, {"design", "unit.design"}, {"size", "unit.size"}, {"serial", "unit.serial"}} {
		rows = append(rows, fact(f.key, r.named(f.name)))
	}
	rows = append(rows, fact("procedure", packet.Say(r.plain(r.plan.proc.Title))))
	rows = append(rows, fact("day", packet.Say(r.job.Day.S)))
	if r.job.Crew.Known() {
		rows = append(rows, fact("crew", packet.Say(r.job.Crew.S)))
	}
	hours := r.pointed(r.job.Hours.S)
	if hours == "" && r.plan.proc.Hours != nil {
		hours = r.pointed(r.plan.proc.Hours.Plain())
	}
	if n := r.people(); n > 0 {
		rows = append(rows, fact("people", packet.Say(fmt.Sprint(n))))
	}
	if hours != "" {
		rows = append(rows, fact("hours", packet.Say(hours)))
	}
	for _, n := range r.c.terms {
		head, _, _ := strings.Cut(n, ".")
		t := r.c.book.Terms[n]
		if t.Of != "" || head != "built" && head != "duty" && head != "drive" {
			continue
		}
		if _, ok := r.c.book.Scalar(r.unit, n); ok || r.c.Blank {
			rows = append(rows, packet.Fact{Label: r.what(t), Value: r.recorded(n)})
		}
	}
	return rows
}

// kits is what to pull: the kits of the design that fit this unit's build and
// serial number. Where that cannot be told, the sheet says to ask.
func (r *run) kits() *packet.Table {
	if r.size == nil {
		return nil
	}
	t := r.table("kits", column{"kit", 2, 0}, column{"number", 2, 0}, column{"items", 4, 0}, column{"pulled", 1, 0})
	for i, k := range r.size.Kits {
		yes, sure := r.wanted(r.pulled.kits[i])
		if !yes {
			continue
		}
		fits, known := k.ForSerial(r.unit.Serial)
		if known && !fits {
			continue
		}
		number := packet.Phrase{{Text: k.Number.S, Style: packet.Strong}}
		if !k.Number.Known() {
			number = r.notOnRecord(k.Kit.S, []string{"kits"})
		}
		if !sure || !known {
			number = append(number, packet.Span{Text: " " + r.word("kits.ask"), Style: packet.Missing})
		}
		t.Rows = append(t.Rows, packet.Row{Cells: []packet.Cell{
			{Text: packet.Say(k.Kit.S)}, {Text: number}, {Text: packet.Say(joined(k.Items))},
			{Blanks: []packet.Blank{{ID: r.places.id("kit", slug(k.Kit.S)), Kind: packet.Tick}}},
		}})
	}
	if len(t.Rows) == 0 {
		t.Rows = append(t.Rows, packet.Row{Cells: []packet.Cell{{Text: r.notOnRecord(t.Title, []string{"kits"})}, {Text: packet.Say(r.word("kits.ask"))}, {},
			{Blanks: []packet.Blank{{ID: r.places.id("kit", "none"), Kind: packet.Tick}}}}})
	}
	t.Note = packet.Say(r.word("kits.note"))
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
	if r.size == nil || len(r.size.Supplies) == 0 {
		return nil
	}
	t := r.table("supplies", column{"item", 2, 0}, column{"amount", 1, 0}, column{"where", 3, 0}, column{"pulled", 1, 0})
	for i, s := range r.size.Supplies {
		if yes, _ := r.wanted(r.pulled.supplies[i]); !yes {
			continue
		}
		amount := packet.Say(r.word("supplies.by_steps"))
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
	values := shown(r.plan.order[perAssembly])
	if r.size == nil || len(r.size.AssemblyOrder) == 0 || len(values) == 0 {
		return nil
	}
	t := r.table("lifting", column{"what", 3, 0}, column{"mass", 2, 0})
	for _, v := range values {
		t.Columns = append(t.Columns, packet.Column{Title: r.plain(v.src.What), Weight: 2})
	}
	for _, name := range r.size.AssemblyOrder {
		a := r.size.Assemblies[name]
		cells := []packet.Cell{{Text: packet.Say(a.What.S)}, {Text: r.memberText(perAssembly, name, "mass")}}
		for _, v := range values {
			cells = append(cells, packet.Cell{Text: r.number(r.result(v.of(name)), "")})
		}
		t.Rows = append(t.Rows, packet.Row{Cells: cells})
	}
	return t
}

// shown are the values of a group that have a column of their own.
func shown(list []*value) []*value {
	var out []*value
	for _, v := range list {
		if v.given {
			out = append(out, v)
		}
	}
	return out
}
