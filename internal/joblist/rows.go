package joblist

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
)

// lister makes a list of jobs of a grid.
type lister struct {
	*grid
	headings headings
	head     *gridRow
	cols     map[string]int
	read     map[int]bool // the columns that are read
	dates    dates
	titles   titles
	list     *record.List
	problems diag.List
	faulty   int
	first    string // what is wrong with the first faulty row
}

// read reads the rows below the headings as jobs.
func read(g *grid, opt Options) (*record.List, diag.List) {
	l := &lister{grid: g, headings: headingsOf(opt.Site), titles: titlesOf(opt.Titles), read: map[int]bool{}, problems: g.notes}
	if l.head, l.cols = l.headings.columns(g, &l.problems); l.head == nil {
		return nil, l.problems.Sorted()
	}
	for _, c := range l.cols {
		l.read[c] = true
	}
	l.dates = dates{from1904: g.from1904, heading: headingOrder(l.head.cell(l.cols["day"]))}
	if opt.Site != nil {
		l.dates.site = opt.Site.Dates
	}
	for i := range g.rows {
		if r := &g.rows[i]; r.n > l.head.n {
			l.dates.note(r.cell(l.cols["day"]))
		}
	}
	l.list = record.NewList(g.pos(l.head, 1))
	if !l.rows() {
		return nil, l.problems.Sorted()
	}
	l.settle()
	if len(l.list.Jobs) == 0 && len(l.list.Cancelled) == 0 {
		l.problems.Errorf(g.pos(l.head, 0), "list", "", "%sno row below the headings holds a job", g.inSheet())
		return nil, l.problems.Sorted()
	}
	return l.list, l.problems.Sorted()
}

// rows reads the rows, and reports those that are passed over; it gives false
// where the list is refused as a whole.
func (l *lister) rows() bool {
	var sums, lone, again, hidden []string
	var aText string
	doubtful := map[string]bool{}
	for i := range l.grid.rows {
		r := &l.grid.rows[i]
		if r.n <= l.head.n || r.fault == "" && len(r.filled()) == 0 {
			continue
		}
		row := strconv.Itoa(r.n)
		kind, doubt, col := l.kindOf(r)
		switch {
		case kind == cancelledRow:
			l.cancel(r)
		case kind == sumRow:
			sums = append(sums, row)
		case kind == headingRow:
			again = append(again, row)
		case kind == loneRow:
			if lone = append(lone, row); aText == "" {
				aText = r.cell(r.filled()[0])
			}
		case r.hidden:
			// A workbook is read as it is shown: rows are hidden by a filter that leaves
			// what is meant, and a packet that nobody asked for may be carried out.
			id, _ := l.shown(r.get(l.cols["job"]))
			hidden = append(hidden, fmt.Sprintf("row %d (%s)", r.n, clip(id)))
		default:
			job := l.job(r, doubt, col)
			l.problems = append(l.problems, job.Problems...)
			if l.status(r, doubtful); !job.Problems.HasErrors() {
				break
			}
			if l.faulty++; l.faulty == 1 {
				l.first = job.Problems[0].Message
			}
			if l.faulty > maxFaulty {
				l.problems = diag.List{junk(l.pos(r, 0), l.first)}
				return false
			}
		}
	}
	at := l.pos(l.head, 0)
	if len(sums) > 0 {
		l.problems.Warnf(at, "passed-over", "", "%srows of sums, which are not read: %s", l.inSheet(), diag.Some(sums, 10))
	}
	if len(again) > 0 {
		l.problems.Warnf(at, "passed-over", "", "%srows that repeat the headings, which are not read: %s", l.inSheet(), diag.Some(again, 10))
	}
	if len(lone) > 0 {
		l.problems.Warnf(at, "passed-over", "", "%srows with one text alone, which are not read: %s; the first says %q", l.inSheet(), diag.Some(lone, 10), clip(aText))
	}
	if len(hidden) > 0 {
		l.problems.Warnf(at, "hidden-rows", "show the rows that are to be printed", "%shidden and not printed: %s", l.inSheet(), diag.Some(hidden, 10))
	}
	return true
}

// junk says that too many rows have an error; first is what is wrong with the first.
func junk(at diag.Pos, first string) diag.Problem {
	return diag.Problem{Pos: at, Severity: diag.Error, Rule: "list", Hint: "correct the list, or " + splitIt,
		Message: fmt.Sprintf("more than %d rows have an error, so nothing of the list is read; the first is: %s", maxFaulty, first)}
}

// Junk reports a list that has so many errors once it is checked against the records
// that it cannot be the one that was meant, or needs mending before all else: one
// problem then stands for all of its own. ok is false for any other list.
func Junk(li *record.List, problems diag.List) (p diag.Problem, ok bool) {
	rows := map[int]bool{}
	first := ""
	for _, p := range problems {
		if p.Severity != diag.Error || p.Pos.File != li.Span.File || rows[p.Pos.Line] {
			continue
		}
		if rows[p.Pos.Line] = true; len(rows) == 1 {
			first = p.Message
		}
		if len(rows) > maxFaulty {
			return junk(p.Pos, first), true
		}
	}
	return diag.Problem{}, false
}

