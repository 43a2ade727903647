package prove

import (
	"slices"
	"strings"

	"jobsheaf/internal/pdf"
	"jobsheaf/internal/pdfread"
	"jobsheaf/internal/printjob"
)

// Part is a packet inside a print file.
type Part struct {
	Job      string    `json:"job"`
	First    int       `json:"first"` // page of the print file, from 1
	Pages    int       `json:"pages"`
	Same     bool      `json:"same"`            // shows what its own file shows, and that is the same byte for byte
	After    bool      `json:"after,omitempty"` // one more page follows, such as a blank back; it is not checked
	Findings []Finding `json:"findings,omitempty"`
}

// isPrintFile reports whether a file is one of ours in which packets are joined: these
// carry no inputs, and number the pages of each job by themselves.
func isPrintFile(f *pdfread.File) bool {
	carries := slices.ContainsFunc(f.Attachments, func(a pdfread.Attached) bool { return a.Name == printjob.InputsName })
	return f.Producer == pdf.Maker && !carries && slices.ContainsFunc(f.Sections, func(s pdfread.Section) bool { return jobOf(s) != "" })
}

// jobOf gives the job of a section, "" for front matter.
func jobOf(s pdfread.Section) string {
	job, ok := strings.CutSuffix(s.Prefix, " ")
	if !ok || strings.ContainsAny(job, " /\\") {
		return ""
	}
	return job
}

// printFile compares each packet inside a print file with the job's own file, which is
// proved first. A print file has its fonts in common, so what a page shows is compared
// and not the fonts that it is shown with. The front matter is not checked: it is made
// from the whole run.
func (r *Report) printFile(f *pdfread.File, again Again) {
	r.Same = true
	for i, s := range f.Sections {
		end := len(f.Pages)
		if i+1 < len(f.Sections) {
			end = f.Sections[i+1].First
		}
		job := jobOf(s)
		if job == "" {
			continue
		}
		file, err := again.Packet(job)
		p := Part{Job: job, First: s.First + 1, Pages: end - s.First}
		switch {
		case err != nil && i == 0: // front matter with a prefix of one word
			continue
		case err != nil:
			p.Findings = []Finding{{Kind: kindNotRemade, Message: "its own file, from which it is made again, cannot be read: " + err.Error()}}
		default:
			p.packet(f.Shown[s.First:end], file, again)
		}
		p.Same = len(p.Findings) == 0
		r.Same = r.Same && p.Same
		r.Packets = append(r.Packets, p)
	}
}

// packet says in what the pages of a print file differ from a packet's own file.
func (p *Part) packet(got []pdfread.Sum, file []byte, again Again) {
	own := File(file, Again{Program: again.Program, Make: again.Make})
	if !own.Same {
		p.Findings = append([]Finding{{Kind: kindNotRemade, Message: "its own file has changed, so its pages here prove nothing"}}, own.Findings...)
		return
	}
	g, err := pdfread.Read(file)
	if err != nil {
		p.Findings = []Finding{{Kind: kindHurt, Message: err.Error()}}
		return
	}
	if p.After = len(got) == len(g.Shown)+1 && len(got)%2 == 0; p.After {
		got = got[:len(g.Shown)]
	}
	p.Pages = len(got)
	var r Report
	r.pages(got, g.Shown, sheets(&g))
	p.Findings = r.Findings
}
