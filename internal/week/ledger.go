package week

import (
	"bufio"
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/origin"
	"jobsheaf/internal/packet"
)

// LedgerFormat is the version of the ledger's shape. DecodeLedger refuses another.
const LedgerFormat = 1

// Ledger is what a run printed of a list and what it refused: the manifest of the
// run, in the file week.json. Nothing in it comes from the clock or the machine.
type Ledger struct {
	Format  int           `json:"format"`
	Program string        `json:"program"`
	List    string        `json:"list"`
	Part    string        `json:"part,omitempty"` // such as 2/5; "" for the whole list
	Duplex  bool          `json:"duplex,omitempty"`
	Look    Look          `json:"look"`
	Crews   []Crew        `json:"crews"`
	Parts   []packet.Part `json:"parts"` // every record and template that packets were made from, by name
	Needs   []Needs       `json:"needs"` // what jobs ask for; many ask for the same
	Jobs    []Done        `json:"jobs"`
	Refused []Refused     `json:"refused"`
	Rounds  []RoundDone   `json:"rounds"`
}

// Look is what the front matter takes from the site.
type Look struct {
	Site     string `json:"site"`
	Paper    string `json:"paper"`
	Language string `json:"language"`
}

// Crew is a crew with the hours of people's work that it has in a day.
type Crew struct {
	Name  string  `json:"name"`
	Hours float64 `json:"hours"`
}

// Done is a job that was printed. From and Needs are places in the ledger's lists.
type Done struct {
	Job         string  `json:"job"`
	Unit        string  `json:"unit"`
	UnitName    string  `json:"unit_name"`
	Area        string  `json:"area,omitempty"`
	Procedure   string  `json:"procedure"`
	Title       string  `json:"title"`
	Day         string  `json:"day"`
	Crew        string  `json:"crew,omitempty"`
	People      float64 `json:"people,omitempty"`
	Hours       float64 `json:"hours,omitempty"`
	Pages       int     `json:"pages"`
	Fingerprint string  `json:"fingerprint"`
	Entry       string  `json:"entry"` // digest of the job's own entry
	From        []int   `json:"from"`
	Needs       int     `json:"needs"`
}

// Refused is a job that was not printed, with the reasons.
type Refused struct {
	Job       string   `json:"job"`
	Unit      string   `json:"unit"`
	Procedure string   `json:"procedure,omitempty"`
	Day       string   `json:"day,omitempty"`
	Crew      string   `json:"crew,omitempty"`
	At        diag.Pos `json:"at"`
	Reasons   []string `json:"reasons"`
}

// RoundDone is a print file: one crew's day.
type RoundDone struct {
	Day         string `json:"day"`
	Crew        string `json:"crew,omitempty"`
	File        string `json:"file"`
	Jobs        int    `json:"jobs"`
	Pages       int    `json:"pages"`
	Fingerprint string `json:"fingerprint"`
}

// Encode writes the ledger as JSON, a line to each entry.
func (l *Ledger) Encode(w io.Writer) error {
	b := bufio.NewWriterSize(w, 1<<16)
	var err error
	put := func(v any) {
		raw, e := json.Marshal(v)
		err = cmp.Or(err, e)
		b.Write(raw)
	}
	list := func(name string, n int, at func(int) any, last bool) {
		fmt.Fprintf(b, "  %q: [", name)
		for i := range n {
			if i > 0 {
				b.WriteByte(',')
			}
			b.WriteString("\n    ")
			put(at(i))
		}
		if n > 0 {
			b.WriteString("\n  ")
		}
		b.WriteString("]")
		if !last {
			b.WriteString(",")
		}
		b.WriteString("\n")
	}
	field := func(name string, v any) {
		fmt.Fprintf(b, "  %q: ", name)
		put(v)
		b.WriteString(",\n")
	}
	b.WriteString("{\n")
	field("format", l.Format)
	field("program", l.Program)
	field("list", l.List)
	if l.Part != "" {
		field("part", l.Part)
	}
	if l.Duplex {
		field("duplex", l.Duplex)
	}
	field("look", l.Look)
	list("crews", len(l.Crews), func(i int) any { return l.Crews[i] }, false)
	list("parts", len(l.Parts), func(i int) any { return l.Parts[i] }, false)
	list("needs", len(l.Needs), func(i int) any { return l.Needs[i] }, false)
	list("rounds", len(l.Rounds), func(i int) any { return l.Rounds[i] }, false)
	list("refused", len(l.Refused), func(i int) any { return l.Refused[i] }, false)
	list("jobs", len(l.Jobs), func(i int) any { return l.Jobs[i] }, true)
	b.WriteString("}\n")
	return cmp.Or(err, b.Flush())
}

