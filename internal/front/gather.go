package front

import (
	"slices"
	"strings"
	"time"

	"jobsheaf/internal/packet"
)

// pull is what to take from the store, the first needed first.
func (s *sheets) pull() packet.Sheet {
	f := s.front
	sheet := s.sheet("pull")
	byDay := func(a, b Pull) int { return s.firstOf(a.Jobs) - s.firstOf(b.Jobs) }
	kits, parts := slices.Clone(f.Kits), slices.Clone(f.Parts)
	slices.SortStableFunc(kits, byDay)
	slices.SortStableFunc(parts, byDay)
	if len(kits) > 0 {
		t := s.table("kits", column{"count", 1}, column{"kit", 4}, column{"number", 3}, column{"for", 3}, column{"first", 3}, column{"pulled", 1})
		for _, k := range kits {
			s.row(t, s.amount(k.Amount), say(k.What), strong(k.Number), s.jobs(k.Jobs), say(s.firstDay(k.Jobs)), s.blank("kit", packet.Tick, 0))
		}
		addTable(&sheet, t)
	}
	for _, part := range []struct {
		id   string
		list []Pull
	}{{"parts", parts}, {"supplies", f.Supplies}} {
		if len(part.list) == 0 {
			continue
		}
		t := s.table(part.id, column{"count", 1}, column{"what", 5}, column{"for", 3}, column{"first", 3}, column{"pulled", 1})
		for _, k := range part.list {
			s.row(t, s.amount(k.Amount), say(k.What), s.jobs(k.Jobs), say(s.firstDay(k.Jobs)), s.blank(part.id, packet.Tick, 0))
		}
		if part.id == "supplies" {
			t.Note = s.apart()
		}
		addTable(&sheet, t)
	}
	return sheet
}

// firstDay says when the first of some jobs is, and whose it is.
func (s *sheets) firstDay(jobs []string) string {
	at := s.firstOf(jobs)
	if at == len(s.front.Jobs) {
		return ""
	}
	j := &s.front.Jobs[at]
	day := s.weekday(j.Day)
	if len(j.Day) == len(time.DateOnly) {
		day += " " + j.Day[5:]
	}
	return strings.TrimSpace(day) + crewSuffix(j.Crew)
}

// firstOf is the place of the first of some jobs among all, which are by day.
func (s *sheets) firstOf(jobs []string) int {
	for i := range s.front.Jobs {
		if slices.Contains(jobs, s.front.Jobs[i].Job) {
			return i
		}
	}
	return len(s.front.Jobs)
}

// apart names the supplies whose amounts are of unlike kinds.
func (s *sheets) apart() packet.Phrase {
	var names []string
	for _, a := range s.front.Apart {
		names = append(names, a.What)
	}
	if names == nil {
		return nil
	}
	return packet.Say(s.word("pull.apart", "what", strings.Join(names, ", ")))
}

// locks is how many locks and tags each unit takes, and at which points.
func (s *sheets) locks() packet.Sheet {
	f := s.front
	sheet := s.sheet("locks")
	if len(f.Locks) == 0 {
		return sheet
	}
	t := s.table("points", column{"unit", 2}, column{"locks", 1}, column{"device", 9}, column{"for", 2.5})
	all := 0
	for i := 0; i < len(f.Locks); {
		first := f.Locks[i]
		var points packet.Phrase
		var jobs []string
		n, people := 0, 1.0
		for ; i < len(f.Locks) && f.Locks[i].Unit == first.Unit; i++ {
			k := f.Locks[i]
			if !k.Missing && !k.Tagged {
				n++
			}
			if len(points) > 0 {
				points = append(points, packet.Span{Text: "; "})
			}
			points = append(points, packet.Span{Text: k.Point, Style: packet.Strong}, packet.Span{Text: " " + k.Device})
			if k.Tagged {
				points = append(points, packet.Span{Text: " (" + f.run.packetWord("isolation.tag") + ")"})
			}
			for _, j := range k.Jobs {
				if !slices.Contains(jobs, j) {
					jobs = append(jobs, j)
				}
			}
		}
		unit := strong(first.Unit)
		unit.Text = append(unit.Text, packet.Span{Text: "\n" + first.Area})
		for _, j := range f.Jobs {
			if slices.Contains(jobs, j.Job) {
				people = max(people, j.People)
			}
		}
		n *= int(people) // everyone hangs a lock of their own
		s.row(t, unit, strong(whole(n)), packet.Cell{Text: points}, s.jobs(jobs))
		all += n
	}
	t.Note = packet.Say(s.word("points.note", "n", whole(all)))
	addTable(&sheet, t)
	return sheet
}

