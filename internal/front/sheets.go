package front

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/words"
)

// sheets turns front matter into a packet, so that it has the look of all other
// pages.
type sheets struct {
	front    *Front
	words    *words.Room
	problems diag.List
	n        int // blanks so far
}

// newSheets begins the sheets of front matter.
func newSheets(f *Front) *sheets {
	s := &sheets{front: f}
	s.words = f.run.Words.For("week", &s.problems)
	return s
}

// word gives a fixed word of the front matter, with its placeholders filled in.
func (s *sheets) word(key string, pairs ...string) string { return s.words.Say(key, pairs...) }

// packetWord gives a fixed word of the packets; that they were printed says that it is
// there.
func (r *Run) packetWord(key string) string { return r.Words.Get("compose." + key) }

// decimal writes a number with the decimal sign of the pages' language.
func (r *Run) decimal(number string) string {
	return strings.Replace(number, ".", r.packetWord("decimal_sign"), 1)
}

// weekday gives the day of the week in the pages' language.
func (s *sheets) weekday(day string) string {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return ""
	}
	return s.word("weekday." + strings.ToLower(t.Weekday().String()))
}

// sheet begins a sheet.
func (s *sheets) sheet(id string) packet.Sheet {
	return packet.Sheet{ID: id, Title: s.word(id + ".title")}
}

// notice adds the notice at the head of a sheet.
func (s *sheets) notice(sheet *packet.Sheet) {
	sheet.Blocks = append(sheet.Blocks, packet.Block{Alert: &packet.Alert{Signal: "notice", Word: s.front.run.packetWord("signal.notice"), Text: packet.Say(s.word(sheet.ID + ".alert"))}})
}

func addTable(sheet *packet.Sheet, t *packet.Table) {
	sheet.Blocks = append(sheet.Blocks, packet.Block{Table: t})
}

// column is a column of a table by its word's key, with its share of the width.
type column struct {
	key    string
	weight float64
}

// numeric are the columns that hold numbers, which stand flush right.
var numeric = []string{"hours", "pages", "people", "room", "count"}

// table begins a table, with its title where it has an ID.
func (s *sheets) table(id string, columns ...column) *packet.Table {
	t := &packet.Table{ID: id}
	if id != "" {
		t.Title = s.word(id + ".title")
	}
	for _, c := range columns {
		t.Columns = append(t.Columns, packet.Column{Title: s.word(c.key), Weight: c.weight, Right: slices.Contains(numeric, c.key)})
	}
	return t
}

// row adds a row.
func (s *sheets) row(t *packet.Table, cells ...packet.Cell) {
	t.Rows = append(t.Rows, packet.Row{Cells: cells})
}

func say(text string) packet.Cell { return packet.Cell{Text: packet.Say(text)} }

func strong(text string) packet.Cell {
	if text == "" {
		return packet.Cell{}
	}
	return packet.Cell{Text: packet.Phrase{{Text: text, Style: packet.Strong}}}
}

// blank is a place to write in a table.
func (s *sheets) blank(id string, kind packet.BlankKind, characters int) packet.Cell {
	s.n++
	return packet.Cell{Blanks: []packet.Blank{{ID: fmt.Sprintf("%s.%d", id, s.n), Kind: kind, Characters: characters}}}
}

// hours prints hours with the language's decimal sign.
func (s *sheets) hours(v float64) string {
	if v == 0 {
		return "–"
	}
	return s.front.run.decimal(number(v))
}

// amount prints an amount with the language's decimal sign.
func (s *sheets) amount(a string) packet.Cell {
	return strong(s.front.run.decimal(a))
}

// number writes a number to ten figures, which drops what binary fractions add.
func number(v float64) string {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 10, 64), 64)
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func whole(n int) string { return strconv.Itoa(n) }

