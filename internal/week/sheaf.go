package week

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/layout"
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/origin"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/pdf"
)

// sheaf is a round in the making: what its jobs came to, and its print file.
type sheaf struct {
	*run
	round    *Round
	seen     int // jobs so far
	done     []Done
	parts    [][]packet.Part // beside done
	needs    []Needs         // beside done
	refused  []Refused
	problems diag.List
	changes  []Change

	print   *stack
	changed *stack // of the jobs that changed; nil where none did yet
}

// stack is a print file in the making.
type stack struct {
	draft Draft
	w     *pdf.Writer
	pages int
}

func (r *run) open(round *Round) *sheaf { return &sheaf{run: r, round: round} }

// add takes in one job.
func (s *sheaf) add(got outcome) error {
	s.seen++
	s.problems = append(s.problems, got.Problems...)
	if got.Packet == nil {
		s.refuse(got.Made)
		return s.progress(got)
	}
	pk := got.Packet
	people, hours := effort(s.Library, got.Job)
	d := Done{Job: pk.Job.ID, Unit: pk.Job.Unit, UnitName: pk.Job.UnitName, Procedure: pk.Job.Procedure, Title: pk.Job.Title, Day: pk.Job.Day, Crew: pk.Job.Crew,
		People: people, Hours: hours, Pages: got.Pages, Fingerprint: pk.Fingerprint}
	if u := s.Book.Units[pk.Job.Unit]; u != nil {
		d.Area = u.Area.S
	}
	if i := slices.IndexFunc(pk.Parts, func(p packet.Part) bool { return p.Name == origin.EntryPart }); i >= 0 {
		d.Entry = pk.Parts[i].Digest
	}
	if !got.full {
		d.Pages = s.pagesOf(pk)
	}
	s.done, s.parts, s.needs = append(s.done, d), append(s.parts, pk.Parts), append(s.needs, needsOf(pk))
	why := []string(nil)
	if s.since != nil {
		if why = s.since.why(&d, pk.Parts); why != nil {
			s.changes = append(s.changes, Change{d.Job, why})
		}
	}
	if !got.full {
		return s.progress(got)
	}
	if err := s.Shelf.Put(got.Files...); err != nil {
		return err
	}
	if err := s.stackOn(&s.print, roundsIn, got.Made); err != nil {
		return err
	}
	if why != nil {
		if err := s.stackOn(&s.changed, changedIn, got.Made); err != nil {
			return err
		}
	}
	return s.progress(got)
}

// progress tells of a job. One that is only looked at counts once its round is
// known to be whole.
func (s *sheaf) progress(got outcome) error {
	if got.full {
		s.told.Jobs++
		s.told.Pages += got.Pages
		if s.Tell != nil {
			s.Tell(s.told)
		}
	}
	return nil
}

// refuse notes a job that is not printed. Its own faults are the reasons, and what
// the records it leans on lack.
func (s *sheaf) refuse(m Made) {
	j := m.Job
	r := Refused{Job: j.ID.S, Unit: j.Unit.S, Procedure: j.Procedure.S, Day: j.Day.S, Crew: j.Crew.S, At: j.At}
	for _, list := range []diag.List{j.Problems, m.Problems} {
		for _, p := range list.Sorted() {
			if p.Severity != diag.Error || p.Rule == "refused" && j.Broken() {
				continue
			}
			reason := p.Message
			if p.Pos != j.At && p.Pos.File != "" {
				reason = p.Pos.String() + ": " + reason
			}
			for _, at := range p.Related {
				reason += " (see " + at.String() + ")"
			}
			if !slices.Contains(r.Reasons, reason) {
				r.Reasons = append(r.Reasons, reason)
			}
		}
	}
	s.refused = append(s.refused, r)
}

