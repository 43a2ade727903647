package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/review"
	"jobsheaf/internal/source"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

// wordsOfReview gives the words in which findings are told on a terminal: English, as all
// messages.
func wordsOfReview() (review.Words, error) {
	c, problems := words.Load(nil, templates.FS, source.English, nil)
	if problems.HasErrors() {
		return nil, fmt.Errorf("the built-in words cannot be read: %s", problems[0].Message)
	}
	return c.For("review", new(diag.List)).Say, nil
}

// report tells what a review found: of one packet all of it, of many a table first.
type report struct {
	w    io.Writer
	v    *reviewing
	say  review.Words
	one  bool
	list []reviewed
}

func newReport(w io.Writer, v *reviewing, say review.Words, one bool) *report {
	return &report{w: w, v: v, say: say, one: one}
}

// add takes a packet in; of those without anything that was asked for nothing is told.
func (t *report) add(p reviewed) {
	if t.one || len(t.v.only) == 0 && !t.v.open || len(p.shown) > 0 {
		t.list = append(t.list, p)
	}
}

// end tells it all.
func (t *report) end() error {
	if t.v.json {
		return t.json()
	}
	var b strings.Builder
	narrow := !t.one && len(t.v.only) > 0
	if !t.one && !narrow {
		t.table(&b)
	}
	for _, p := range t.list {
		switch {
		case narrow:
			t.lines(&b, p)
		case t.one || len(p.shown) > 0 && p.State() != review.Out: // of which the table says all
			t.packet(&b, p)
		}
	}
	if len(t.list) == 0 {
		fmt.Fprintln(&b, "nothing was found")
	}
	_, err := io.WriteString(t.w, b.String())
	return err
}

// table tells one line a packet.
func (t *report) table(b *strings.Builder) {
	rows := make([][6]string, 0, len(t.list))
	var wide [6]int
	for _, p := range t.list {
		row := [6]string{p.Job.Day, p.Job.ID, p.Job.Unit, p.Job.Procedure, t.say("state." + string(p.State())), t.backOf(p)}
		for i, cell := range row {
			wide[i] = max(wide[i], len([]rune(cell)))
		}
		rows = append(rows, row)
	}
	for i, row := range rows {
		for k, cell := range row {
			b.WriteString(cell + strings.Repeat(" ", wide[k]-len([]rune(cell))+2))
		}
		if p := t.list[i]; p.State() != review.Out || len(review.Open(p.shown)) > 0 {
			b.WriteString(counted(p.shown))
		}
		b.WriteString("\n")
	}
}

// backOf says how many pages came back.
func (t *report) backOf(p reviewed) string {
	return fmt.Sprintf("%d/%d", p.Came(), len(p.Manifest.Pages))
}

// counted says how many findings there are.
func counted(list []review.Finding) string {
	stand, let, remarks := len(review.Open(list)), 0, 0
	for _, f := range list {
		switch {
		case f.Let != nil:
			let++
		case !f.Stands():
			remarks++
		}
	}
	var parts []string
	for _, c := range []struct {
		n    int
		noun string
	}{{stand, "finding"}, {remarks, "remark"}} {
		if c.n > 0 {
			parts = append(parts, plural(c.n, c.noun))
		}
	}
	if let > 0 {
		parts = append(parts, fmt.Sprintf("%d let through", let))
	}
	if len(parts) == 0 {
		return "nothing found"
	}
	return strings.Join(parts, ", ")
}

// packet tells what was found of a packet.
func (t *report) packet(b *strings.Builder, p reviewed) {
	if !t.one {
		b.WriteString("\n")
	}
	fmt.Fprintf(b, "%s  %s  %s  %s  print %d of %d, %s  %s, %s pages: %s\n", p.Job.Day, p.Job.ID, p.Job.Unit, p.Job.Procedure,
		p.Print.N, len(p.Prints), p.Print.Fingerprint, t.say("state."+string(p.State())), t.backOf(p), counted(p.shown))
	var settle []string         // what settles findings, in the order of need
	of := map[string][]string{} // the first parts of their keys, by that
	last := review.Gravity(0)
	for _, s := range review.Say(p.shown, t.say) {
		f := &s.Findings[0]
		if f.Gravity != last {
			last = f.Gravity
			fmt.Fprintf(b, "%s\n", t.say("gravity."+f.Gravity.String()))
		}
		fmt.Fprintf(b, "  %s\n", t.line(s, p))
		if s.Settle == "" {
			continue
		}
		if of[s.Settle] == nil {
			settle = append(settle, s.Settle)
		}
		if topic, _, _ := strings.Cut(f.Key, "-"); !slices.Contains(of[s.Settle], topic) {
			of[s.Settle] = append(of[s.Settle], topic)
		}
	}
	if !t.one {
		return
	}
	if len(settle) > 0 {
		b.WriteString("What settles it\n")
	}
	for _, s := range settle {
		fmt.Fprintf(b, "  %s: %s\n", strings.Join(of[s], ", "), s)
	}
	for _, c := range commands {
		if slices.ContainsFunc(p.shown, func(f review.Finding) bool { return f.Stands() && (c.topic == "" || f.Is(c.topic)) }) {
			fmt.Fprintf(b, "  "+c.command+"\n", p.Job.ID)
		}
	}
}

