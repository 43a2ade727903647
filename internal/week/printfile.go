package week

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/front"
	"jobsheaf/internal/layout"
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/origin"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/pdf"
	"jobsheaf/internal/printjob"
)

// printing is a round that is being printed: what its jobs came to, and its print
// file.
type printing struct {
	*run
	round    *Round
	seen     int // jobs so far
	done     []Done
	parts    [][]packet.Part // beside done
	needs    []packet.Needs  // beside done
	refused  []front.Refused
	problems diag.List
	changes  []front.Change

	print   *printFile
	changed *printFile // of the jobs that changed; nil where none did yet
}

// printFile is a print file in the making.
type printFile struct {
	draft Draft
	w     *pdf.Writer
	pages int
}

func (r *run) open(round *Round) *printing { return &printing{run: r, round: round} }

// add takes in one job.
func (s *printing) add(got printjob.Made, full bool) error {
	s.seen++
	s.problems = append(s.problems, got.Problems...)
	if got.Packet == nil {
		s.refuse(got)
		s.progress(full)
		return nil
	}
	pk := got.Packet
	people, hours := effort(s.Library, got.Job)
	d := Done{Job: front.Job{Job: pk.Job.ID, Unit: pk.Job.Unit, UnitName: pk.Job.UnitName, Procedure: pk.Job.Procedure, Title: pk.Job.Title, Day: pk.Job.Day, Crew: pk.Job.Crew,
		People: people, Hours: hours, Pages: got.Pages, Fingerprint: pk.Fingerprint}}
	if u := s.Book.Units[pk.Job.Unit]; u != nil {
		d.Area = u.Area.S
	}
	if i := slices.IndexFunc(pk.Parts, func(p packet.Part) bool { return p.Name == origin.EntryPart }); i >= 0 {
		d.Entry = pk.Parts[i].Digest
	}
	switch {
	case !full:
		d.Pages, d.Annex = s.pagesOf(pk)
	case s.Maker.Annex:
		d.Annex = got.Annex.Pages
	}
	s.done, s.parts, s.needs = append(s.done, d), append(s.parts, pk.Parts), append(s.needs, pk.Needs)
	why := []string(nil)
	if s.Changed && s.before != nil {
		if why = s.before.why(&d, pk.Parts); why != nil {
			s.changes = append(s.changes, front.Change{Job: d.Job.Job, Why: why})
		}
	}
	if !full {
		s.progress(full)
		return nil
	}
	if err := s.out.put(got.Files...); err != nil {
		return err
	}
	if err := s.addTo(&s.print, roundsIn, got); err != nil {
		return err
	}
	if why != nil {
		if err := s.addTo(&s.changed, changedIn, got); err != nil {
			return err
		}
	}
	s.progress(full)
	return nil
}

// progress reports a job. One that was only composed counts once its round is known
// to be whole.
func (s *printing) progress(full bool) {
	if full {
		s.far.Jobs++
		if s.Tell != nil {
			s.Tell(s.far)
		}
	}
}

