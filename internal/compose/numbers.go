package compose

import (
	"fmt"
	"slices"

	"jobsheaf/internal/compute"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
)

// numbersSheet is every number of this unit that is set or checked: torques,
// clearances, and the drawings that go with them.
func (r *run) numbersSheet() packet.Sheet {
	s := packet.Sheet{ID: "numbers", Title: r.Word("numbers.title")}
	if t := r.torques(); t != nil {
		s.Blocks = append(s.Blocks, packet.Block{Table: t})
	}
	measured, worked := r.clearances()
	figures, exact := apart(r.figures(r.Procedure.Numbers.Figures))
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
	for _, j := range r.Procedure.Numbers.Joints {
		if yes, _ := r.Applies(j.When); yes {
			names = append(names, j.Joint.Name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	t := r.table("torque", column{"joint", 3, 0})
	values := r.Shown(procedure.PerJoint)
	// What is not a torque stands below the joint, so that the torques have room.
	var others []*compute.Value
	for _, v := range values {
		if k, _ := v.Kind(); k != quantity.KindTorque {
			others = append(others, v)
		}
	}
	values = slices.DeleteFunc(slices.Clone(values), func(v *compute.Value) bool { return slices.Contains(others, v) })
	for _, v := range values {
		t.Columns = append(t.Columns, packet.Column{Title: r.Plain(v.What), Weight: 2})
	}
	t.Columns = append(t.Columns, packet.Column{Title: r.Word("torque.used"), Weight: 1})
	for _, name := range names {
		joint := r.jointText(name)
		for _, v := range others {
			joint = append(joint, packet.Span{Text: "\n" + r.Plain(v.What) + " "})
			joint = append(joint, r.Held(r.Result(v, name), ", ")...)
		}
		cells := []packet.Cell{{Text: joint}}
		unit, missing, whole := "", "", ""
		for _, v := range values {
			res := r.Result(v, name)
			cells = append(cells, packet.Cell{Text: r.Number(res, procedure.Whole)})
			if !v.OfPass() || unit == "" {
				whole = res.Name
				unit, missing = res.Show.Grain[r.System].Unit.Symbol, r.Lack(res.Lacks())
			}
		}
		cells = append(cells, packet.Cell{Blanks: []packet.Blank{
			{ID: r.places.id("torque", name, "used"), Kind: packet.Reading, Unit: unit, Characters: 5, NotOnRecord: missing},
			{ID: r.places.id("torque", name, "wrench"), Kind: packet.Words, Label: r.Word("torque.wrench"), Characters: 5},
		}})
		r.places.wait(whole, &cells[len(cells)-1])
		t.Rows = append(t.Rows, packet.Row{Cells: cells})
	}
	t.Note = packet.Say(r.Word("torque.note"))
	return t
}

// jointText is a joint with its count, size, grade, seat and condition.
func (r *run) jointText(name string) packet.Phrase {
	if r.Size == nil || r.Size.Joints[name] == nil {
		return append(packet.Phrase{{Text: name + " "}}, r.NotOnRecord(r.Word("torque.title"), "joints."+name)...)
	}
	j := r.Size.Joints[name]
	p := packet.Phrase{{Text: j.What.S, Style: packet.Strong}, {Text: ": "}}
	if !j.What.Known() {
		p[0].Text = name
	}
	part := func(lead, prop string) {
		p = append(p, packet.Span{Text: lead})
		p = append(p, r.MemberText(procedure.PerJoint, name, prop)...)
	}
	part("", "count")
	part(" × ", "thread")
	part(", ", "grade")
	part(", ", "seat")
	part(", ", "condition")
	if j.Torque.Known() && j.TorqueSource.Known() {
		p = append(p, packet.Span{Text: "\n" + r.WordWith("torque.stated", "source", j.TorqueSource.S)})
	}
	return p
}

// clearances are two tables: what is set or measured, with a blank for each
// reading, and what is worked out and only looked up.
func (r *run) clearances() (measured, worked *packet.Table) {
	measured = r.table("clearances", column{"what", 4, 0}, column{"target", 4, 0}, column{"how", 3, 0}, column{"reading", 1, 0})
	worked = r.table("expected", column{"value", 4, 0})
	worked.Columns = append([]packet.Column{{Title: r.Word("clearances.what"), Weight: 5}}, worked.Columns...)
	for i, row := range r.Procedure.Numbers.Table {
		yes, only := r.Applies(row.When)
		if !yes {
			continue
		}
		leave := r.Suppose(only)
		what, value, tool, blank, ok := r.rowOf(row.Value.Name)
		how := r.Say(row.How)
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
	if term := r.Book.Terms[name]; term != nil {
		is := r.Reference(name, procedure.Whole)
		value = is.Text
		if len(is.Missing) > 0 {
			value = r.NotOnRecord(name, is.Missing...)
		}
		blank.Unit, blank.NotOnRecord = is.Show.Grain[r.System].Unit.Symbol, r.Lack(is.Missing)
		return packet.Say(r.What(term)), value, "", blank, true
	}
	res := r.ResultNamed(name)
	if res == nil || res.Without {
		return nil, nil, "", blank, false
	}
	blank.Unit, blank.NotOnRecord = res.Show.Grain[r.System].Unit.Symbol, r.Lack(res.Lacks())
	value = r.Held(res, "\n")
	if in := res.Tool(); in != nil {
		if i := r.Instrument(in.Name); i != nil {
			tool = r.Translate(i.ID)
		}
	}
	return r.Say(res.Value.What), value, tool, blank, true
}
