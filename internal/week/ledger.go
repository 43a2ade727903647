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

	"jobsheaf/internal/front"
	"jobsheaf/internal/packet"
)

// ledgerFormat is the version of the ledger's shape. DecodeLedger refuses another.
const ledgerFormat = 2

// Ledger is what a run printed of a list and what it refused, in the file
// week.json. Nothing in it comes from the clock or the machine.
type Ledger struct {
	Format int    `json:"format"`
	Part   string `json:"part,omitempty"` // such as 2/5; "" for the whole list
	front.Run
	Parts   []packet.Part   `json:"parts"` // every record and template that packets were made from, by name
	Needs   []packet.Needs  `json:"needs"` // what jobs ask for; many ask for the same
	Jobs    []Done          `json:"jobs"`
	Refused []front.Refused `json:"refused"`
	Rounds  []RoundDone     `json:"rounds"`

	// Withdraw are jobs that an earlier run printed and that are cancelled, or that
	// the list no longer names, until their files are gone from the output.
	Withdraw []front.Withdrawal `json:"withdraw"`
	Files    []File             `json:"files"` // that were written, by name
}

// Done is a job that was printed. From and NeedsAt are places in the ledger's lists.
type Done struct {
	front.Job
	Annex   int    `json:"annex,omitempty"` // pages of its annex, where that was printed
	Entry   string `json:"entry"`           // digest of the job's own entry
	From    []int  `json:"from"`
	NeedsAt int    `json:"needs"`
}

// frontJobs gives the jobs as the front matter takes them.
func (l *Ledger) frontJobs() []front.Job {
	jobs := make([]front.Job, len(l.Jobs))
	for i, d := range l.Jobs {
		jobs[i] = d.Job
		jobs[i].Needs = &l.Needs[d.NeedsAt]
	}
	return jobs
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
	if l.Annex {
		field("annex", l.Annex)
	}
	field("look", l.Look)
	list("crews", len(l.Crews), func(i int) any { return l.Crews[i] }, false)
	list("parts", len(l.Parts), func(i int) any { return l.Parts[i] }, false)
	list("needs", len(l.Needs), func(i int) any { return l.Needs[i] }, false)
	list("rounds", len(l.Rounds), func(i int) any { return l.Rounds[i] }, false)
	list("withdraw", len(l.Withdraw), func(i int) any { return l.Withdraw[i] }, false)
	list("files", len(l.Files), func(i int) any { return l.Files[i] }, false)
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
		return nil, fmt.Errorf("it was not written by a run, or is damaged: %w", err)
	}
	if l.Format != ledgerFormat {
		return nil, fmt.Errorf("it is the ledger of another version of the program: format %d, not %d", l.Format, ledgerFormat)
	}
	for _, j := range l.Jobs {
		if j.NeedsAt < 0 || j.NeedsAt >= len(l.Needs) || slices.ContainsFunc(j.From, func(i int) bool { return i < 0 || i >= len(l.Parts) }) {
			return nil, fmt.Errorf("its entry of job %s points nowhere", j.Job.Job)
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
		keys[i], order[i] = digest(&l.Needs[i]), i
	}
	slices.SortFunc(order, func(a, b int) int { return bytes.Compare(keys[a][:], keys[b][:]) })
	var needs []packet.Needs
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
		j.From, j.NeedsAt = from, place[j.NeedsAt]
	}
	l.Parts, l.Needs = parts, needs
	slices.SortStableFunc(l.Jobs, func(a, b Done) int { return compareRounds(a.Day, a.Crew, b.Day, b.Crew) })
	slices.SortStableFunc(l.Rounds, func(a, b RoundDone) int { return compareRounds(a.Day, a.Crew, b.Day, b.Crew) })
	sortedFiles(l.Files)
	slices.SortStableFunc(l.Refused, func(a, b front.Refused) int { return a.At.Compare(b.At) })
	return nil
}

// digest is the SHA-256 of needs: jobs that ask for the same have the same.
func digest(n *packet.Needs) [sha256.Size]byte {
	raw, err := json.Marshal(n)
	if err != nil { // plain data: a number that is not one
		raw = []byte(err.Error())
	}
	return sha256.Sum256(raw)
}

func sortedFiles(files []File) []File {
	slices.SortFunc(files, func(a, b File) int { return strings.Compare(a.Name, b.Name) })
	return files
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
	all.Part, all.Parts, all.Needs, all.Jobs, all.Refused, all.Rounds, all.Withdraw, all.Files = "", nil, nil, nil, nil, nil, nil, nil
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
		case p.Program != all.Program || p.List != all.List || p.Duplex != all.Duplex || p.Annex != all.Annex || p.Look != all.Look || !slices.Equal(p.Crews, all.Crews):
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
			j.From, j.NeedsAt = from, j.NeedsAt+needs
			all.Jobs = append(all.Jobs, j)
		}
		all.Refused = append(all.Refused, p.Refused...)
		all.Rounds = append(all.Rounds, p.Rounds...)
		all.Files = append(all.Files, p.Files...)
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
