package procedure

import (
	"io/fs"
	"maps"
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

// Options are what Load needs to know of the rest of the program. What is nil is
// not checked.
type Options struct {
	Instruments []string         // on record
	Machines    []string         // kinds of machine on record
	Figures     []string         // that can be drawn
	Drawn       map[string]Drawn // what each figure is drawn from
	Signs       []string         // of what to wear, that can be drawn
	// Language is that of the pages: texts of templates in another one are put
	// into it. The empty string leaves them as they are.
	Language string
	// Missing gives the characters of a text that the pages cannot print. Nil
	// takes every character for printable.
	Missing func(text string) []rune
}

// Drawn is what a figure is drawn from.
type Drawn struct {
	Entries []Entry
	Of      string // joint or feature, where the template has to say which
}

// Entry is a number or a text that a template may give a figure.
type Entry struct {
	Name, What string
	Text       bool
	Wanted     bool     // nothing else gives it, and the figure cannot do without
	OneOf      []string // the only texts that are taken
}

// Library is the procedures of a site: the built-in ones, and the site's own,
// which stand in for those of the same name. It is not changed once it is loaded.
type Library struct {
	procedures map[string]*Procedure
	faulty     map[string]bool
	texts      *Texts
}

// Load reads the files in the folder procedures of a site and of the built-in
// templates; either may be nil. The list holds every problem, sorted. A procedure
// with an error, in itself or in a fragment that it uses, is not handed out.
func Load(site, builtin fs.FS, opt Options) (*Library, diag.List) {
	l := loader{opt: opt, templates: map[string]*template{}}
	if opt.Language != "" {
		l.texts, l.problems = readTexts(site, builtin, opt)
	}
	l.read(builtin, true)
	l.read(site, false)
	for _, t := range l.templates {
		l.translate(t)
	}
	lib := &Library{procedures: map[string]*Procedure{}, faulty: map[string]bool{}, texts: l.texts}
	for _, name := range slices.Sorted(maps.Keys(l.templates)) {
		t := l.templates[name]
		l.problems = append(l.problems, t.doc.Problems...)
		l.useFaults(t)
		if t.fragment {
			l.order(t, nil, map[*template]bool{})
			continue
		}
		if p, ok := l.assemble(t); ok {
			lib.procedures[name] = p
		} else {
			lib.faulty[name] = true
		}
	}
	return lib, l.problems.Sorted()
}

// Procedure gives a procedure by name. Where it is nil, faulty says that there is
// one but that it has errors.
func (l *Library) Procedure(name string) (p *Procedure, faulty bool) {
	return l.procedures[name], l.faulty[name]
}

// Texts gives the catalogue of the language of the pages; nil where no language
// was asked for.
func (l *Library) Texts() *Texts { return l.texts }

// Names lists the procedures that Procedure can give, in order.
func (l *Library) Names() []string { return slices.Sorted(maps.Keys(l.procedures)) }

// loader is a Library in the making.
type loader struct {
	opt       Options
	templates map[string]*template
	texts     *Texts
	problems  diag.List
}

// read reads the procedures folder of one file system.
func (l *loader) read(fsys fs.FS, builtIn bool) {
	if fsys == nil {
		return
	}
	opt := source.Options{Missing: l.opt.Missing}
	if builtIn {
		opt.Prefix = source.BuiltIn
	}
	names, problems := source.Files(fsys, "procedures")
	l.problems = append(l.problems, problems...)
	for _, name := range names {
		docs, problems := source.ReadFile(fsys, name, opt)
		l.problems = append(l.problems, problems...)
		for _, d := range docs {
			l.add(d, builtIn)
		}
	}
}

// add takes a document in: the site's stands in for a built-in one of its name.
func (l *loader) add(d *source.Doc, builtIn bool) {
	if d.Kind != "procedure" && d.Kind != "fragment" {
		if len(d.Problems) == 0 {
			d.Errorf(d.At, "kind", "begin it with procedure: NAME or fragment: NAME", "a template begins with procedure or fragment, found %s", source.Quote(d.Kind))
		}
		l.problems = append(l.problems, d.Problems...)
		return
	}
	t := readTemplate(d)
	t.builtIn = builtIn
	if t.Name == "" {
		l.problems = append(l.problems, d.Problems...)
		return
	}
	if first, taken := l.templates[t.Name]; taken && first.builtIn == builtIn {
		l.problems.Add(diag.Problem{Pos: d.At, Severity: diag.Error, Rule: "duplicate-name", Related: []diag.Pos{first.at},
			Message: "there are two templates named " + t.Name, Hint: "give one of them another name"})
		l.problems = append(l.problems, d.Problems...)
		first.doc.Problems.Add(diag.Problem{Pos: first.at, Severity: diag.Error, Rule: "duplicate-name", Related: []diag.Pos{d.At},
			Message: "there are two templates named " + t.Name, Hint: "give one of them another name"})
		return
	}
	l.templates[t.Name] = t
}