// glance is what there is to do: by crew and day, and job by job in the order in
// which it is walked.
func (s *sheets) glance() packet.Sheet {
	f := s.front
	sheet := s.sheet("glance")
	if len(f.Jobs) == 0 {
		return sheet
	}
	if !f.round {
		sheet.Blocks = append(sheet.Blocks, s.bars()...)
		t := s.table("days", column{"day", 3}, column{"crew", 2}, column{"jobs", 1}, column{"hours", 1}, column{"room", 1}, column{"pages", 1})
		for _, d := range f.Days {
			over := s.hours(d.Hours)
			cell := say(over)
			if d.Room > 0 && d.Hours > d.Room+1e-6 {
				cell = strong(over + " !")
			}
			s.row(t, say(d.Day+" "+s.weekday(d.Day)), say(d.Crew), say(whole(d.Jobs)), cell, say(s.hours(d.Room)), say(whole(d.Pages)))
		}
		t.Note = packet.Say(s.word("days.note"))
		addTable(&sheet, t)
	}
	t := s.table("walk", column{"area", 2}, column{"unit", 3}, column{"job", 2}, column{"procedure", 4}, column{"people", 1}, column{"hours", 1}, column{"pages", 1})
	day := ""
	for _, j := range f.Jobs {
		if at := j.Day + " " + s.weekday(j.Day) + crewSuffix(j.Crew); at != day && !f.round {
			t.Rows = append(t.Rows, packet.Row{Group: at})
			day = at
		}
		unit := strong(j.Unit)
		unit.Text = append(unit.Text, packet.Span{Text: " " + j.UnitName})
		s.row(t, say(j.Area), unit, strong(j.Job), say(j.Title), say(s.hours(j.People)), say(s.hours(j.Hours)), say(whole(j.Pages)))
	}
	addTable(&sheet, t)
	return sheet
}

func crewSuffix(crew string) string {
	if crew == "" {
		return ""
	}
	return ", " + crew
}

// bars draws each crew's hours by day.
func (s *sheets) bars() []packet.Block {
	var crews []string
	for _, d := range s.front.Days {
		if !slices.Contains(crews, d.Crew) {
			crews = append(crews, d.Crew)
		}
	}
	slices.Sort(crews)
	var figs []packet.Figure
	for _, c := range crews {
		fig := packet.Figure{Name: "bars", Texts: map[string]string{"title": strings.TrimSpace(s.word("bars") + " " + c)}, Lists: map[string][]string{}, Series: map[string][]float64{}, Numbers: map[string]float64{}}
		for _, d := range s.front.Days {
			if d.Crew != c {
				continue
			}
			fig.Lists["days"] = append(fig.Lists["days"], s.weekday(d.Day)+" "+d.Day[5:])
			fig.Series["hours"] = append(fig.Series["hours"], d.Hours)
			if d.Room > 0 {
				fig.Numbers["capacity"] = d.Room
			}
		}
		figs = append(figs, fig)
	}
	var out []packet.Block
	for i := 0; i < len(figs); i += 2 {
		out = append(out, packet.Block{Figures: figs[i:min(i+2, len(figs))]})
	}
	return out
}

// jobs lists job IDs in a cell, or says that it is all of several.
func (s *sheets) jobs(jobs []string) packet.Cell {
	if n := len(jobs); n > 3 && n == len(s.front.Jobs) {
		return say(s.word("all", "n", whole(n)))
	}
	return say(strings.Join(jobs, ", "))
}