// refuse notes a job that is not printed. Its own faults are the reasons, and what
// the records it leans on lack.
func (s *printing) refuse(m printjob.Made) {
	j := m.Job
	r := front.Refused{Job: j.ID.S, Unit: j.Unit.S, Procedure: j.Procedure.S, Day: j.Day.S, Crew: j.Crew.S, At: j.At, Cause: front.InRecords}
	switch {
	case j.Broken():
		r.Cause = front.InList
	case slices.ContainsFunc(m.Problems, func(p diag.Problem) bool { return p.Rule == "wrong-procedure" }):
		r.Cause = front.InProcedure
	}
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

// addTo puts a packet onto a print file.
func (s *printing) addTo(to **printFile, folder string, m printjob.Made) error {
	if *to == nil {
		d, err := s.out.create(folder + s.round.Name() + ".pdf")
		if err != nil {
			return err
		}
		*to = &printFile{draft: d}
		if (*to).w, err = pdf.NewWriter(d, s.frame()); err != nil {
			return err
		}
	}
	k, pk := *to, m.Packet
	marks := []page.Mark{{Title: pk.Job.ID + " · " + pk.Job.Unit + " · " + pk.Job.Title}}
	for _, o := range m.Outline {
		o.Level++
		marks = append(marks, o)
	}
	if err := s.bind(k, &m.Bound, marks, pk.Job.ID); err != nil || !s.Maker.Annex {
		return err
	}
	marks = []page.Mark{{Title: s.Words.Get("week.annex"), Level: 1}}
	for _, o := range m.Annex.Outline {
		o.Level += 2
		marks = append(marks, o)
	}
	return s.bind(k, &m.Annex, marks, printjob.AnnexOf(pk.Job.ID))
}

// bind puts pages onto a print file, with a blank back where they end on a front.
func (s *printing) bind(k *printFile, b *printjob.Bound, marks []page.Mark, name string) error {
	if err := k.w.AddDrawn(b.Drawn, marks, name+" "); err != nil {
		return err
	}
	k.pages += b.Pages
	if !s.Duplex || b.Pages%2 == 0 {
		return nil
	}
	k.pages++
	return k.w.Add([]page.Page{s.blank()}, nil, "")
}

// blank is a page with nothing on it but a line that says so.
func (s *printing) blank() page.Page {
	return layout.BlankSide(s.ledger.Look.Paper, s.Words.Get("week.blank"))
}

// frame is the print file's document without its pages.
func (s *printing) frame() page.Doc {
	name := strings.TrimSpace(s.round.day + " " + s.round.crew)
	return page.Doc{Title: name + " · " + s.ledger.List, Language: s.ledger.Look.Language, Created: cmp.Or(s.round.day, "2000-01-01") + "T00:00:00Z"}
}

// front gives the round's front matter.
func (s *printing) front() front.Front {
	jobs := make([]front.Job, len(s.done))
	for i, d := range s.done {
		jobs[i] = d.Job
		jobs[i].Needs = &s.needs[i]
	}
	return front.Round(&s.ledger.Run, s.round.day, s.round.crew, jobs, s.refused)
}

// file is the name of the round's print file.
func (s *printing) file() string { return roundsIn + s.round.Name() + ".pdf" }

// whole reports whether everything of the round is in the output as it would be
// printed, and then enters it as it is.
func (s *printing) whole() (bool, error) {
	f := s.front()
	if ok, err := s.undamaged(f.ID()); !ok {
		return false, err
	}
	_, tail, err := s.out.Ends(s.file(), 512)
	if err != nil {
		return false, s.out.passed(err)
	}
	frame := s.frame()
	frame.ID = f.ID()
	if len(s.changes) > 0 || pdf.IdentityOf(tail) != pdf.Identity(frame) {
		return false, nil
	}
	for i := range s.done {
		d := &s.done[i]
		doc, _ := layout.Layout(s.bare(d))
		same, err := s.is(d.Job.Job+".pdf", doc)
		if err == nil && same && s.Maker.Annex {
			same, err = s.hasAnnex(d)
		}
		if err != nil || !same || d.Pages == 0 {
			return false, err
		}
	}
	doc, problems := f.LayOut()
	s.problems = append(s.problems, problems...)
	s.far.Jobs += s.seen
	s.result.Kept += len(s.done)
	s.entered(f.ID(), s.sides(len(doc.Pages)), true)
	return true, nil
}

// bare gives a packet without sheets, whose document is that of the packet without its
// pages.
func (r *run) bare(d *Done) packet.Packet {
	return packet.Packet{Job: packet.Job{ID: d.Job.Job, Unit: d.Unit, UnitName: d.UnitName, Title: d.Title, Day: d.Day}, Paper: r.ledger.Look.Paper, Fingerprint: d.Fingerprint}
}

// is reports whether a file in the output is that of a document.
func (r *run) is(name string, doc page.Doc) (bool, error) {
	_, tail, err := r.out.Ends(name, 512)
	if err != nil {
		return false, r.out.passed(err)
	}
	return pdf.IdentityOf(tail) == pdf.Identity(doc), nil
}

// hasAnnex reports whether the annex of a job is in the output.
func (r *run) hasAnnex(d *Done) (bool, error) {
	doc, _ := layout.Annex(r.bare(d))
	return r.is(annexFile(d.Job.Job), doc)
}

// undamaged reports whether the files of the round are as the run before left them.
// Those that say something else now than they did then are taken as they are.
func (s *printing) undamaged(id string) (bool, error) {
	same := s.before == nil || slices.ContainsFunc(s.before.ledger.Rounds, func(d RoundDone) bool { return d.File == s.file() && d.Fingerprint == short(id) })
	all, err := s.out.asLeft(s.file(), same)
	if err != nil {
		return false, err
	}
	for _, d := range s.done {
		same := s.before == nil
		if !same {
			old := s.before.jobs[d.Job.Job]
			same = old != nil && old.Fingerprint == d.Fingerprint
		}
		for _, name := range s.filesOf(d.Job.Job) {
			ok, err := s.out.asLeft(name, same)
			if err != nil {
				return false, err
			}
			all = all && ok
		}
	}
	return all, nil
}

// forget takes what was found of the round out of what was written, since it is
// printed again: of that, some may be refused or have something in its way.
func (s *printing) forget() {
	delete(s.out.files, s.file())
	for _, d := range s.done {
		for _, name := range s.filesOf(d.Job.Job) {
			delete(s.out.files, name)
		}
	}
}

// short gives the eight digits of a digest that are printed.
func short(id string) string { return strings.ToUpper(id[:8]) }

// sides counts the pages of the print file with their blank backs.
func (s *printing) sides(front int) int {
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
		count(d.Annex)
	}
	return n
}

