package compose

import (
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/compute"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
)

// card is every number that is set, held, measured or lifted at the bench, each once: it
// is hung up there.
func (r *run) card() packet.Sheet {
	s := packet.Sheet{ID: "card", Title: r.Word("card.title"), Pages: 1, Front: true}
	tables := []*packet.Table{r.torques(), r.clearances(), r.wearCard()}
	if !r.isShort() { // a short job takes nothing apart and lifts nothing
		tables = append(tables, r.lifting())
	}
	for _, t := range tables {
		if t != nil {
			s.Blocks = append(s.Blocks, packet.Block{Table: t})
		}
	}
	if figs := r.figures(exact(r.Procedure.Numbers.Figures, false)); len(figs) > 0 {
		s.Blocks = append(s.Blocks, packet.Block{Figures: figs})
	}
	return s
}

// stripSheet is the strip that is laid round the housing: cut out of a leaf of its own.
// It has no blocks where nobody asks for it.
func (r *run) stripSheet() packet.Sheet {
	s := packet.Sheet{ID: "strip", Title: r.Word("strip.title"), Front: true}
	if !r.Strip() {
		return s
	}
	for _, f := range r.figures(exact(r.Procedure.Numbers.Figures, true)) {
		s.Blocks = append(s.Blocks, packet.Block{Figures: []packet.Figure{f}})
	}
	return s
}

// exact gives of the drawings that are carried those that are printed 1:1, or the
// others.
func exact(list []procedure.Figure, yes bool) []procedure.Figure {
	return slices.DeleteFunc(slices.Clone(list), func(f procedure.Figure) bool { return f.Annex || fromRecords[f.Figure.Name].exact != yes })
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
	t := r.titledTable("torque", 3)
	// What is not a torque stands below the joint, so that the torques have room.
	var torques, others []*compute.Value
	for _, v := range r.Shown(procedure.PerJoint) {
		k, _ := v.Kind()
		switch {
		case v.Annex:
			for _, name := range names {
				r.annexed(packet.Say(r.Plain(v.What)+": "+r.jointName(name)), r.Held(r.Result(v, name), ", "))
			}
		case v.OfPass() && !slices.ContainsFunc(names, func(j string) bool { return !r.Result(v, j).Without }):
			// no joint has so many passes
		case k == quantity.KindTorque:
			torques = append(torques, v)
			t.Columns = append(t.Columns, packet.Column{Title: r.Plain(v.What), Weight: 2})
		default:
			others = append(others, v)
		}
	}
	var by []packet.Phrase // what is not a torque, of each joint
	for _, name := range names {
		var p packet.Phrase
		for i, v := range others {
			if i > 0 {
				p = append(p, packet.Span{Text: "; "})
			}
			p = append(p, r.Held(r.Result(v, name), ", ")...)
		}
		by = append(by, p)
	}
	t.Note = packet.Say(r.Word(r.tightening(torques, names)))
	alike := len(others) > 0 && !slices.ContainsFunc(by, func(p packet.Phrase) bool { return p.String() != by[0].String() })
	if alike { // said once
		t.Note = slices.Concat(packet.Say(r.Word("torque.all")+" "), by[0], packet.Say(". "), t.Note)
	}
	common := r.commonWrench(torques, names)
	if common != "" {
		t.Note = append(t.Note, packet.Span{Text: " " + r.WordWith("torque.by", "tool", common)})
	}
	for i, name := range names {
		joint := r.jointText(name)
		if in := r.wrench(torques, name); in != "" && in != common {
			joint = append(joint, packet.Span{Text: "; " + in})
		}
		if !alike && len(by[i]) > 0 {
			joint = slices.Concat(joint, packet.Say("; "), by[i])
		}
		cells := []packet.Cell{{Text: joint}}
		for _, v := range torques {
			res := r.Result(v, name)
			cells = append(cells, packet.Cell{Text: r.Number(res, procedure.Whole)})
			r.reaches(res)
		}
		t.Rows = append(t.Rows, packet.Row{Cells: cells})
	}
	for i, name := range names {
		r.ordered[name] = &t.Rows[i]
	}
	return t
}

// tightening is the word for how the bolts of the joints are tightened: two have no order to
// go round in, and one pass needs none of passes.
func (r *run) tightening(torques []*compute.Value, joints []string) string {
	passes := 0
	for _, v := range torques {
		if v.OfPass() {
			passes++
		}
	}
	few := func(j string) bool {
		return r.Size != nil && r.Size.Joints[j] != nil && r.Size.Joints[j].Count.Known() && r.Size.Joints[j].Count.Value.SI() <= 2
	}
	switch {
	case passes > 1:
		return "torque.note"
	case !slices.ContainsFunc(joints, func(j string) bool { return !few(j) }):
		return "torque.note_pair"
	}
	return "torque.note_once"
}

// wrench names what sets the torques of a joint; "" where nothing says.
func (r *run) wrench(torques []*compute.Value, joint string) string {
	for _, v := range torques {
		if tool := r.Result(v, joint).Tool(); tool != nil {
			return r.Translate(tool.Name)
		}
	}
	return ""
}