// pull is what to take from the store.
func (s *sheets) pull() packet.Sheet {
	f := s.front
	sheet := s.sheet("pull")
	if len(f.Kits) > 0 {
		t := s.table("kits", column{"count", 1}, column{"kit", 3}, column{"number", 2}, column{"holds", 4}, column{"for", 2}, column{"pulled", 1})
		for _, k := range f.Kits {
			s.row(t, s.amount(k.Amount), say(k.What), strong(k.Number), say(k.Holds), s.jobs(k.Jobs), s.blank("kit", packet.Tick, 0))
		}
		addTable(&sheet, t)
	}
	for _, part := range []struct {
		id   string
		list []Pull
	}{{"parts", f.Parts}, {"supplies", f.Supplies}} {
		if len(part.list) == 0 {
			continue
		}
		t := s.table(part.id, column{"count", 1}, column{"what", 5}, column{"for", 3}, column{"pulled", 1})
		for _, k := range part.list {
			s.row(t, s.amount(k.Amount), say(k.What), s.jobs(k.Jobs), s.blank(part.id, packet.Tick, 0))
		}
		if part.id == "supplies" {
			t.Note = s.apart()
		}
		addTable(&sheet, t)
	}
	return sheet
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

// locks is what to isolate, lock and tag.
func (s *sheets) locks() packet.Sheet {
	sheet := s.sheet("locks")
	if len(s.front.Locks) == 0 {
		return sheet
	}
	t := s.table("points", column{"point", 2}, column{"device", 4}, column{"put", 4}, column{"for", 2}, column{"lock", 1.5})
	unit := ""
	for _, k := range s.front.Locks {
		if at := strings.TrimPrefix(k.Area+", "+k.Unit, ", "); at != unit {
			t.Rows = append(t.Rows, packet.Row{Group: at})
			unit = at
		}
		s.row(t, strong(k.Point), say(k.Device), say(k.Put), s.jobs(k.Jobs), s.blank("lock", packet.Words, 4))
	}
	t.Note = packet.Say(s.word("points.note", "n", whole(len(s.front.Locks))))
	addTable(&sheet, t)
	return sheet
}

// tools is what to work and to measure with.
func (s *sheets) tools() packet.Sheet {
	sheet := s.sheet("tools")
	if list := s.front.Instruments; len(list) > 0 {
		t := s.table("instruments", column{"instrument", 3}, column{"good_for", 3}, column{"for", 3}, column{"number", 2}, column{"due", 2})
		for _, u := range list {
			s.row(t, strong(u.What), say(u.GoodFor), s.jobs(u.Jobs), s.blank("instrument", packet.Words, 7), s.blank("due", packet.When, 10))
		}
		t.Note = packet.Say(s.word("instruments.note"))
		addTable(&sheet, t)
	}
	if list := s.front.Tools; len(list) > 0 {
		t := s.table("hand", column{"tool", 5}, column{"for", 3}, column{"taken", 1})
		for _, u := range list {
			s.row(t, say(u.What), s.jobs(u.Jobs), s.blank("tool", packet.Tick, 0))
		}
		addTable(&sheet, t)
	}
	return sheet
}

// liquids is what the pumps hold, each with its hazards as on a cover, and the
// units with the state in which it is found.
func (s *sheets) liquids() packet.Sheet {
	sheet := s.sheet("liquids")
	for i, q := range s.front.Liquids {
		t := s.table("", column{"unit", 1.5}, column{"condition", 5}, column{"for", 2.5})
		t.ID = fmt.Sprintf("states.%d", i+1)
		for _, u := range q.Units {
			s.row(t, strong(u.Unit), say(u.Condition), s.jobs(u.Jobs))
		}
		sheet.Blocks = append(sheet.Blocks,
			packet.Block{Hazard: &packet.Hazard{Signal: q.Signal, Liquid: q.Name, Pictograms: q.Pictograms, Statements: q.Statements, Source: packet.Say(q.Source)}},
			packet.Block{Table: t})
	}
	return sheet
}

// withdraw is what to fetch back and remove of jobs that are not to be done.
func (s *sheets) withdraw() packet.Sheet {
	sheet := s.sheet("withdraw")
	if len(s.front.Withdraw) == 0 {
		return sheet
	}
	s.notice(&sheet)
	t := s.table("withdrawn", column{"job", 2}, column{"unit", 2}, column{"day", 2}, column{"reason", 2}, column{"fetch", 4}, column{"remove", 3})
	for _, w := range s.front.Withdraw {
		why := s.word("withdraw.unlisted")
		if w.Cancelled {
			why = s.word("withdraw.cancelled")
		}
		paper := s.word("withdraw.packet") + " " + w.Fingerprint
		if w.Print != "" {
			paper += "\n" + w.Print + " " + w.PrintFingerprint
		}
		s.row(t, strong(w.Job), say(cmp.Or(w.Unit, "–")), say(strings.TrimSpace(w.Day+" "+w.Crew)), say(why), say(strings.TrimSpace(paper)), say(strings.Join(w.Files, "\n")))
	}
	addTable(&sheet, t)
	return sheet
}

// refused is what was not printed, and why.
func (s *sheets) refused() packet.Sheet {
	sheet := s.sheet("refused")
	if len(s.front.Refused) == 0 {
		return sheet
	}
	s.notice(&sheet)
	t := s.table("reasons", column{"job", 2}, column{"unit", 2}, column{"day", 2}, column{"reason", 8})
	for _, r := range s.front.Refused {
		why := printable(strings.Join(r.Reasons, "\n"))
		if s.front.round { // a crew has no use for the places in files
			why = s.word("why." + string(cmp.Or(r.Cause, InRecords)))
		}
		s.row(t, strong(cmp.Or(r.Job, "–")), say(cmp.Or(r.Unit, "–")), say(strings.TrimSpace(r.Day+" "+r.Crew)), say(why))
	}
	addTable(&sheet, t)
	return sheet
}

// printable writes characters that no typeface of the pages may have by their
// numbers: a reason quotes what was found in a file, which may be anything.
func printable(text string) string {
	var b strings.Builder
	for _, c := range text {
		switch {
		case c == '\n', c >= ' ' && c <= '~', c >= 0xA0 && c <= 0x17F && unicode.IsPrint(c), c >= 0x391 && c <= 0x45F && unicode.IsLetter(c), strings.ContainsRune("–—‘’“”…", c):
			b.WriteRune(c)
		default:
			fmt.Fprintf(&b, "U+%04X", c)
		}
	}
	return b.String()
}
