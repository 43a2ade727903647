package record

import (
	"fmt"
	"path"
	"regexp"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/source"
)

// list reads a list of jobs.
func (l *loader) list(r Record, m *source.Map) *List {
	li := &List{Record: r}
	m.Text("list")
	m.Need("jobs: [{job: K-24817, unit: P-214, procedure: reset-end-clearance, day: 2026-11-30}]")
	for _, v := range m.List("jobs") {
		from, to := v.Extent()
		m := v.Map()
		print, replaces := 0, ""
		if l.carried {
			print, replaces = reprint(m)
		}
		j := job(li, m, v.At(), from, to)
		j.Print, j.Replaces = print, replaces
		li.Jobs = append(li.Jobs, j)
	}
	return li
}

// job reads one entry of a list.
func job(li *List, m *source.Map, at, from, to diag.Pos) *Job {
	j := &Job{List: li, At: at, from: from, to: to}
	m.Need("job: K-24817", "unit: P-214", "procedure: reset-end-clearance", "day: 2026-11-30")
	j.ID, j.Unit, j.Procedure, j.Day = m.Name("job"), m.Name("unit"), m.Name("procedure"), m.Day("day")
	if at := strings.IndexByte(j.ID.S, '_'); at >= 0 {
		j.ID.Errorf(at, "name", "write - for it", "the job ID %s has an underscore, which a page's code cannot hold", j.ID)
	}
	if namesAnnex(j.ID.S) {
		j.ID.Errorf(len(j.ID.S)-len(AnnexTail), "name", "end it in something else", "the job ID %s ends in %s, as the file of another job's annex does", j.ID, AnnexTail)
	}
	j.Crew = m.Name("crew")
	j.People, j.Hours = m.Whole("people", 1, 200), m.Amount("hours", quantity.KindTime, jobHours)
	j.Reason = m.Text("reason")
	if yes, ok := m.YesNo("strip"); ok {
		j.Strip = &yes
	}
	j.Confirmed = confirmed(m)
	m.Done()
	return j
}

// reprint reads which print of its job a packet is, and which one it replaces. Only what a
// packet carries says so: a planner's list does not know, the site's register does.
func reprint(m *source.Map) (print int, replaces string) {
	n, old := m.Whole("print", 2, 9999), m.Text("replaces")
	if old.Known() && !fingerprintForm.MatchString(old.S) {
		old.Errorf(0, "fingerprint", "such as 7F3A91C2", "%s is not the fingerprint of a packet", source.Quote(old.S))
	}
	if n.Known() {
		print = int(n.Value.SI())
	}
	return print, old.S
}

var fingerprintForm = regexp.MustCompile(`^[0-9A-F]{8}$`)

// AnnexTail ends the name of the annex of a job, which begins with the job's ID. So no
// ID ends in it, in whatever letters: a file system may fold them.
const AnnexTail = "-annex"

func namesAnnex(id string) bool {
	tail := len(id) - len(AnnexTail)
	return tail >= 0 && strings.EqualFold(id[tail:], AnnexTail)
}

// JobFault says why a text is no ID of a job, or gives "".
func JobFault(id string) string {
	if fault := source.NameFault(id); fault != "" || !namesAnnex(id) {
		return fault
	}
	return "it ends in " + AnnexTail + ", as the file of another job's annex does"
}

// NewList begins a list that stands in another form than YAML, such as a
// spreadsheet, on the row at; AddRow adds its jobs. It is named after its file.
func NewList(at diag.Pos) *List {
	base := path.Base(strings.ReplaceAll(at.File, `\`, "/"))
	base = strings.TrimSuffix(base, path.Ext(base))
	name := strings.Map(func(c rune) rune {
		switch {
		case c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '.':
			return c
		}
		return '-'
	}, base)
	name = strings.Trim(name[:min(len(name), source.MaxName)], "-.")
	if source.NameFault(name) != "" {
		name = "list"
	}
	return &List{Record: Record{Kind: "list", ID: name, At: at, Span: source.Span{File: at.File, First: at.Line, Last: at.Line}}}
}

// AddRow adds a job to a list of NewList, by the same rules as in YAML: texts by
// the keys of a job, those that are absent left out, and the place of the row. What
// is wrong with them is in the job's Problems.
func (li *List) AddRow(at diag.Pos, keys []string, texts []Text) *Job {
	m, doc := source.Row(at, keys, texts)
	j := job(li, m, at, diag.Pos{File: at.File, Line: at.Line, Col: 1}, diag.Pos{File: at.File, Line: at.Line + 1, Col: 1})
	j.Problems = append(j.Problems, doc.Problems...)
	li.Span.Last = max(li.Span.Last, at.Line)
	li.Jobs = append(li.Jobs, j)
	return j
}

// ReadList reads a list of jobs in YAML that is not among the site's records. The
// list is nil where the file holds none.
func ReadList(name string, data []byte) (*List, diag.List) { return readList(name, data, false) }

// ReadCarried reads a list as a packet carries it, by the same rules; its job may say
// which print it is.
func ReadCarried(name string, data []byte) (*List, diag.List) { return readList(name, data, true) }

func readList(name string, data []byte, carried bool) (*List, diag.List) {
	l := &loader{Book: &Book{Lists: map[string]*List{}}, carried: carried}
	docs, problems := source.Read(name, data, source.Options{})
	l.problems = problems
	for _, d := range docs {
		l.document(d, "list")
		l.problems = append(l.problems, d.Problems...)
	}
	all := l.problems.Sorted()
	l.Attach(all)
	switch len(l.Lists) {
	case 1:
		for _, li := range l.Lists {
			return li, all
		}
	case 0:
		if !all.HasErrors() {
			all.Errorf(diag.Pos{File: name}, "list", "begin it with list: NAME and jobs: ...", "the file holds no list of jobs")
		}
	default:
		all.Errorf(diag.Pos{File: name}, "list", "leave one list in the file", "the file holds %d lists of jobs", len(l.Lists))
	}
	return nil, all
}

// Only makes a list the only one of the book: what is checked over all lists is
// then of its jobs alone.
func (b *Book) Only(li *List) {
	b.Lists = map[string]*List{li.ID: li}
	b.Records = append(b.Records, &li.Record)
}

// Raw gives what the job's own entry says, key by key: what the fingerprint is
// taken of. The other jobs of the list are no part of it, nor is the way the
// entry is written.
func (j *Job) Raw() []byte {
	var b strings.Builder
	for _, f := range []struct {
		key  string
		text Text
	}{{"job", j.ID}, {"unit", j.Unit}, {"procedure", j.Procedure}, {"day", j.Day}, {"crew", j.Crew}, {"people", j.People.Text}, {"hours", j.Hours.Text}, {"reason", j.Reason}} {
		if f.text.Known() {
			fmt.Fprintf(&b, "%s: %s\n", f.key, f.text)
		}
	}
	if j.Strip != nil {
		fmt.Fprintf(&b, "strip: %t\n", *j.Strip)
	}
	if j.Print > 0 {
		fmt.Fprintf(&b, "print: %d\n", j.Print)
	}
	if j.Replaces != "" {
		fmt.Fprintf(&b, "replaces: %s\n", j.Replaces)
	}
	return []byte(b.String())
}