// DecodeLedger reads what Encode wrote. It refuses another format and whatever a
// run cannot have written.
func DecodeLedger(raw []byte) (*Ledger, error) {
	var l Ledger
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(&l); err != nil {
		return nil, fmt.Errorf("it is no run's manifest: %w", err)
	}
	if l.Format != LedgerFormat {
		return nil, fmt.Errorf("it is a run's manifest of format %d; wanted is %d", l.Format, LedgerFormat)
	}
	for _, j := range l.Jobs {
		if j.Needs < 0 || j.Needs >= len(l.Needs) || slices.ContainsFunc(j.From, func(i int) bool { return i < 0 || i >= len(l.Parts) }) {
			return nil, fmt.Errorf("its entry of job %s points nowhere", j.Job)
		}
	}
	return &l, nil
}

// settle brings the ledger into its one order: parts and needs each once,
// sorted by name and digest, jobs by round, refused ones by their place in the list.
func (l *Ledger) settle() error {
	byName := map[string]int{}
	var parts []packet.Part
	for _, p := range l.Parts {
		i, there := byName[p.Name]
		if !there {
			byName[p.Name] = len(parts)
			parts = append(parts, p)
		} else if parts[i] != p {
			return fmt.Errorf("%s is not the same for all jobs", p.Name)
		}
	}
	slices.SortFunc(parts, func(a, b packet.Part) int { return strings.Compare(a.Name, b.Name) })
	for i, p := range parts {
		byName[p.Name] = i
	}
	keys := make([][sha256.Size]byte, len(l.Needs))
	order := make([]int, len(keys))
	for i := range l.Needs {
		keys[i], order[i] = l.Needs[i].digest(), i
	}
	slices.SortFunc(order, func(a, b int) int { return bytes.Compare(keys[a][:], keys[b][:]) })
	var needs []Needs
	place := make([]int, len(keys))
	for k, i := range order {
		if k == 0 || keys[i] != keys[order[k-1]] {
			needs = append(needs, l.Needs[i])
		}
		place[i] = len(needs) - 1
	}
	for i := range l.Jobs {
		j := &l.Jobs[i]
		from := make([]int, len(j.From)) // the old list may be shared
		for k, p := range j.From {
			from[k] = byName[l.Parts[p].Name]
		}
		j.From, j.Needs = from, place[j.Needs]
	}
	l.Parts, l.Needs = parts, needs
	slices.SortStableFunc(l.Jobs, func(a, b Done) int { return compareRounds(a.Day, a.Crew, b.Day, b.Crew) })
	slices.SortStableFunc(l.Rounds, func(a, b RoundDone) int { return compareRounds(a.Day, a.Crew, b.Day, b.Crew) })
	slices.SortStableFunc(l.Refused, func(a, b Refused) int { return a.At.Compare(b.At) })
	return nil
}

func compareRounds(dayA, crewA, dayB, crewB string) int {
	return cmp.Or(strings.Compare(cmp.Or(dayA, "~"), cmp.Or(dayB, "~")), strings.Compare(crewA, crewB))
}

