// Package prove tells whether the file of a packet or of its annex is what its own
// inputs make, byte for byte, and where it is not, in what it differs.
//
// Entry point: File. It belongs here if it says what became of a file since it was
// printed. It is not for reading the format (pdf), nor for making the packet again
// (printjob): the caller does that.
//
// It finds what was altered by mistake or in passing. It does not protect against forgery: anyone with the
// program can print another packet.
package prove

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/origin"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/pdf"
	"jobsheaf/internal/pdfread"
	"jobsheaf/internal/printjob"
)

// maxInputs is the most bytes of inputs that are read: a packet has some 40,000.
const maxInputs = 16 << 20

// Kind says what was found.
type Kind string

const (
	kindNotOurs     Kind = "not-ours"     // no packet of this program
	kindTruncated   Kind = "truncated"    // the end is missing
	kindHurt        Kind = "hurt"         // cannot be read any more
	kindOtherMaker  Kind = "program"      // made with another version of the program, or of its templates
	kindInputLine   Kind = "input"        // a line of what the packet was made from was altered
	kindNotRemade   Kind = "not-remade"   // its inputs make no packet
	kindOtherInputs Kind = "other-inputs" // the pages were made from other inputs than the file carries
	kindAltered     Kind = "page"         // a page was altered, added or taken out
	kindOrder       Kind = "order"        // pages are in another order
	kindCarried     Kind = "attachment"   // an attachment was altered, added or taken out
	kindDocument    Kind = "document"     // what belongs to the whole: bookmarks, dates and the like
	kindRewritten   Kind = "rewritten"    // all that is shown and carried is the same, the bytes are not
)

// Finding is one thing in which a file differs. Pages are counted from 1.
type Finding struct {
	Kind    Kind      `json:"kind"`
	Message string    `json:"message"`
	Pages   []int     `json:"pages,omitempty"`
	At      *diag.Pos `json:"at,omitempty"` // of an altered input
}

// Report is what is to be said of a file.
type Report struct {
	Same        bool      `json:"same"` // byte for byte
	Job         string    `json:"job,omitempty"`
	Annex       bool      `json:"annex,omitempty"`       // it is the annex of the job's packet
	Fingerprint string    `json:"fingerprint,omitempty"` // as the inputs make it
	Program     string    `json:"program,omitempty"`     // with which the packet was made, as it says
	Findings    []Finding `json:"findings,omitempty"`
	Packets     []Part    `json:"packets,omitempty"` // of a print file; it is the same where all of these are
}

func (r *Report) add(k Kind, format string, args ...any) *Finding {
	r.Findings = append(r.Findings, Finding{Kind: k, Message: fmt.Sprintf(format, args...)})
	return &r.Findings[len(r.Findings)-1]
}

// Remade is the file of a packet, and that of its annex, made from what one carries.
type Remade struct {
	Packet, Annex []byte
	Fingerprint   string
}

// Again makes a packet's file from what one carries. Program is the name and
// version of the program that makes it.
type Again struct {
	Program string
	Make    func(*origin.Carried) (Remade, error)
	// Packet gives the file of a job's own packet, to which its pages in a print file
	// are compared. Nil where there is no place to look for one.
	Packet func(job string) ([]byte, error)
}

// File reads the file of a packet or of an annex, makes it again and compares the two. Whatever is
// wrong with the file is in the report, a file that is none of ours included.
func File(file []byte, again Again) Report {
	var r Report
	f, err := pdfread.Read(file)
	switch {
	case errors.Is(err, pdfread.ErrNotPDF):
		r.add(kindNotOurs, "%s", err)
		return r
	case !f.Whole:
		r.add(kindTruncated, "the file is cut off: after %d bytes its end is missing", len(file))
	}
	if err != nil {
		if f.Whole {
			r.add(kindHurt, "%s", err)
		}
		return r
	}
	if isPrintFile(&f) && again.Packet != nil {
		r.printFile(&f, again)
		return r
	}
	in := r.inputs(&f)
	if in == nil {
		return r
	}
	for _, at := range in.Altered {
		r.add(kindInputLine, "%s was altered since the packet was made", at).At = &at
	}
	if in.Program != again.Program {
		r.add(kindOtherMaker, "it was made with %s, and this is %s: prove it with the program that made it", in.Program, again.Program)
	}
	both, err := again.Make(in)
	if err != nil {
		r.add(kindNotRemade, "no packet can be made from what it carries: %s", err)
		return r
	}
	r.Fingerprint = both.Fingerprint
	made := both.Packet
	if r.Annex = isAnnex(&f); r.Annex {
		made = both.Annex
	}
	if bytes.Equal(file, made) {
		r.Findings, r.Same = nil, true
		return r
	}
	g, err := pdfread.Read(made)
	if err != nil {
		r.add(kindNotRemade, "what it carries makes a file that cannot be read: %s", err)
		return r
	}
	r.compare(&f, &g)
	if len(r.Findings) == 0 {
		r.add(kindRewritten, "every page and attachment is what it was, but the file was rewritten: it differs from byte %d on", firstOther(file, made)+1)
	}
	return r
}