// stackOn puts a packet onto a print file.
func (s *sheaf) stackOn(to **stack, folder string, m Made) error {
	if *to == nil {
		d, err := s.Shelf.Create(folder + s.round.Name() + ".pdf")
		if err != nil {
			return err
		}
		*to = &stack{draft: d}
		if (*to).w, err = pdf.NewWriter(d, s.frame()); err != nil {
			return err
		}
	}
	k, pk := *to, m.Packet
	marks := []page.Mark{{Title: pk.Job.ID + " · " + pk.Job.Unit + " · " + pk.Job.Title}}
	for _, o := range m.outline {
		o.Level++
		marks = append(marks, o)
	}
	if err := k.w.AddDrawn(m.drawn, marks, pk.Job.ID+" "); err != nil {
		return err
	}
	k.pages += m.Pages
	if !s.Duplex || m.Pages%2 == 0 {
		return nil
	}
	k.pages++
	return k.w.Add([]page.Page{s.blank()}, nil, "")
}

// blank is a page with nothing on it but a line that says so.
func (s *sheaf) blank() page.Page {
	w, h, _ := layout.Paper(s.ledger.Look.Paper)
	return page.Page{W: w, H: h, Sheet: "blank", Texts: []page.Text{{X: 20, Y: 20, Size: 8, Face: page.Regular, Ink: page.Ink{R: 0x60, G: 0x60, B: 0x60}, S: s.Words["week.blank"]}}}
}

// frame is the print file's document without its pages.
func (s *sheaf) frame() page.Doc {
	name := strings.TrimSpace(s.round.Day + " " + s.round.Crew)
	return page.Doc{Title: name + " · " + s.ledger.List, Language: s.ledger.Look.Language, Created: cmp.Or(s.round.Day, "2000-01-01") + "T00:00:00Z"}
}

// front gives the round's front matter, from a ledger of this round alone.
func (s *sheaf) front() (*Front, *Ledger) {
	l := *s.ledger
	l.Jobs, l.Refused, l.Needs = slices.Clone(s.done), s.refused, s.needs
	for i := range l.Jobs {
		l.Jobs[i].Needs = i
	}
	f := l.round(s.round.Day, s.round.Crew)
	return &f, &l
}

// file is the name of the round's print file.
func (s *sheaf) file() string { return roundsIn + s.round.Name() + ".pdf" }

// whole reports whether everything of the round stands on the shelf as it would be
// printed, and then enters it as it is.
func (s *sheaf) whole() (bool, error) {
	f, l := s.front()
	_, tail, err := s.Shelf.Ends(s.file(), 512)
	if err != nil {
		return false, err
	}
	frame := s.frame()
	frame.ID = f.digest(l)
	if len(s.changes) > 0 || pdf.IdentityOf(tail) != pdf.Identity(frame) {
		return false, nil
	}
	pages := 0
	for i, d := range s.done {
		// A packet without sheets gives the document without its pages.
		doc, _ := layout.Layout(packet.Packet{Job: packet.Job{ID: d.Job, Unit: d.Unit, UnitName: d.UnitName, Title: d.Title, Day: d.Day}, Paper: s.ledger.Look.Paper, Fingerprint: d.Fingerprint})
		_, tail, err := s.Shelf.Ends(d.Job+".pdf", 512)
		if err != nil {
			return false, err
		}
		if s.done[i].Pages == 0 || pdf.IdentityOf(tail) != pdf.Identity(doc) {
			return false, nil
		}
		pages += d.Pages
	}
	doc, problems := f.layOut(l, s.Words)
	s.problems = append(s.problems, problems...)
	s.told.Jobs += s.seen
	s.told.Pages += pages
	s.result.Kept += len(s.done)
	s.entered(f.digest(l), s.sides(len(doc.Pages)), true)
	return true, nil
}

// sides counts the pages of the print file with their blank backs.
func (s *sheaf) sides(front int) int {
	n := 0
	count := func(pages int) {
		n += pages
		if s.Duplex {
			n += pages % 2
		}
	}
	count(front)
	for _, d := range s.done {
		count(d.Pages)
	}
	return n
}

