package joblist

import (
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
	"jobsheaf/internal/source"
)

// rowKind is what a row below the headings is.
type rowKind uint8

const (
	jobRow rowKind = iota
	cancelledRow
	sumRow
	loneRow    // one text, such as the name of a shift
	headingRow // the headings once more, as on the second page of a print
)

// kindOf tells what a row is; doubt says why a row that may be cancelled is not
// clearly so, with its column.
func (l *lister) kindOf(r *gridRow) (kind rowKind, doubt string, col int) {
	if r.fault != "" {
		return jobRow, "", 0
	}
	filled := r.filled()
	status := l.cols[statusKey]
	for _, c := range filled {
		text := r.cell(c)
		f := ""
		if len(text) <= maxHeading {
			f = fold(text)
		}
		off := startsWith(f, calledOff)
		switch {
		case off == "":
		case c == status || f == off:
			return cancelledRow, "", 0
		case !l.read[c]:
			doubt, col = fmt.Sprintf("the cell says %q: it is not clear whether the job is cancelled", clip(text)), c
		}
	}
	if doubt != "" {
		return jobRow, doubt, col
	}
	if kind, doubt, col = l.struckOut(r); kind != jobRow || doubt != "" {
		return kind, doubt, col
	}
	job := r.cell(l.cols["job"])
	for _, c := range filled {
		if text := r.cell(c); len(text) <= maxHeading && startsWith(fold(text), sums) != "" && (job == "" || c == l.cols["job"] && r.cell(l.cols["procedure"]) == "") {
			return sumRow, "", 0
		}
	}
	lone := len(filled) == 1 && !(filled[0] == l.cols["job"] && source.NameFault(job) == "" && strings.ContainsAny(job, "0123456789"))
	switch {
	case lone:
		return loneRow, "", 0
	case l.isHeading(job) && len(l.headings.keys(r)) >= 3:
		return headingRow, "", 0
	}
	return jobRow, "", 0
}

func (l *lister) isHeading(text string) bool { key, _ := l.headings.key(text); return key != "" }

// struckOut tells a row that is struck through from one in which a cell is.
func (l *lister) struckOut(r *gridRow) (kind rowKind, doubt string, col int) {
	struck, plain, part := 0, 0, 0
	for _, key := range record.JobKeys {
		c := l.cols[key]
		switch cl := r.get(c); {
		case clean(cl.text) == "" || cl.merged:
		case cl.struck == allStruck:
			struck++
			col = c
		case cl.struck == partStruck:
			part++
			col = c
		default:
			plain++
		}
	}
	switch {
	case part > 0:
		return jobRow, "part of the cell is struck through: it is not clear what counts", col
	case struck > 0 && plain == 0:
		return cancelledRow, "", 0
	case struck > 0 && r.get(l.cols["job"]).struck == allStruck:
		return jobRow, "the cell is struck through and others of the row are not: it is not clear whether the job is cancelled", l.cols["job"]
	case struck > 0:
		return jobRow, "the cell is struck through: it is not clear what counts", col
	}
	return jobRow, "", 0
}

// startsWith gives the words that a folded text starts with, "" for none.
func startsWith(folded string, words []string) string {
	for _, w := range words {
		if folded == w || strings.HasPrefix(folded, w+" ") {
			return w
		}
	}
	return ""
}

// cancel takes in a cancelled row.
func (l *lister) cancel(r *gridRow) {
	col := l.cols["job"]
	id, _ := l.shown(r.get(col))
	if fault := source.NameFault(id); fault != "" {
		l.problems.Warnf(l.pos(r, col), "cancelled", "write the job's number into the row", "%s: the row is cancelled, and names no job: %s", l.name(r, col), fault)
		return
	}
	l.list.Cancelled = append(l.list.Cancelled, record.Text{S: id, At: l.pos(r, col)})
}

// settle compares the cancelled jobs with those that are to be done, and reports
// them. A job that is both counts as neither: nobody can say which row is right.
func (l *lister) settle() {
	live := map[string]*record.Job{}
	for _, j := range l.list.Jobs {
		live[strings.ToLower(j.ID.S)] = j
	}
	var told []string
	seen := map[string]bool{}
	l.list.Cancelled = slices.DeleteFunc(l.list.Cancelled, func(t record.Text) bool {
		id := strings.ToLower(t.S)
		if j := live[id]; j != nil && t.S != "" {
			p := diag.Problem{Pos: j.ID.At, Severity: diag.Error, Rule: "cancelled", Related: []diag.Pos{t.At}, Hint: "delete the row that is wrong",
				Message: fmt.Sprintf("the job %s is to be done in row %d and cancelled in row %d: it is neither printed nor withdrawn", j.ID, j.At.Line, t.At.Line)}
			j.Problems.Add(p)
			l.problems.Add(p)
			return true
		}
		if seen[id] {
			return true
		}
		seen[id] = true
		told = append(told, fmt.Sprintf("%s (row %d)", t.S, t.At.Line))
		return false
	})
	if len(told) > 0 {
		l.problems.Warnf(l.list.Cancelled[0].At, "cancelled", "", "%scancelled and not printed: %s", l.inSheet(), diag.Some(told, 10))
	}
}