// commands are those that settle findings of a topic, "" of any.
var commands = []struct{ topic, command string }{
	{"untyped", "jobsheaf type %s"},
	{"unsure", "jobsheaf settle %s BOX marked|blank"},
	{"", "jobsheaf accept %s KEY --why WHY"},
}

// line tells one line, with the key by which it can be accepted.
func (t *report) line(s review.Said, p reviewed) string {
	line := s.What
	if s.Where != "" {
		line = s.Where + ": " + line
	}
	return fmt.Sprintf("%s [%s]%s", plain(line), keyOf(s.Findings, p.shown), t.letOf(&s.Findings[0]))
}

// plain writes spaces that hold words together as those that can be searched for, and what
// could move a terminal's cursor as a question mark: people type what they like.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Zs, r):
			return ' '
		case unicode.IsPrint(r):
			return r
		}
		return '?'
	}, s)
}

// lines tells what was asked for of a packet, each line with the packet's day, job and
// unit: an answer that other programs can sort and count.
func (t *report) lines(b *strings.Builder, p reviewed) {
	for _, s := range review.Say(p.shown, t.say) {
		fmt.Fprintf(b, "%s  %s  %s  %s\n", p.Job.Day, p.Job.ID, p.Job.Unit, t.line(s, p))
	}
}

// letOf says who let a finding through.
func (t *report) letOf(f *review.Finding) string {
	if f.Let == nil {
		return ""
	}
	return " " + plain(f.Let.Say(t.say))
}

// keyOf names findings that are told in one line: by what their keys alone begin with,
// else by all their keys.
func keyOf(group, all []review.Finding) string {
	keys := make([]string, len(group))
	for i, f := range group {
		keys[i] = f.Key
	}
	parts := strings.Split(keys[0], "-")
	for n := range parts {
		name, fits := strings.Join(parts[:n+1], "-"), 0
		for _, f := range all {
			if f.Is(name) {
				fits++
			}
		}
		within := 0
		for _, f := range group {
			if f.Is(name) {
				within++
			}
		}
		if len(group) > 1 && group[0].Lumped() && within == len(group) && fits == within {
			return name
		}
	}
	return strings.Join(keys, " ")
}

// findingJSON and packetJSON are a review for a program.
type findingJSON struct {
	Key     string      `json:"key"`
	Gravity string      `json:"gravity"`
	Stands  bool        `json:"stands"`
	Page    int         `json:"page,omitempty"`
	Step    string      `json:"step,omitempty"`
	Box     string      `json:"box,omitempty"`
	Picture string      `json:"picture,omitempty"`
	Where   string      `json:"where,omitempty"`
	What    string      `json:"what"`
	Settle  string      `json:"settle,omitempty"`
	Let     *review.Let `json:"let,omitempty"`
}

type packetJSON struct {
	Job         string        `json:"job"`
	Unit        string        `json:"unit"`
	Procedure   string        `json:"procedure"`
	Day         string        `json:"day"`
	State       review.State  `json:"state"`
	Print       int           `json:"print"`
	Prints      int           `json:"prints"`
	Fingerprint string        `json:"fingerprint"`
	Back        int           `json:"back"`
	Pages       int           `json:"pages"`
	Findings    []findingJSON `json:"findings"`
}

func (t *report) json() error {
	out := struct {
		Packets []packetJSON `json:"packets"`
	}{[]packetJSON{}}
	for _, p := range t.list {
		j := packetJSON{p.Job.ID, p.Job.Unit, p.Job.Procedure, p.Job.Day, p.State(), p.Print.N, len(p.Prints), p.Print.Fingerprint, p.Came(), len(p.Manifest.Pages), []findingJSON{}}
		for i := range p.shown {
			f := &p.shown[i]
			s := review.Say(p.shown[i:i+1], t.say)[0]
			j.Findings = append(j.Findings, findingJSON{f.Key, f.Gravity.String(), f.Stands(), f.Page, f.Step, f.Box, f.Picture, plain(s.Where), plain(s.What), s.Settle, f.Let})
		}
		out.Packets = append(out.Packets, j)
	}
	return writeJSON(t.w, out)
}