// pagesOf gives how many pages a packet on the shelf has, 0 where what stands
// there is not this packet.
func (s *sheaf) pagesOf(pk *packet.Packet) int {
	head, _, err := s.Shelf.Ends(pk.Job.ID+".json", 4096)
	if err != nil || head == nil {
		return 0
	}
	h, err := manifest.ReadHead(bytes.NewReader(head))
	if err != nil || h.Fingerprint != pk.Fingerprint || h.Program != pk.Program {
		return 0
	}
	return h.Pages
}

// close puts the front matter before the packets and ends the print file.
func (s *sheaf) close() error {
	if s.round.Day == "" {
		// Nothing of these jobs could be printed; the week's front matter has them.
		s.entered("", 0, false)
		return nil
	}
	f, l := s.front()
	doc, problems := f.layOut(l, s.Words)
	s.problems = append(s.problems, problems...)
	if s.print == nil { // all were refused: the print file says so
		d, err := s.Shelf.Create(s.file())
		if err != nil {
			return err
		}
		s.print = &stack{draft: d}
		if s.print.w, err = pdf.NewWriter(d, s.frame()); err != nil {
			return err
		}
	}
	if problems.HasErrors() {
		return fmt.Errorf("the front matter of %s cannot be laid out: %s", s.round.Name(), problems.Sorted()[0])
	}
	id := f.digest(l)
	if err := s.end(s.print, doc, id); err != nil {
		return err
	}
	if s.changed != nil {
		note, more := f.changes(l, s.changes, s.Words)
		s.problems = append(s.problems, more...)
		if more.HasErrors() {
			return fmt.Errorf("the list of changes of %s cannot be laid out: %s", s.round.Name(), more.Sorted()[0])
		}
		if err := s.end(s.changed, note, note.ID); err != nil {
			return err
		}
		s.result.Files = append(s.result.Files, changedIn+s.round.Name()+".pdf")
	}
	s.entered(id, s.print.pages, false)
	return nil
}

// end puts leading pages before a print file's others and keeps it.
func (s *sheaf) end(k *stack, lead page.Doc, id string) error {
	pages := lead.Pages
	if s.Duplex && len(pages)%2 != 0 {
		pages = append(slices.Clone(pages), s.blank())
	}
	k.pages += len(pages)
	if err := k.w.Lead(pages, lead.Outline, s.Words["week.glance.title"]+" "); err != nil {
		return err
	}
	if err := k.w.CloseAs(id); err != nil {
		return err
	}
	d := k.draft
	k.draft = nil // kept or not, it is no longer ours
	return d.Keep()
}

// entered enters the round into the ledger.
func (s *sheaf) entered(id string, pages int, whole bool) {
	for i := range s.done {
		s.enter(&s.done[i], s.parts[i], s.needs[i])
	}
	s.ledger.Jobs = append(s.ledger.Jobs, s.done...)
	s.ledger.Refused = append(s.ledger.Refused, s.refused...)
	s.result.Problems = append(s.result.Problems, s.problems...)
	s.result.Changed = append(s.result.Changed, s.changes...)
	if pages == 0 {
		return
	}
	d := RoundDone{Day: s.round.Day, Crew: s.round.Crew, File: s.file(), Jobs: len(s.done), Pages: pages, Fingerprint: strings.ToUpper(id[:8])}
	s.ledger.Rounds = append(s.ledger.Rounds, d)
	s.result.Files = append(s.result.Files, d.File)
	if s.Tell != nil {
		p := s.told
		p.Round, p.Whole = &d, whole
		s.Tell(p)
	}
}

// drop gives up what is not finished.
func (s *sheaf) drop() {
	for _, k := range []*stack{s.print, s.changed} {
		if k != nil && k.draft != nil {
			k.draft.Drop()
		}
	}
}
