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
	title := s.word(id + ".title")
	return packet.Sheet{ID: id, Title: title, Index: title}
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
var numeric = []string{"hours", "pages", "people", "count", "locks"}

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

// glance is what the planner has to know before the week starts, and what there is
// to do: job by job in the order in which it is walked, by day and crew.
func (s *sheets) glance() packet.Sheet {
	f := s.front
	sheet := s.sheet("glance")
	if len(f.Jobs) == 0 {
		return sheet
	}
	if facts := s.facts(); len(facts) > 0 {
		sheet.Blocks = append(sheet.Blocks,
			packet.Block{Heading: &packet.Heading{Text: s.word("facts.title"), Level: 2}},
			packet.Block{List: &packet.List{Items: facts}})
	}
	t := s.table("walk", column{"area", 2}, column{"unit", 3}, column{"job", 1.5}, column{"procedure", 4}, column{"people", 1}, column{"hours", 1}, column{"pages", 1})
	for i := range f.Days {
		d := &f.Days[i]
		if !f.round {
			t.Rows = append(t.Rows, packet.Row{Group: s.dayOf(d)})
		}
		for _, j := range f.Jobs {
			if j.Day != d.Day || j.Crew != d.Crew {
				continue
			}
			unit := strong(j.Unit)
			unit.Text = append(unit.Text, packet.Span{Text: " " + j.UnitName})
			s.row(t, say(j.Area), unit, strong(j.Job), say(j.Title), say(s.hours(j.People)), say(s.hours(j.Hours)), say(whole(j.Pages)))
		}
	}
	pages := 0
	for i := range f.Jobs {
		pages += f.Jobs[i].Pages
	}
	t.Note = packet.Say(s.word("days.note", "pages", whole(pages)))
	addTable(&sheet, t)
	return sheet
}

// over reports whether a crew's day asks for more hours than the crew has.
func (d *CrewDay) over() bool { return d.Room > 0 && d.Hours > d.Room+1e-6 }

// dayOf says a crew's day with its hours: those of the work, and those that the crew
// has.
func (s *sheets) dayOf(d *CrewDay) string {
	at := strings.TrimSpace(d.Day+" "+s.weekday(d.Day)) + crewSuffix(d.Crew)
	hours := s.hours(d.Hours)
	switch {
	case d.Room == 0:
		return at + ": " + s.word("day.hours_alone", "hours", hours)
	case d.over():
		return at + ": " + s.word("day.hours_over", "hours", hours, "room", s.hours(d.Room))
	}
	return at + ": " + s.word("day.hours", "hours", hours, "room", s.hours(d.Room))
}

func crewSuffix(crew string) string {
	if crew == "" {
		return ""
	}
	return ", " + crew
}

// facts are what the planner has to settle before the week starts.
func (s *sheets) facts() []packet.ListItem {
	f := s.front
	var out []packet.ListItem
	add := func(what, text string) {
		out = append(out, packet.ListItem{Text: packet.Phrase{{Text: what, Style: packet.Strong}, {Text: ": " + text}}})
	}
	if n := len(f.Refused); n > 0 && !f.round {
		var ids []string
		for _, r := range f.Refused {
			ids = append(ids, cmp.Or(r.Job, r.Unit, "–"))
		}
		add(s.word("refused.title"), some(ids))
	}
	if n := len(f.Withdraw); n > 0 {
		var ids []string
		for _, w := range f.Withdraw {
			ids = append(ids, w.Job)
		}
		add(s.word("withdraw.title"), some(ids))
	}
	var over []string
	for i := range f.Days {
		if f.Days[i].over() && !f.round {
			over = append(over, s.dayOf(&f.Days[i]))
		}
	}
	if len(over) > 0 {
		add(s.word("fact.over"), strings.Join(over, "; "))
	}
	for _, d := range f.Due {
		when := s.word("fact.passed")
		if d.GoodFor != "" {
			when = s.word("fact.forecast", "month", d.GoodFor)
		}
		add(s.word("fact.limit"), d.What+", "+when+" ("+strings.Join(d.Jobs, ", ")+")")
	}
	if len(f.Lacks) > 0 {
		var units []string
		for _, l := range f.Lacks {
			units = append(units, l.Unit+" ("+l.Job+") "+whole(l.N))
		}
		add(s.word("fact.lacks"), strings.Join(units, ", "))
	}
	return out
}

// some names the first of many.
func some(ids []string) string {
	const most = 12
	if len(ids) > most {
		return strings.Join(ids[:most], ", ") + " …"
	}
	return strings.Join(ids, ", ")
}

// jobs names the jobs that need something in a cell.
func (s *sheets) jobs(jobs []string) packet.Cell {
	text, _ := s.group(jobs)
	return say(text)
}

// several is from how many jobs on they are counted and not named.
const several = 3

// mostOthers is up to how many jobs are named that are not among nearly all.
const mostOthers = 2

// group names some jobs: all of several, all of a procedure, all but a few, or each;
// shared is true for the first two.
func (s *sheets) group(jobs []string) (text string, shared bool) {
	n := len(jobs)
	if n < several {
		return strings.Join(jobs, ", "), false
	}
	if n == len(s.front.Jobs) {
		return s.word("all", "n", whole(n)), true
	}
	of := map[string]int{} // jobs of a procedure
	title, alike := "", true
	var others []string
	for _, j := range s.front.Jobs {
		of[j.Title]++
		switch {
		case !slices.Contains(jobs, j.Job):
			others = append(others, j.Job)
		case title == "":
			title = j.Title
		case title != j.Title:
			alike = false
		}
	}
	switch {
	case alike && of[title] == n:
		return s.word("all_of", "n", whole(n), "title", title), true
	case len(others) <= mostOthers && n > several*len(others):
		return s.word("all_but", "jobs", strings.Join(others, ", ")), false
	}
	return strings.Join(jobs, ", "), false
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