// tools is what to work and to measure with: what all jobs want, then what all of a
// procedure want, and then, job by job, what else.
func (s *sheets) tools() packet.Sheet {
	f := s.front
	sheet := s.sheet("tools")
	shared := newTally[Use]()
	single := map[string][]string{}
	for _, u := range slices.Concat(f.Instruments, f.Tools) {
		group, all := s.group(u.Jobs)
		what := u.What
		switch {
		case all:
		case len(u.Jobs) >= several:
			group, what = s.word("several"), what+" ("+whole(len(u.Jobs))+")"
		default:
			for _, j := range u.Jobs {
				single[j] = append(single[j], what)
			}
			continue
		}
		note(&shared.of(group, func() Use { return Use{What: group} }).Jobs, what)
	}
	t := s.table("", column{"what", 14}, column{"taken", 1}) // the sheet's title is the table's
	t.ID, t.Small = "hand", true                             // read at a desk; the mechanic's own list stands on the job sheet
	list := func(lead string, what []string) {
		if len(what) > 0 {
			cell := strong(lead + ": ")
			cell.Text = append(cell.Text, packet.Span{Text: strings.Join(oneLead(what), "; ")})
			s.row(t, cell, s.blank("hand", packet.Tick, 0))
		}
	}
	for _, u := range shared.list {
		list(u.What, u.Jobs)
	}
	for _, j := range f.Jobs {
		list(j.Job+", "+s.firstDay([]string{j.Job}), single[j.Job])
	}
	if len(t.Rows) == 0 {
		return sheet
	}
	t.Note = packet.Say(s.word("instruments.note"))
	addTable(&sheet, t)
	return sheet
}

// oneLead joins texts that begin alike up to a colon, such as two loads of one hoist: the
// words before it are read once.
func oneLead(list []string) []string {
	t := newTally[string]()
	for _, what := range list {
		lead, rest, found := strings.Cut(what, ": ")
		if had := t.of(lead, func() string { return "" }); *had == "" || !found {
			*had = what
		} else {
			*had += " / " + rest
		}
	}
	return t.list
}

// dangers is what the pumps hold, each liquid with its hazard statements and the
// units with the state in which it is found, and every DANGER of the packets.
func (s *sheets) dangers() packet.Sheet {
	f := s.front
	sheet := s.sheet("dangers")
	if len(f.Dangers) > 0 {
		t := s.table("danger", column{"danger", 6}, column{"for", 2})
		for _, d := range f.Dangers {
			s.row(t, strong(d.What), s.jobs(d.Jobs))
		}
		addTable(&sheet, t)
	}
	if len(f.Liquids) > 0 {
		t := s.table("liquids", column{"liquid", 3}, column{"statements", 4}, column{"condition", 6})
		t.Columns[2].Least, t.Small = 80, true
		for _, q := range f.Liquids {
			liquid := strong(q.title())
			var says, units packet.Phrase
			for i, x := range q.Statements {
				if i > 0 {
					says = append(says, packet.Span{Text: "; "})
				}
				says = append(says, packet.Span{Text: strings.TrimSpace(x.Code + " " + x.Text)})
			}
			if len(q.Statements) == 0 || q.Statements[0].Text == f.run.packetWord("cover.no_statements") {
				says = packet.Say(s.word("no_statements"))
				t.Note = packet.Say(s.word("no_statements.note"))
			}
			for i, u := range q.Units {
				if i > 0 {
					units = append(units, packet.Span{Text: "\n"})
				}
				units = append(units, packet.Span{Text: u.Unit, Style: packet.Strong}, packet.Span{Text: " " + strings.TrimPrefix(u.Condition, s.word("condition")+": ")})
			}
			s.row(t, liquid, packet.Cell{Text: says}, packet.Cell{Text: units})
		}
		addTable(&sheet, t)
	}
	return sheet
}

// title names a liquid behind its signal word.
func (q *LiquidUse) title() string {
	if q.Signal == "" {
		return q.Name
	}
	return strings.ToUpper(q.Signal) + ": " + q.Name
}
