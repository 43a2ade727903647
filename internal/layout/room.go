package layout

import (
	"sort"
	"strings"

	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

// Place is one where a text of a record stands on every page and has room for so
// much and no more.
type Place int

const (
	JobID Place = iota
	UnitTag
	UnitName
	ProcedureTitle // beside the widest job ID
	PrintedBy      // the footer's line with the site's name
)

// Room reports whether a text has room at a place of the pages of a paper, and if
// not how many of its characters have. Layout refuses a job ID and a tag that have
// none, and shortens the names; this is for saying so at the record's line.
func Room(at Place, paper, text string) (most int, ok bool) {
	w, _, known := paperSize(paper)
	if !known {
		return 0, true
	}
	s := setter{bad: func(string, face) {}}
	if s.fits(at, w, text) {
		return 0, true
	}
	return s.fitting(at, w, []rune(text), ""), false
}

// fits reports whether a text has room at a place of pages so wide.
func (s *setter) fits(at Place, w float64, text string) bool {
	s.reset()
	var t prose
	switch at {
	case JobID:
		t = s.tag(text, jobMost-jobGap)
	case UnitTag:
		t = s.tag(text, unitColumn-unitGap)
	case UnitName:
		t = s.text(text, faceLabel, unitColumn-unitGap)
	case ProcedureTitle:
		t = s.title(text, titleWidth(w, jobMost))
	case PrintedBy:
		return typeface.Width(faceTick.Face, faceTick.size, text) <= byWidth(w)
	}
	return t.l1-t.l0 <= 1
}

// fitting counts the characters that have room with what is set behind them.
func (s *setter) fitting(at Place, w float64, text []rune, behind string) int {
	return sort.Search(len(text), func(n int) bool { return !s.fits(at, w, string(text[:n+1])+behind) })
}

// shortened gives a text, or where it has no room as much of it as has, with an
// ellipsis. It is for names: the job sheet says them in full.
func (s *setter) shortened(at Place, w float64, text string) string {
	if s.fits(at, w, text) {
		return text
	}
	r := []rune(text)
	return strings.TrimRight(string(r[:s.fitting(at, w, r, "…")]), " ") + "…"
}

// clip gives the beginning of a text, for messages.
func clip(text string, most int) string {
	r := []rune(text)
	return string(r[:min(len(r), most)])
}

// The header has four columns: the job, the unit, the procedure's title, which
// takes what the others leave, and the fingerprint. A long job ID has a wider one.
const (
	jobLeast, jobMost = 27.0, 40.0
	unitColumn        = 39.0
	printColumn       = 21.0
	jobGap, unitGap   = 2.0, 3.0
)

func jobColumn(id string) float64 {
	return min(max(jobLeast, typeface.Width(faceHeading.Face, faceHeading.size, id)+4), jobMost)
}

// headRight is where the header ends, beside the code of a page so wide.
func headRight(w float64) float64 { return w - codeAside - codeLarge*(1+quietMost) - gapSmall }

func titleWidth(w, job float64) float64 {
	return headRight(w) - printColumn - (marginLeft + job + unitColumn) - 3
}

// footLeft is where the footer begins, beside the lower code.
const footLeft = codeAside + codeSmall*(1+quietMost) + gapSmall

// footWidth leaves the corner mark its room.
func footWidth(w float64) float64 { return w - codeAside - footLeft }

// byWidth is what the line of print has behind a code's text of the usual length.
func byWidth(w float64) float64 { return footWidth(w) - codeText }

// tag sets an identifier, large where it has the room.
func (s *setter) tag(id string, w float64) prose {
	f := faceHeading
	for _, size := range []float64{sizeStep, sizeTable, sizeLabel} {
		if typeface.Width(f.Face, f.size, id) <= w {
			break
		}
		f.Face, f.size = page.BoldCondensed, size
	}
	return s.text(id, f, w)
}

// title sets the procedure's title on one line, narrower and smaller where it must be.
func (s *setter) title(title string, w float64) (t prose) {
	for _, f := range []face{faceStrong, {page.BoldCondensed, sizeBody, black}, {page.BoldCondensed, sizeLabel, black}} {
		s.reset()
		if t = s.text(title, f, w); t.l1-t.l0 <= 1 {
			break
		}
	}
	return t
}