// status warns, once, of a status that neither confirms a job nor calls it off.
func (l *lister) status(r *gridRow, told map[string]bool) {
	c := l.cols[statusKey]
	text := r.cell(c)
	f := fold(clip(text))
	if c == 0 || f == "" || startsWith(f, goingOn) != "" || told[f] || len(told) >= 10 {
		return
	}
	told[f] = true
	l.problems.Warnf(l.pos(r, c), "status", "write cancelled for a job that is not to be done", "%s: the status %q does not say that the job is cancelled: it is printed, as are the others of this status", l.name(r, c), clip(text))
}

// job reads one row.
func (l *lister) job(r *gridRow, doubt string, doubtCol int) *record.Job {
	var keys []string
	var texts []record.Text
	var problems diag.List
	if r.fault != "" {
		problems.Errorf(l.pos(r, r.at), "row", "", "%s: %s", l.name(r, r.at), r.fault)
	}
	if doubt != "" {
		problems.Errorf(l.pos(r, doubtCol), "cancelled", "write the row again, or cancelled into the column status", "%s: %s", l.name(r, doubtCol), doubt)
	}
	for _, key := range record.JobKeys {
		col, there := l.cols[key]
		if !there || r.fault != "" {
			continue
		}
		c := r.get(col)
		if c.merged && (key == "hours" || key == "people") {
			problems.Warnf(l.pos(r, col), "merged", "unmerge the cells, and write into each row its own", "%s: the %s are merged with those of a row above: the job has none of its own", l.name(r, col), key)
			continue
		}
		text, rule, fault, hint := l.value(key, c)
		switch {
		case fault != "":
			problems.Errorf(l.pos(r, col), rule, hint, "%s: %s", l.name(r, col), fault)
		case text == "" && slices.Contains(wanted, key):
			problems.Errorf(l.pos(r, col), "missing-key", "fill the cell", "%s: the %s is missing", l.name(r, col), key)
		case text == "":
		default:
			keys = append(keys, key)
			texts = append(texts, record.Text{S: text, At: l.pos(r, col)})
		}
	}
	job := l.list.AddRow(l.pos(r, 1), keys, texts)
	for _, p := range job.Problems {
		if p.Rule != "missing-key" { // reported above, with its cell
			p.Message = l.name(r, p.Pos.Col) + ": " + p.Message
			problems.Add(p)
		}
	}
	job.Problems = problems
	return job
}

// The rules of values that are brought to another form.
const (
	ruleCell      = "cell-value"
	ruleProcedure = "unknown-procedure"
)

// value brings a cell to the form that a record has.
func (l *lister) value(key string, c cell) (text, rule, fault, hint string) {
	raw := clean(c.text)
	switch {
	case c.kind == uncomputed:
		return "", ruleCell, "the cell holds a formula without its value", "save the workbook again from a program that computes it, or write the value itself"
	case raw == "":
		return "", "", "", ""
	case c.kind == errorCell, strings.HasPrefix(raw, "#") && strings.ToUpper(raw) == raw && strings.ContainsAny(raw, "!/?"):
		return "", ruleCell, fmt.Sprintf("the cell shows %s, the mark of a formula that failed", clip(raw)), "write the value itself"
	}
	switch key {
	case "day":
		text, fault, hint = l.dates.day(raw)
		return text, "day", fault, hint
	case "hours":
		text, fault, hint = l.hoursOf(c)
		return text, "quantity", fault, hint
	case "people":
		if v, ok := number(raw); ok {
			return shortest(v), "", "", ""
		}
		return raw, "", "", ""
	}
	if key == "strip" {
		return truth(raw)
	}
	text, ok := l.shown(c)
	if !ok {
		return "", ruleCell, fmt.Sprintf("it is not clear how the cell shows the number %s", clip(raw)), "write the cell as a text"
	}
	if key == "procedure" {
		return l.titles.name(text)
	}
	return text, "", "", ""
}

// truth brings a cell that says yes or no to the form that a record has.
func truth(raw string) (text, rule, fault, hint string) {
	switch f := fold(clip(raw)); {
	case slices.Contains(saysYes, f):
		return "true", "", "", ""
	case slices.Contains(saysNo, f):
		return "false", "", "", ""
	}
	return "", ruleCell, fmt.Sprintf("the cell says %s where yes or no is wanted", strconv.Quote(clip(raw))), "write yes or no, or leave the cell empty for what the site says"
}

// shown gives what a cell shows; of a text file, its text.
func (l *lister) shown(c cell) (text string, ok bool) {
	if l.show == nil {
		return clean(c.text), true
	}
	return l.show.text(c)
}