// Join puts the ledgers of all parts of a list together: what a run over the whole
// list would have written.
func Join(parts []*Ledger) (*Ledger, error) {
	if len(parts) == 0 {
		return nil, fmt.Errorf("there are no parts to join")
	}
	all := *parts[0]
	all.Part, all.Parts, all.Needs, all.Jobs, all.Refused, all.Rounds = "", nil, nil, nil, nil, nil
	_, of, err := ParsePart(parts[0].Part)
	if err != nil {
		return nil, err
	}
	seen := make([]bool, of)
	for _, p := range parts {
		k, n, err := ParsePart(p.Part)
		switch {
		case err != nil:
			return nil, err
		case n != of:
			return nil, fmt.Errorf("part %s and part %s are of different shares", parts[0].Part, p.Part)
		case seen[k-1]:
			return nil, fmt.Errorf("part %s is there twice", p.Part)
		case p.Program != all.Program || p.List != all.List || p.Duplex != all.Duplex || p.Look != all.Look || !slices.Equal(p.Crews, all.Crews):
			return nil, fmt.Errorf("part %s was printed of another list, with other settings or by another version than part %s: print it again", p.Part, parts[0].Part)
		}
		seen[k-1] = true
		shift, needs := len(all.Parts), len(all.Needs)
		all.Parts = append(all.Parts, p.Parts...)
		all.Needs = append(all.Needs, p.Needs...)
		for _, j := range p.Jobs {
			from := make([]int, len(j.From))
			for i := range from {
				from[i] = j.From[i] + shift
			}
			j.From, j.Needs = from, j.Needs+needs
			all.Jobs = append(all.Jobs, j)
		}
		all.Refused = append(all.Refused, p.Refused...)
		all.Rounds = append(all.Rounds, p.Rounds...)
	}
	for i, there := range seen {
		if !there {
			return nil, fmt.Errorf("part %d/%d is missing", i+1, of)
		}
	}
	if err := all.settle(); err != nil {
		return nil, fmt.Errorf("the parts were printed from different records: %w; print them again", err)
	}
	return &all, nil
}

// ParsePart reads which part of how many, such as 2/5.
func ParsePart(s string) (k, n int, err error) {
	a, b, ok := strings.Cut(s, "/")
	if ok && allDigits(a) && allDigits(b) && len(a) < 6 && len(b) < 6 {
		fmt.Sscan(a, &k)
		fmt.Sscan(b, &n)
	}
	if k < 1 || n < 1 || k > n || n > 10_000 {
		return 0, 0, fmt.Errorf("%q is no part of a list: write it as 2/5, the second of five, at most of 10000", s)
	}
	return k, n, nil
}

// Change is a job whose packet is not the one of an earlier run, and why.
type Change struct {
	Job string   `json:"job"`
	Why []string `json:"why"`
}

// earlier is what an earlier run printed, by job.
type earlier struct {
	ledger *Ledger
	jobs   map[string]*Done
	parts  map[string]string // digests by name
}

func newEarlier(l *Ledger) *earlier {
	e := &earlier{ledger: l, jobs: map[string]*Done{}, parts: map[string]string{}}
	for i := range l.Jobs {
		e.jobs[l.Jobs[i].Job] = &l.Jobs[i]
	}
	for _, p := range l.Parts {
		e.parts[p.Name] = p.Digest
	}
	return e
}

// why says what of a job's inputs differs from the earlier run; nil where its
// packet is the same.
func (e *earlier) why(j *Done, parts []packet.Part) []string {
	old := e.jobs[j.Job]
	if old == nil {
		return []string{"new in the list, or refused before"}
	}
	if old.Fingerprint == j.Fingerprint {
		return nil
	}
	var why []string
	had := map[string]bool{}
	for _, i := range old.From {
		had[e.ledger.Parts[i].Name] = true
	}
	if old.Entry != j.Entry {
		var fields []string
		for _, f := range [][3]string{{"unit", old.Unit, j.Unit}, {"procedure", old.Procedure, j.Procedure}, {"day", old.Day, j.Day}, {"crew", old.Crew, j.Crew},
			{"people", shortest(old.People), shortest(j.People)}, {"hours", shortest(old.Hours), shortest(j.Hours)}} {
			if f[1] != f[2] {
				fields = append(fields, fmt.Sprintf("%s was %s, is %s", f[0], cmp.Or(f[1], "not given"), cmp.Or(f[2], "not given")))
			}
		}
		why = append(why, strings.TrimSuffix("its entry in the list: "+strings.Join(fields, ", "), ": "))
	}
	for _, p := range parts {
		switch digest, known := e.parts[p.Name]; {
		case p.Name == origin.EntryPart:
		case !had[p.Name]:
			why = append(why, "now made from "+p.Name)
		case !known || digest != p.Digest:
			why = append(why, p.Name)
		}
		delete(had, p.Name)
	}
	for _, i := range old.From {
		if name := e.ledger.Parts[i].Name; had[name] {
			why = append(why, "no longer made from "+name)
		}
	}
	return why
}
