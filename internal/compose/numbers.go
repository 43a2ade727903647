package compose

import (
	"fmt"
	"slices"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
)

// numbersSheet is every number of this unit that is set or checked: torques,
// clearances, and the drawings that go with them.
func (r *run) numbersSheet() packet.Sheet {
	s := packet.Sheet{ID: "numbers", Title: r.word("numbers.title")}
	if t := r.torques(); t != nil {
		s.Blocks = append(s.Blocks, packet.Block{Table: t})
	}
	measured, worked := r.clearances()
	figures, exact := apart(r.figures(r.plan.proc.Numbers.Figures))
	if measured != nil {
		s.Blocks = append(s.Blocks, packet.Block{Table: measured})
	}
	s.Blocks = append(s.Blocks, figures...)
	if worked != nil {
		s.Blocks = append(s.Blocks, packet.Block{Table: worked})
	}
	s.Blocks = append(s.Blocks, exact...) // cut out: on a page of its own where it fits none
	return s
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

// torques is the table of the bolted joints that the job turns.
func (r *run) torques() *packet.Table {
	var names []string
	for _, j := range r.plan.proc.Numbers.Joints {
		if yes, _ := r.applies(j.When); yes {
			names = append(names, j.Joint.Name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	t := r.table("torque", column{"joint", 3, 0})
	values := shown(r.plan.order[perJoint])
	// What is no torque stands below the joint, so that the torques have room.
	var others []*value
	for _, v := range values {
		if k, _ := v.typ.Quantity.Kind(); k != quantity.KindTorque {
			others = append(others, v)
		}
	}
	values = slices.DeleteFunc(slices.Clone(values), func(v *value) bool { return slices.Contains(others, v) })
	for _, v := range values {
		t.Columns = append(t.Columns, packet.Column{Title: r.plain(v.src.What), Weight: 2})
	}
	t.Columns = append(t.Columns, packet.Column{Title: r.word("torque.used"), Weight: 1})
	for _, name := range names {
		joint := r.jointText(name)
		for _, v := range others {
			joint = append(joint, packet.Span{Text: "\n" + r.plain(v.src.What) + " "})
			joint = append(joint, r.held(r.result(v.of(name)), ", ")...)
		}
		cells := []packet.Cell{{Text: joint}}
		unit, missing := "", ""
		for _, v := range values {
			res := r.result(v.of(name))
			cells = append(cells, packet.Cell{Text: r.number(res, "")})
			if v.src.Name == "torque" || unit == "" {
				unit, missing = res.show.Grain[r.system].Unit.Symbol, r.lack(res.missing)
			}
		}
		cells = append(cells, packet.Cell{Blanks: []packet.Blank{
			{ID: r.places.id("torque", name, "used"), Kind: packet.Reading, Unit: unit, Characters: 5, NotOnRecord: missing},
			{ID: r.places.id("torque", name, "wrench"), Kind: packet.Words, Label: r.word("torque.wrench"), Characters: 5},
		}})
		r.places.wait("joints."+name+".torque", &cells[len(cells)-1])
		t.Rows = append(t.Rows, packet.Row{Cells: cells})
	}
	t.Note = packet.Say(r.word("torque.note"))
	return t
}

// jointText is a joint with its count, size, grade, seat and condition.
func (r *run) jointText(name string) packet.Phrase {
	if r.size == nil || r.size.Joints[name] == nil {
		return append(packet.Phrase{{Text: name + " "}}, r.notOnRecord(r.word("torque.title"), []string{"joints." + name})...)
	}
	j := r.size.Joints[name]
	p := packet.Phrase{{Text: j.What.S, Style: packet.Strong}, {Text: ": "}}
	if !j.What.Known() {
		p[0].Text = name
	}
	part := func(lead, prop string) {
		p = append(p, packet.Span{Text: lead})
		p = append(p, r.memberText(perJoint, name, prop)...)
	}
	part("", "count")
	part(" × ", "thread")
	part(", ", "grade")
	part(", ", "seat")
	part(", ", "condition")
	if j.Torque.Known() && j.TorqueSource.Known() {
		p = append(p, packet.Span{Text: "\n" + r.wordWith("torque.stated", "source", j.TorqueSource.S)})
	}
	return p
}

// clearances are two tables: what is set or measured, with a blank for each
// reading, and what is worked out and only looked up.
func (r *run) clearances() (measured, worked *packet.Table) {
	measured = r.table("clearances", column{"what", 4, 0}, column{"target", 4, 0}, column{"how", 3, 0}, column{"reading", 1, 0})
	worked = r.table("expected", column{"value", 4, 0})
	worked.Columns = append([]packet.Column{{Title: r.word("clearances.what"), Weight: 5}}, worked.Columns...)
	for i, row := range r.plan.proc.Numbers.Table {
		yes, only := r.applies(row.When)
		if !yes {
			continue
		}
		leave := r.enter(only)
		what, value, tool, blank, ok := r.rowOf(row.Value.Name)
		how := r.say(row.How)
		leave()
		if !ok {
			continue
		}
		if tool == "" && blank.NotOnRecord == "" {
			if len(how) > 0 {
				what = append(append(what, packet.Span{Text: ": "}), how...)
			}
			worked.Rows = append(worked.Rows, packet.Row{Cells: []packet.Cell{{Text: what}, {Text: value}}})
			continue
		}
		if tool != "" {
			if len(how) > 0 {
				how = append(how, packet.Span{Text: "; "})
			}
			how = append(how, packet.Span{Text: tool, Style: packet.Soft})
		}
		blank.ID = r.places.id("clearance", slug(row.Value.Name), fmt.Sprint(i+1))
		cells := []packet.Cell{{Text: what}, {Text: value}, {Text: how}, {Blanks: []packet.Blank{blank}}}
		r.places.wait(row.Value.Name, &cells[3])
		measured.Rows = append(measured.Rows, packet.Row{Cells: cells})
	}
	if len(measured.Rows) == 0 {
		measured = nil
	}
	if len(worked.Rows) == 0 {
		worked = nil
	}
	return measured, worked
}

// rowOf gives what a value of the table is, how it prints, the instrument that
// reads it, and its blank. ok is false where the value does not apply to this unit.
func (r *run) rowOf(name string) (what, value packet.Phrase, tool string, blank packet.Blank, ok bool) {
	blank = packet.Blank{Kind: packet.Reading, Characters: 6}
	if term := r.c.book.Terms[name]; term != nil {
		value, missing, show := r.reference(name, "")
		if len(missing) > 0 {
			value = r.notOnRecord(name, missing)
		}
		blank.Unit, blank.NotOnRecord = show.Grain[r.system].Unit.Symbol, r.lack(missing)
		return packet.Say(r.what(term)), value, "", blank, true
	}
	res := r.meaning(name).res
	if res == nil || res.without {
		return nil, nil, "", blank, false
	}
	blank.Unit, blank.NotOnRecord = res.show.Grain[r.system].Unit.Symbol, r.lack(res.missing)
	value = r.held(res, "\n")
	if in := res.tool(); in != nil {
		if i := r.instrument(in.Name); i != nil {
			tool = r.c.own(i.ID)
		}
	}
	return r.say(res.v.src.What), value, tool, blank, true
}

// held prints a value, and in front of the limits that it is held to what it comes
// to.
func (r *run) held(res *result, between string) packet.Phrase {
	limits := r.number(res, "")
	if len(res.missing) > 0 || res.err != nil || res.got[target] == nil || !res.limited() {
		return limits
	}
	return slices.Concat(r.number(res, "target"), packet.Phrase{{Text: between}}, limits)
}