// commonWrench names the wrench of most joints, and of equals that of the earlier.
func (r *run) commonWrench(torques []*compute.Value, joints []string) (most string) {
	count := map[string]int{}
	for _, j := range joints {
		count[r.wrench(torques, j)]++
	}
	for _, j := range joints {
		if in := r.wrench(torques, j); in != "" && count[in] > count[most] {
			most = in
		}
	}
	return most
}

// drawnAt says on the card in which order the bolts of a joint are tightened, and at
// which step that is drawn.
func (r *run) drawnAt(joint, step string) {
	row := r.ordered[joint]
	if row == nil || r.Size == nil || r.Size.Joints[joint] == nil || !r.Size.Joints[joint].Count.Known() {
		return
	}
	delete(r.ordered, joint)
	if places, err := r.turns(r.Size.Joints[joint]); err == nil { // else the drawing says so
		order := make([]string, len(places))
		for i, turn := range places {
			order[i] = fmt.Sprint(turn)
		}
		cell := &row.Cells[0]
		cell.Text = append(cell.Text, packet.Span{Text: "; " + r.WordWith("torque.drawn", "n", step, "order", strings.Join(order, "-"))})
	}
}

// jointName is what a joint is called.
func (r *run) jointName(name string) string {
	if r.Size != nil && r.Size.Joints[name] != nil && r.Size.Joints[name].What.Known() {
		return r.Size.Joints[name].What.S
	}
	return name
}

// jointText is a joint with its count, size, grade and seat; how it is tightened says
// the condition of its thread.
func (r *run) jointText(name string) packet.Phrase {
	if r.Size == nil || r.Size.Joints[name] == nil {
		return append(packet.Phrase{{Text: name + " "}}, r.NotOnRecord(r.Word("torque.title"), "joints."+name)...)
	}
	p := packet.Phrase{{Text: r.jointName(name), Style: packet.Strong}, {Text: ": "}}
	part := func(lead, prop string) {
		p = append(p, packet.Span{Text: lead})
		p = append(p, r.MemberText(procedure.PerJoint, name, prop)...)
	}
	part("", "count")
	part(" × ", "thread")
	part(", ", "grade")
	part(", ", "seat")
	return p
}

// clearances is the table of what is set, measured or held to: each with its band and
// how it is measured.
func (r *run) clearances() *packet.Table {
	t := r.titledTable("clearances", 4, column{"target", 3, 0}, column{"how", 3, 0})
	for _, row := range r.Procedure.Numbers.Table {
		yes, only := r.Applies(row.When)
		if !yes {
			continue
		}
		leave := r.Suppose(only)
		what, value, tool, ok := r.rowOf(row.Value.Name)
		how := r.Say(row.How)
		leave()
		switch {
		case !ok:
			continue
		case row.Annex:
			r.annexed(what, value)
			continue
		}
		if tool != "" {
			if len(how) > 0 {
				how = append(how, packet.Span{Text: "; "})
			}
			how = append(how, packet.Span{Text: tool})
		}
		line := packet.Row{Cells: []packet.Cell{{Text: what}, {Text: value}, {Text: how}}}
		if !row.Index.Empty() {
			line.Index = r.Plain(row.Index)
		}
		t.Rows = append(t.Rows, line)
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return t
}

// rowOf gives what a value of the table is, how it prints, and the instrument that
// reads it. ok is false where the value does not apply to this unit.
func (r *run) rowOf(name string) (what, value packet.Phrase, tool string, ok bool) {
	if term := r.Book.TermOf(r.Unit, name); term != nil {
		is := r.Reference(name, procedure.Whole)
		value = is.Text
		if len(is.Missing) > 0 {
			value = r.NotOnRecord(name, is.Missing...)
		}
		return packet.Say(r.What(term)), value, "", true
	}
	res := r.ResultNamed(name)
	if res == nil || res.Without {
		return nil, nil, "", false
	}
	value = r.Held(res, "; ")
	r.reaches(res)
	if in := res.Tool(); in != nil {
		if i := r.useInstrument(in.Name); i != nil {
			tool = r.Translate(i.ID)
		}
	}
	return r.Say(res.Value.What), value, tool, true
}

// wearCard is the table of the limits of wear: as new, within which a part is used
// again, and what reads it. What was found stands on the wear sheet.
func (r *run) wearCard() *packet.Table {
	t := r.titledTable("wear_limits", 4, column{"new", 2, 0})
	values := r.Shown(procedure.PerFeature)
	values = values[max(0, len(values)-1):] // the last one decides; the wear sheet has the others too
	for _, v := range values {
		t.Columns = append(t.Columns, packet.Column{Title: r.Plain(v.What), Weight: 2})
	}
	t.Columns = append(t.Columns, packet.Column{Title: r.Word("wear_limits.instrument"), Weight: 2})
	for _, name := range r.wornFeatures() {
		f, _ := r.Feature(name)
		cells := []packet.Cell{{Text: r.partOf(f)}, {Text: r.featureAmount(name, "new", f.New)}}
		for _, v := range values {
			cells = append(cells, packet.Cell{Text: r.Number(r.Result(v, name), procedure.Whole)})
		}
		t.Rows = append(t.Rows, packet.Row{Cells: append(cells, packet.Cell{Text: packet.Say(r.Translate(f.Instrument.S))})})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return t
}
