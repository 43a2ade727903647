package prove

import (
	"slices"
	"strings"

	"jobsheaf/internal/pdf"
	"jobsheaf/internal/pdfread"
	"jobsheaf/internal/printjob"
)

// Part is a packet inside a print file, or the annex behind it.
type Part struct {
	Job      string    `json:"job"`
	Annex    bool      `json:"annex,omitempty"`
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

// annexOf gives the job of a section that is an annex, "" for any other.
func annexOf(s pdfread.Section) string {
	job, ok := strings.CutSuffix(jobOf(s), printjob.AnnexOf(""))
	if !ok {
		return ""
	}
	return job
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
// proved first; an annex with the one that this file carries. A print file has its fonts
// in common, so what a page shows is compared and not the fonts that it is shown with.
// The front matter is not checked: it is made from the whole run.
func (r *Report) printFile(f *pdfread.File, again Again) {
	r.Same = true
	last, own := "", proved{} // the job in hand: its annex follows its packet
	for i, s := range f.Sections {
		end := len(f.Pages)
		if i+1 < len(f.Sections) {
			end = f.Sections[i+1].First
		}
		p := Part{Job: jobOf(s), First: s.First + 1, Pages: end - s.First}
		if job := annexOf(s); job != "" {
			p.Job, p.Annex = job, true
		}
		if p.Job == "" {
			continue
		}
		if p.Job != last {
			last, own = p.Job, proofOf(p.Job, again)
		}
		switch {
		case own.err != nil && i == 0: // front matter with a prefix of one word
			continue
		case own.err != nil:
			p.Findings = []Finding{{Kind: kindNotRemade, Message: "its own file, from which it is made again, cannot be read: " + own.err.Error()}}
		case !own.Same:
			p.Findings = append([]Finding{{Kind: kindNotRemade, Message: "its own file is not the same any more, so its pages here prove nothing"}}, own.Findings...)
		default:
			p.compare(f.Shown[s.First:end], own.file)
		}
		p.Same = len(p.Findings) == 0
		r.Same = r.Same && p.Same
		r.Packets = append(r.Packets, p)
	}
}

// proved is a packet's own file and what is to be said of it.
type proved struct {
	Report
	file []byte
	err  error // it cannot be read
}

func proofOf(job string, again Again) proved {
	file, err := again.Packet(job)
	if err != nil {
		return proved{err: err}
	}
	return proved{Report: File(file, Again{Program: again.Program, Make: again.Make}), file: file}
}

// compare says in what the pages of a print file differ from a packet's own file, which
// is the same byte for byte, or from the annex in that.
func (p *Part) compare(got []pdfread.Sum, file []byte) {
	g, err := pdfread.Read(file)
	if err == nil && p.Annex {
		at := slices.IndexFunc(g.Attachments, func(a pdfread.Attached) bool { return a.Name == printjob.AnnexName })
		if at < 0 {
			p.Findings = []Finding{{Kind: kindNotRemade, Message: "its packet carries no " + printjob.AnnexName}}
			return
		}
		g, err = pdfread.Read(g.Attachments[at].Data)
	}
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
