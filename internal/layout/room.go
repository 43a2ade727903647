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
	w, _, known := Paper(paper)
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
	lines := 1
	var t prose
	switch at {
	case JobID:
		t = s.tag(text, jobMost-jobGap)
	case UnitTag:
		t = s.tag(text, unitColumn-unitGap)
	case UnitName:
		t = s.name(text, unitColumn-unitGap)
	case ProcedureTitle:
		t, lines = s.title(text, titleWidth(w, jobMost))
	case PrintedBy:
		t = s.text(text, faceLabel, footWidth(w))
	}
	return t.l1-t.l0 <= lines
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
	unitColumn        = 42.0
	printColumn       = 25.0
	jobGap, unitGap   = 2.0, 3.0
	titleRoom         = 11.0 // height for the procedure's title
	initialsBox       = 30.0 // width of the footer's box
)

func jobColumn(id string) float64 {
	return min(max(jobLeast, typeface.Width(faceHeading.Face, faceHeading.size, id)+4), jobMost)
}

// headRight is where the header ends, beside the code of a page so wide.
func headRight(w float64) float64 { return w - marginRight - codeSize - quietMost - gapSmall }

func titleWidth(w, job float64) float64 {
	return headRight(w) - printColumn - (marginLeft + job + unitColumn) - 3
}

// footLeft is where the footer begins, beside the lower code.
const footLeft = marginLeft + codeSize + quietMost + gapSmall

func footWidth(w float64) float64 { return w - marginRight - initialsBox - gutter - footLeft }

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

// name sets a name, condensed where it must be.
func (s *setter) name(name string, w float64) prose {
	f := face{page.Regular, sizeLabel, black}
	if typeface.Width(f.Face, f.size, name) > w {
		f.Face = page.Condensed
	}
	return s.text(name, f, w)
}

// title sets the procedure's title in the largest face that has room for it, and
// gives how many lines there are.
func (s *setter) title(title string, w float64) (t prose, lines int) {
	for _, f := range []face{{page.Bold, sizeTable, black}, {page.BoldCondensed, sizeTable, black}, {page.BoldCondensed, sizeLabel, black}} {
		s.reset()
		t, lines = s.text(title, f, w), int(titleRoom/f.line())
		if t.l1-t.l0 <= lines {
			break
		}
	}
	return t, lines
}
