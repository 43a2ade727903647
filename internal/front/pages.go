package front

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/layout"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
)

// packet gives the front matter as a packet.
func (f *Front) packet() (packet.Packet, diag.List) {
	s := newSheets(f)
	job, list := "head.week", "head.list"
	id, unit, name := cmp.Or(f.Week, f.run.List), f.run.List, ""
	title := s.word("title.week")
	if f.round {
		job, list = "head.day", "head.crew"
		id, unit, name = f.From, cmp.Or(f.Crew, s.word("none")), s.weekday(f.From)
		title = s.word("title.round")
	}
	p := packet.Packet{
		Job:  packet.Job{ID: id, Unit: unit, UnitName: name, Title: title, Revision: whole(len(f.Jobs)), Day: cmp.Or(f.From, "2000-01-01")},
		Site: f.run.Look.Site, Paper: f.run.Look.Paper, Language: f.run.Look.Language, Decimal: f.run.packetWord("decimal_sign"), Program: f.run.Program,
		Words: f.run.Words.Replace("layout.job", s.word(job), "layout.unit", s.word(list), "layout.procedure", s.word("head.front")), // the head of a page names other things here
	}
	p.Fingerprint = strings.ToUpper(f.ID()[:8])
	p.Sheets = s.all()
	return p, s.problems
}

// oneLook is up to how many jobs each sheet is set as closely as one page takes.
const oneLook = 20

// all gives the sheets that say something: each on pages of its own for a week, so
// that they can be handed out; one after another for a round, which is carried
// whole, with what was refused first.
func (s *sheets) all() []packet.Sheet {
	list := []packet.Sheet{s.glance(), s.withdraw(), s.dangers(), s.locks(), s.pull(), s.tools(), s.refused()}
	if s.front.round {
		list = append(list[6:], list[:6]...)
	}
	list = slices.DeleteFunc(list, func(sheet packet.Sheet) bool { return len(sheet.Blocks) == 0 })
	if !s.front.round {
		for i := range list {
			if len(s.front.Jobs) <= oneLook {
				list[i].Pages = 1
			}
		}
		return list
	}
	one := packet.Sheet{ID: "round", Title: s.word("glance.title")}
	for i, sheet := range list {
		if i > 0 || sheet.ID != "glance" {
			one.Blocks = append(one.Blocks, packet.Block{Heading: &packet.Heading{Text: sheet.Title, Level: 1}})
		}
		one.Blocks = append(one.Blocks, sheet.Blocks...)
	}
	return []packet.Sheet{one}
}

// LayOut makes the pages.
func (f *Front) LayOut() (page.Doc, diag.List) {
	pk, problems := f.packet()
	doc, more := layout.Layout(pk)
	for i := range more {
		more[i].Message = "front matter of " + pk.Job.ID + " " + pk.Job.Unit + ", " + more[i].Pos.String() + ": " + more[i].Message
		more[i].Pos = diag.Pos{File: f.run.List}
	}
	doc.ID = f.ID()
	for _, a := range f.Apart {
		problems.Warnf(diag.Pos{File: f.run.List}, "unlike-amounts", "give its amounts in the records as one kind, all volumes or all masses",
			"%s: the jobs of %s ask for amounts of unlike kinds, %s, which are not added", a.What, pk.Job.ID, strings.Join(a.Kinds, " and "))
	}
	return doc, append(problems, more...)
}

// ID is the SHA-256 of all that the front matter says and of how it is said.
func (f *Front) ID() string {
	raw, err := json.Marshal(struct {
		Front   *Front
		Program string
		List    string
		Look    Look
		Duplex  bool
		Annex   bool
	}{f, f.run.Program, f.run.List, f.run.Look, f.run.Duplex, f.run.Annex})
	if err != nil { // plain data: a number that is none
		raw = []byte(err.Error())
	}
	h := sha256.Sum256(raw)
	return hex.EncodeToString(h[:])
}

// Changes makes the pages that lead what was printed again: which jobs, and why.
func (f *Front) Changes(list []Change) (page.Doc, diag.List) {
	s := newSheets(f)
	t := s.table("changes", column{"job", 1}, column{"change", 4})
	for _, c := range list {
		s.row(t, strong(c.Job), say(printable(strings.Join(c.Why, "\n"))))
	}
	pk, problems := f.packet()
	pk.Sheets = []packet.Sheet{{ID: "changed", Title: s.word("changed.title"), Blocks: []packet.Block{{Table: t}}}}
	doc, more := layout.Layout(pk)
	raw, err := json.Marshal(list)
	if err != nil { // texts alone: cannot be
		raw = nil
	}
	h := sha256.Sum256(append(raw, doc.ID...))
	doc.ID = hex.EncodeToString(h[:])
	return doc, slices.Concat(problems, s.problems, more)
}
