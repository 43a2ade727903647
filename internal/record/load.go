package record

import (
	"cmp"
	"errors"
	"io/fs"
	"slices"
	"sort"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

// Options say how to load.
type Options struct {
	// Missing gives the characters of a text that the pages cannot print; nil
	// takes all for printable.
	Missing func(text string) []rune
}

// folders says where in a site each kind of record stands.
var folders = []struct{ kind, path string }{
	{"design", "designs"}, {"liquid", "liquids"}, {"instrument", "instruments"}, {"unit", "units"}, {"list", "lists"},
	{"history", "history"}, {"history", registerFolder},
}

// Load reads a site's records and those that are built in (terms.yaml, ghs.yaml
// and instruments.yaml at the root of builtin). It always gives a Book: a record
// with an error is in it and marked as broken, or, where even its name could not
// be read, left out of the maps. The list holds every problem, sorted.
func Load(site, builtin fs.FS, opt Options) (*Book, diag.List) {
	l := &loader{
		missing: opt.Missing,
		Book: &Book{Units: map[string]*Unit{}, Designs: map[string]*Design{}, Liquids: map[string]*Liquid{}, Instruments: map[string]*Instrument{},
			Lists: map[string]*List{}, Machines: map[string]*Machine{}, Terms: map[string]*Term{}, Statements: map[string]*Statement{}},
	}
	l.builtIn = true
	l.file(builtin, "terms.yaml", "terms")
	l.file(builtin, "ghs.yaml", "statements")
	l.file(builtin, "instruments.yaml", "instrument")
	l.optional(builtin, "relations.yaml", "relations") // a packet's inputs carry none
	l.folder(builtin, "machines", "machine")
	l.builtIn = false
	l.folder(site, "machines", "machine")
	l.adopt()
	l.optional(site, "terms.yaml", "terms")
	l.optional(site, "relations.yaml", "relations")
	if _, err := fs.Lstat(site, "site.yaml"); errors.Is(err, fs.ErrNotExist) {
		l.problems.Errorf(diag.Pos{File: "site.yaml"}, "file", "name a site's folder, write its site.yaml, or make a site with `jobsheaf start DIR`", "there is no such file, so the folder is not a site")
	} else {
		l.file(site, "site.yaml", "site")
	}
	for _, f := range folders {
		l.folder(site, f.path, f.kind)
	}
	slices.SortStableFunc(l.Records, func(a, b *Record) int { return a.At.Compare(b.At) })
	l.link()
	all := l.problems.Sorted()
	l.Attach(all)
	return l.Book, all
}

// loader is a Book in the making.
type loader struct {
	*Book
	missing  func(string) []rune
	problems diag.List
	builtIn  bool
	carried  bool     // what is read is what a packet carries
	kind     *Machine // of the design or unit in hand; nil: not known, or of neither

	prefixes    map[string]bool // what comes before a point in a term's name
	prefixTerms int             // how many terms there were when they were gathered
}

// folder reads the records of one kind from a folder, which need not be there.
func (l *loader) folder(fsys fs.FS, path, kind string) {
	names, problems := source.Files(fsys, path)
	l.problems = append(l.problems, problems...)
	for _, name := range names {
		l.file(fsys, name, kind)
	}
}

// optional reads a file that need not be there.
func (l *loader) optional(fsys fs.FS, name, kind string) {
	if _, err := fs.Lstat(fsys, name); err == nil {
		l.file(fsys, name, kind)
	}
}

// file reads the records of one kind from one file.
func (l *loader) file(fsys fs.FS, name, kind string) {
	opt := source.Options{Missing: l.missing}
	if l.builtIn {
		opt.Prefix = source.BuiltIn
	}
	docs, problems := source.ReadFile(fsys, name, opt)
	l.problems = append(l.problems, problems...)
	for _, d := range docs {
		l.document(d, kind)
		d.Root = nil // read: a site of many units would keep every node of its YAML
		l.problems = append(l.problems, d.Problems...)
	}
}

// document reads one record; all of a folder are of one kind. Where the YAML
// could not be read, the record is entered by the name in its first line with
// nothing in it, so that whatever names it can say where it is broken.
func (l *loader) document(d *source.Doc, kind string) {
	r := Record{Kind: kind, At: d.At, Span: d.Span, BuiltIn: l.builtIn, doc: d}
	if d.Root != nil && !d.Root.Has(kind) {
		d.Errorf(d.At, "record-kind", "begin the record with "+kind+": ...", "found a record without the key %s where a %s is wanted", kind, kind)
		l.Records = append(l.Records, &r)
		return
	}
	m := d.Root
	r.ID = recordName(d, kind)
	if id := r.ID; id == "" && !nameless[kind] {
		l.Records = append(l.Records, &r)
		return
	}
	switch kind {
	case "terms":
		l.Records = append(l.Records, &r)
		l.terms(m)
	case "relations": // no packet is made from them
		l.relations(m)
	case "statements":
		l.Records = append(l.Records, &r)
		l.statements(m)
	case "site":
		sites := map[string]*Site{}
		if l.Site != nil {
			sites[r.ID] = l.Site
		}
		s := l.site(r, m)
		enter(l, sites, s, &s.Record, func(s *Site) *Record { return &s.Record })
		l.Site = sites[r.ID]
	case "machine":
		k := l.machine(r, m)
		enter(l, l.Machines, k, &k.Record, func(k *Machine) *Record { return &k.Record })
	case "unit":
		u := l.unit(r, m)
		enter(l, l.Units, u, &u.Record, func(u *Unit) *Record { return &u.Record })
	case "design":
		g := l.design(r, m)
		enter(l, l.Designs, g, &g.Record, func(g *Design) *Record { return &g.Record })
	case "liquid":
		q := l.liquid(r, m)
		enter(l, l.Liquids, q, &q.Record, func(q *Liquid) *Record { return &q.Record })
	case "instrument":
		i := l.instrument(r, m)
		enter(l, l.Instruments, i, &i.Record, func(i *Instrument) *Record { return &i.Record })
	case "history":
		h := l.history(r, m)
		l.Histories = append(l.Histories, h)
		l.Records = append(l.Records, &h.Record)
	case "list":
		li := l.list(r, m)
		enter(l, l.Lists, li, &li.Record, func(li *List) *Record { return &li.Record })
	}
	m.Done()
}

// nameless are the kinds of records that have no name.
var nameless = map[string]bool{"terms": true, "statements": true, "relations": true}

// recordName reads a record's name, "" where it has none that can be used.
func recordName(d *source.Doc, kind string) string {
	switch {
	case nameless[kind]:
		return ""
	case d.Root == nil && (d.Kind != kind || kind != "instrument" && source.NameFault(d.ID) != ""):
		return ""
	case d.Root == nil:
		return d.ID
	case kind == "instrument":
		t := d.Root.Text(kind)
		if n := len([]rune(t.S)); n > 40 {
			t.Errorf(0, "name", "such as outside micrometer", "an instrument's name has %d characters, more than 40", n)
			return ""
		}
		return t.S
	}
	return d.Root.Name(kind).S
}

// enter puts a record into its map. A site's record replaces a built-in one
// of the same name; of two others of one name neither can be trusted.
func enter[T any](l *loader, m map[string]T, rec T, r *Record, record func(T) *Record) {
	l.Records = append(l.Records, r)
	first, twice := m[r.ID]
	if !twice || record(first).BuiltIn && !r.BuiltIn {
		m[r.ID] = rec
		return
	}
	old := record(first)
	for _, p := range [][2]diag.Pos{{r.At, old.At}, {old.At, r.At}} {
		l.problems.Add(diag.Problem{Pos: p[0], Severity: diag.Error, Rule: "duplicate", Message: "there are two records of " + r.String(),
			Hint: "keep one of the two: nobody can tell which is right", Related: []diag.Pos{p[1]}})
	}
}

// link joins units to what they name. Jobs keep the names alone: what is missing
// refuses them (Refusal).
func (l *loader) link() {
	l.linkFeatures()
	for _, u := range l.Units {
		u.Liquid = l.Liquids[u.LiquidName.S]
		u.Design = l.Designs[u.DesignName.S]
		if u.Design != nil {
			u.Size = u.Design.Sizes[u.SizeName.S]
		}
		l.linkHistory(u.Size, u.History, &u.Record)
	}
	l.linkHistories()
}

// Attach marks the records, sizes and jobs that contain errors of a list as
// broken, so that Refusal knows of them. What check finds is attached after Load.
func (b *Book) Attach(problems diag.List) {
	// All in order of place, so that each problem finds its own without going
	// through the others: a list may have 100,000 jobs, and a fault in each.
	byFile := map[string][]*Record{}
	for _, r := range b.Records {
		byFile[r.Span.File] = append(byFile[r.Span.File], r)
	}
	for _, of := range byFile {
		slices.SortStableFunc(of, func(x, y *Record) int { return cmp.Compare(x.Span.First, y.Span.First) })
	}
	designs, jobs := map[*Record]*Design{}, map[*Record][]*Job{}
	for _, d := range b.Designs {
		designs[&d.Record] = d
	}
	for _, li := range b.Lists {
		of := slices.Clone(li.Jobs)
		slices.SortStableFunc(of, func(x, y *Job) int { return comparePlace(x.from, y.from) })
		jobs[&li.Record] = of
	}
	for _, p := range both(problems) {
		of := byFile[p.Pos.File]
		i := sort.Search(len(of), func(i int) bool { return of[i].Span.First > p.Pos.Line }) - 1
		if i < 0 || !of[i].Span.Holds(p.Pos) {
			continue
		}
		to := &of[i].Problems
		if d := designs[of[i]]; d != nil {
			for _, s := range d.Sizes {
				if within(p.Pos, s.From, s.To) {
					to = &s.problems
				}
			}
		}
		in := jobs[of[i]]
		if k := sort.Search(len(in), func(k int) bool { return comparePlace(in[k].from, p.Pos) > 0 }) - 1; k >= 0 && within(p.Pos, in[k].from, in[k].to) {
			to = &in[k].Problems
		}
		if !slices.ContainsFunc(*to, func(q diag.Problem) bool { return q.Pos == p.Pos && q.Rule == p.Rule && q.Message == p.Message }) {
			to.Add(p)
		}
	}
}

// both puts a name that appears twice at both of its places, since neither of the
// two can be trusted.
func both(problems diag.List) diag.List {
	out := slices.Clone(problems)
	for _, p := range problems {
		if p.Rule != "twice" {
			continue
		}
		for i, at := range p.Related {
			other := p
			other.Pos, other.Related = at, slices.Clone(p.Related)
			other.Related[i] = p.Pos
			out.Add(other)
		}
	}
	return out
}

func within(p, from, to diag.Pos) bool {
	return comparePlace(p, from) >= 0 && comparePlace(p, to) < 0
}

func comparePlace(a, b diag.Pos) int {
	return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col))
}