// pagesOf gives how many pages a packet in the output has, 0 where what is there is
// not this packet, and those of its annex where that is printed.
func (s *printing) pagesOf(pk *packet.Packet) (pages, annex int) {
	head, _, err := s.out.Ends(pk.Job.ID+".json", 4096)
	if err != nil || head == nil {
		return 0, 0
	}
	h, err := manifest.ReadHead(bytes.NewReader(head))
	if err != nil || h.Fingerprint != pk.Fingerprint || h.Program != pk.Program {
		return 0, 0
	}
	if s.Maker.Annex {
		annex = h.Annex
	}
	return h.Pages, annex
}

// close puts the front matter before the packets and ends the print file.
func (s *printing) close() error {
	if s.print == nil {
		// Nothing of these jobs could be printed; the week's front matter names them.
		s.entered("", 0, false)
		return nil
	}
	f := s.front()
	doc, problems := f.LayOut()
	s.problems = append(s.problems, problems...)
	if problems.HasErrors() {
		return fmt.Errorf("the front matter of %s cannot be laid out: %s", s.round.Name(), problems.Sorted()[0])
	}
	id := f.ID()
	if err := s.end(s.print, doc, id); err != nil {
		return err
	}
	if s.changed != nil {
		note, more := f.Changes(s.changes)
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
func (s *printing) end(k *printFile, lead page.Doc, id string) error {
	pages := lead.Pages
	if s.Duplex && len(pages)%2 != 0 {
		pages = append(slices.Clone(pages), s.blank())
	}
	k.pages += len(pages)
	if err := k.w.Lead(pages, lead.Outline, s.Words.Get("week.glance.title")+" "); err != nil {
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
func (s *printing) entered(id string, pages int, whole bool) {
	for i := range s.done {
		s.enter(&s.done[i], s.parts[i], s.needs[i])
	}
	s.ledger.Jobs = append(s.ledger.Jobs, s.done...)
	s.ledger.Refused = append(s.ledger.Refused, s.refused...)
	s.result.Problems = append(s.result.Problems, s.problems...)
	s.result.Changed = append(s.result.Changed, s.changes...)
	if _, written := s.out.files[s.file()]; !written {
		return
	}
	d := RoundDone{Day: s.round.day, Crew: s.round.crew, File: s.file(), Jobs: len(s.done), Pages: pages, Fingerprint: short(id)}
	s.ledger.Rounds = append(s.ledger.Rounds, d)
	s.result.Files = append(s.result.Files, d.File)
	if s.Tell != nil {
		p := s.far
		p.Round, p.Whole = &d, whole
		s.Tell(p)
	}
}

// drop gives up what is not finished.
func (s *printing) drop() {
	for _, k := range []*printFile{s.print, s.changed} {
		if k != nil && k.draft != nil {
			k.draft.Drop()
		}
	}
}