// isAnnex reports whether a file is an annex, which names its pages after itself.
func isAnnex(f *pdfread.File) bool {
	return len(f.Sections) > 0 && annexOf(f.Sections[0]) != ""
}

// inputs reads what the file carries, or says why that cannot be.
func (r *Report) inputs(f *pdfread.File) *origin.Carried {
	at := slices.IndexFunc(f.Attachments, func(a pdfread.Attached) bool { return a.Name == printjob.InputsName })
	switch {
	case at < 0 && f.Producer == pdf.Maker:
		r.add(kindCarried, "it carries no %s, from which a packet is made again", printjob.InputsName)
		return nil
	case at < 0:
		r.add(kindNotOurs, "it is not a packet of this program: it carries no %s", printjob.InputsName)
		return nil
	}
	a := f.Attachments[at]
	if a.Fault != "" {
		r.add(kindCarried, "the attachment %s was altered: %s", a.Name, a.Fault)
		return nil
	}
	if len(a.Data) > maxInputs {
		r.add(kindCarried, "the attachment %s has %d bytes, more than any packet", a.Name, len(a.Data))
		return nil
	}
	in, err := origin.Read(a.Data)
	if err != nil {
		r.add(kindCarried, "the attachment %s was altered: %s", a.Name, err)
		return nil
	}
	r.Job, r.Program = in.Job.ID.S, in.Program
	return in
}

// compare says in what a file f differs from g, which its inputs make.
func (r *Report) compare(f, g *pdfread.File) {
	was, now := said(f), said(g)
	r.parts(was, now)
	if was.Fingerprint != "" && was.Fingerprint != now.Fingerprint {
		r.add(kindOtherInputs, "its pages were made from other inputs than it carries: they say fingerprint %s, and what it carries makes %s", was.Fingerprint, now.Fingerprint)
		return // every page has the fingerprint on it
	}
	r.attachments(f, g)
	r.pages(f.Pages, g.Pages, sheets(g))
	for _, name := range slices.Sorted(maps.Keys(g.Parts)) {
		switch was := f.Parts[name]; {
		case was == g.Parts[name]:
		case was.Fault != "":
			r.add(kindDocument, "a part of the whole document cannot be read: %s (%s)", name, was.Fault)
		default:
			r.add(kindDocument, "a part of the whole document was altered: %s", name)
		}
	}
}

// said gives what a file says of itself; it is empty where that cannot be read.
func said(f *pdfread.File) packet.Packet {
	var p packet.Packet
	for _, a := range f.Attachments {
		if a.Name == printjob.PacketName && json.Unmarshal(a.Data, &p) != nil {
			return packet.Packet{}
		}
	}
	return p
}

// parts names the inputs that are not what they were.
func (r *Report) parts(was, now packet.Packet) {
	digests := map[string]string{}
	for _, p := range now.Parts {
		digests[p.Name] = p.Digest
	}
	for _, p := range was.Parts {
		d, there := digests[p.Name]
		switch {
		case d == p.Digest || p.Name == origin.ProgramPart: // another program was reported already
		case !there:
			r.add(kindOtherInputs, "%s was part of the packet, and is not in what it carries", p.Name)
		case origin.CameWithProgram(p.Name):
			r.add(kindOtherMaker, "%s, which came with the program, is not what it was when the packet was made", p.Name)
		default:
			r.add(kindOtherInputs, "%s is not what it was when the packet was made", p.Name)
		}
	}
}

// attachments compares what is carried.
func (r *Report) attachments(f, g *pdfread.File) {
	find := func(all []pdfread.Attached, name string) *pdfread.Attached {
		for i := range all {
			if all[i].Name == name {
				return &all[i]
			}
		}
		return nil
	}
	for _, want := range g.Attachments {
		got := find(f.Attachments, want.Name)
		switch {
		case got == nil:
			r.add(kindCarried, "the attachment %s was taken out", want.Name)
		case got.Fault != "":
			r.add(kindCarried, "the attachment %s was altered: %s", want.Name, got.Fault)
		case !bytes.Equal(got.Data, want.Data):
			at := firstOther(got.Data, want.Data)
			r.add(kindCarried, "the attachment %s was altered, first in line %d", want.Name, 1+bytes.Count(want.Data[:min(at, len(want.Data))], []byte("\n")))
		case got.MIME != want.MIME || got.Description != want.Description || got.Relationship != want.Relationship:
			r.add(kindCarried, "the file's description of its attachment %s was altered", want.Name)
		}
	}
	seen := map[string]bool{}
	for _, got := range f.Attachments {
		if find(g.Attachments, got.Name) == nil || seen[got.Name] {
			r.add(kindCarried, "the attachment %q was added", cmp.Or(got.Name, "without a name"))
		}
		seen[got.Name] = true
	}
}

// firstOther gives the first place in which two texts differ.
func firstOther(a, b []byte) int {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] {
		i++
	}
	return i
}
