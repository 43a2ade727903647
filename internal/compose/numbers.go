package compose

import (
	"fmt"
	"strings"

	"jobsheaf/internal/packet"
)

// numbersSheet is every number of this unit that is set or checked: torques,
// clearances, and the drawings that go with them.
func (r *run) numbersSheet() packet.Sheet {
	s := packet.Sheet{ID: "numbers", Title: r.word("numbers.title")}
	if t := r.torques(); t != nil {
		s.Blocks = append(s.Blocks, packet.Block{Table: t})
	}
	if t := r.clearances(); t != nil {
		s.Blocks = append(s.Blocks, packet.Block{Table: t})
	}
	for _, f := range r.figures(r.plan.proc.Numbers.Figures) {
		if n := len(s.Blocks); n > 0 && !f.Exact && len(s.Blocks[n-1].Figures) == 1 && !s.Blocks[n-1].Figures[0].Exact {
			s.Blocks[n-1].Figures = append(s.Blocks[n-1].Figures, f)
			continue
		}
		s.Blocks = append(s.Blocks, packet.Block{Figures: []packet.Figure{f}})
	}
	return s
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
	t := &packet.Table{ID: "torque", Title: r.word("torque.title"), Columns: []packet.Column{{Title: r.word("torque.joint"), Weight: 3}}}
	values := shown(r.plan.order[perJoint])
	for _, v := range values {
		t.Columns = append(t.Columns, packet.Column{Title: r.plain(v.src.What), Weight: 2})
	}
	t.Columns = append(t.Columns, packet.Column{Title: r.word("torque.used"), Weight: 1}, packet.Column{Title: r.word("torque.wrench"), Weight: 1})
	for _, name := range names {
		cells := []packet.Cell{{Text: r.jointText(name)}}
		unit, missing := "", ""
		for _, v := range values {
			res := r.result("joints."+name+"."+v.src.Name, perJoint, name)
			cells = append(cells, packet.Cell{Text: r.number(res, "")})
			if v.src.Name == "torque" || unit == "" {
				unit, missing = v.show.Grain[r.system].Unit.Symbol, strings.Join(res.missing, ", ")
			}
		}
		cells = append(cells,
			packet.Cell{Blanks: []packet.Blank{{ID: r.id("torque", name, "used"), Kind: packet.Reading, Unit: unit, Characters: 5, NotOnRecord: missing}}},
			packet.Cell{Blanks: []packet.Blank{{ID: r.id("torque", name, "wrench"), Kind: packet.Words, Characters: 5}}})
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
	return p
}

// clearances is the table of clearances and fits.
func (r *run) clearances() *packet.Table {
	t := &packet.Table{ID: "clearances", Title: r.word("clearances.title"), Columns: []packet.Column{
		{Title: r.word("clearances.what"), Weight: 3}, {Title: r.word("clearances.target"), Weight: 2}, {Title: r.word("clearances.band"), Weight: 3},
		{Title: r.word("clearances.how"), Weight: 3}, {Title: r.word("clearances.reading"), Weight: 1},
	}}
	for i, row := range r.plan.proc.Numbers.Table {
		if yes, _ := r.applies(row.When); !yes {
			continue
		}
		id := r.id("clearance", slug(row.Value.Name), fmt.Sprint(i+1))
		cells := make([]packet.Cell, 5)
		blank := packet.Blank{ID: id, Kind: packet.Reading, Characters: 6}
		cells[3].Text = r.say(row.How)
		if term := r.c.book.Terms[row.Value.Name]; term != nil {
			cells[0].Text = packet.Say(term.What)
			ph, missing, show := r.reference(row.Value.Name, "")
			cells[1].Text = ph
			if len(missing) > 0 {
				cells[1].Text = r.notOnRecord(row.Value.Name, missing)
			}
			blank.Unit, blank.NotOnRecord = show.Grain[r.system].Unit.Symbol, strings.Join(missing, ", ")
		} else {
			res, _ := r.find(row.Value.Name)
			if res == nil {
				continue
			}
			cells[0].Text = packet.Say(r.plain(res.v.src.What))
			blank.Unit, blank.NotOnRecord = res.v.show.Grain[r.system].Unit.Symbol, strings.Join(res.missing, ", ")
			ok := len(res.missing) == 0 && !res.failed && !res.without
			switch {
			case !ok:
				cells[1].Text = r.number(res, "")
			case res.v.band():
				if res.target != nil {
					cells[1].Text = r.number(res, "target")
				}
				if res.low != nil || res.high != nil {
					cells[2].Text = r.number(res, "")
				}
			default:
				cells[1].Text = r.number(res, "")
			}
			if res.without {
				continue
			}
			if in := res.v.src.Instrument; in != nil {
				if tool := r.instrument(in.Name); tool != nil {
					if len(cells[3].Text) > 0 {
						cells[3].Text = append(cells[3].Text, packet.Span{Text: "; "})
					}
					cells[3].Text = append(cells[3].Text, packet.Span{Text: tool.ID})
				}
			}
		}
		// What no row says how to measure is worked out, not read.
		if len(cells[3].Text) > 0 || blank.NotOnRecord != "" {
			cells[4].Blanks = []packet.Blank{blank}
		}
		t.Rows = append(t.Rows, packet.Row{Cells: cells})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return t
}
