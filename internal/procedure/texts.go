package procedure

import (
	"io/fs"
	"regexp"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

// Texts is what the templates and the built-in records say, put into one language:
// a catalogue by the text that each entry stands for, read from texts/LANGUAGE of
// the built-in templates and of the site. The nil Texts puts nothing into another
// language: every text then stands as it is written.
type Texts struct {
	Language string
	Files    []File // its own, in order of path

	texts map[string]*translation // by the text as a template writes it
	plain map[string]string       // those without names in braces, as they print
}

// translation is an entry of the catalogue.
type translation struct {
	text    Text
	at      diag.Pos // of its key
	builtIn bool
	used    bool
}

// readTexts reads the catalogue of a language. What the site has stands in for a
// built-in entry.
func readTexts(site, builtin fs.FS, opt Options) (*Texts, diag.List) {
	var problems diag.List
	t := &Texts{Language: opt.Language, texts: map[string]*translation{}, plain: map[string]string{}}
	for _, from := range []struct {
		fsys    fs.FS
		builtIn bool
	}{{builtin, true}, {site, false}} {
		if from.fsys == nil {
			continue
		}
		read := source.Options{Missing: opt.Missing}
		if from.builtIn {
			read.Prefix = source.BuiltIn
		}
		names, list := source.Files(from.fsys, "texts/"+opt.Language)
		problems = append(problems, list...)
		for _, name := range names {
			docs, list := source.ReadFile(from.fsys, name, read)
			problems = append(problems, list...)
			for _, d := range docs {
				for _, e := range d.Root.Entries() {
					t.enter(e, from.builtIn)
				}
				t.Files = append(t.Files, File{Path: d.Span.File, Line: d.Span.First, BuiltIn: from.builtIn, Raw: d.Raw()})
				problems = append(problems, d.Problems...)
			}
		}
	}
	slices.SortStableFunc(t.Files, func(a, b File) int { return strings.Compare(a.Path, b.Path) })
	return t, problems
}

// enter takes one entry in.
func (t *Texts) enter(e source.Entry, builtIn bool) {
	v := e.Value.Text()
	from, to := textOf(e.Key), textOf(v)
	if from.Empty() || to.Empty() {
		return
	}
	if a, b := from.names(), to.names(); !slices.Equal(a, b) {
		v.Errorf(0, "text-names", "name in braces what the text that it stands for names, in any order", "the text names %s, and its key %s", listed(b), listed(a))
		return
	}
	if a, b := from.figures(), to.figures(); !slices.Equal(a, b) {
		v.Errorf(0, "text-figures", "write the same numbers, with the decimal sign of the language", "the text has the figures %s, and its key %s", listed(b), listed(a))
		return
	}
	key := from.String()
	if first := t.texts[key]; first != nil && first.builtIn == builtIn {
		e.Key.Errorf(0, "duplicate-text", "keep one of the two", "this text has an entry already, at %s", first.at)
		return
	}
	t.texts[key] = &translation{text: to, at: e.Key.At, builtIn: builtIn}
	if len(from.names()) == 0 {
		t.plain[from.literal()] = to.literal()
	}
}

// In gives a text of the program's own in the language of the catalogue; ok is
// false where the catalogue lacks it.
func (t *Texts) In(text string) (s string, ok bool) {
	if t == nil || t.Language == source.English || wordless(text) {
		return text, true
	}
	s, ok = t.plain[text]
	return s, ok
}

// Want notes that a text of the program's own is printed, and reports whether In
// will give it. It may not be called while In is.
func (t *Texts) Want(text string) bool {
	if t == nil || t.Language == source.English {
		return true
	}
	if e := t.texts[doubleBraces.Replace(text)]; e != nil {
		e.used = true
		return true
	}
	return wordless(text)
}

// Unused gives a warning for each entry that nothing asked for.
func (t *Texts) Unused() diag.List {
	var list diag.List
	if t != nil {
		for key, e := range t.texts {
			if !e.used {
				list.Warnf(e.at, "unused-text", "take it out, or write it as the template does", "no template has the text %s", source.Quote(key))
			}
		}
	}
	return list.Sorted()
}

// wordless reports whether a text holds no word of a language: only signs,
// single letters, whole numbers and names in braces.
func wordless(text string) bool { return !speech.MatchString(text) }

var speech = regexp.MustCompile(`\p{Latin}{2}|\d\.\d`)

// names lists the names that stand in a text's braces, sorted, each once.
func (t Text) names() []string {
	var out []string
	for _, p := range t.Parts {
		if p.Name != "" {
			out = append(out, p.Name)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

var digits = regexp.MustCompile(`\d+`)

// figures lists the runs of digits of a text, sorted: 0.5 and 0,5 have the same.
func (t Text) figures() []string {
	out := digits.FindAllString(t.literal(), -1)
	slices.Sort(out)
	return out
}

// literal is the text without its names.
func (t Text) literal() string {
	var b strings.Builder
	for _, p := range t.Parts {
		b.WriteString(p.Literal)
	}
	return b.String()
}

func listed(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}

// translate puts the texts of a template into the language of the pages.
func (l *loader) translate(t *template) {
	if l.texts == nil || t.language == "" || t.language == l.texts.Language {
		return
	}
	if len(l.texts.texts) == 0 {
		t.doc.Errorf(t.at, "language", "write its texts in the folder texts/"+l.texts.Language, "the template %s is in %s, and nothing puts it into %s", t.Name, t.language, l.texts.Language)
		return
	}
	t.language = l.texts.Language
	t.prose(func(x *Text) { l.put(t, x) })
	for i := range t.places {
		if own := t.places[i].own; own != nil {
			p := Procedure{Stages: []Stage{*own}}
			p.prose(func(x *Text) { l.put(t, x) })
			*own = p.Stages[0]
		}
	}
	for i := range t.put {
		p := Procedure{Stages: []Stage{{Steps: t.put[i].steps}}}
		p.prose(func(x *Text) { l.put(t, x) })
	}
}

// put puts one text into the language of the pages. The names in it keep the
// places that they have in the template.
func (l *loader) put(t *template, x *Text) {
	original := x.String()
	worded := slices.ContainsFunc(x.Parts, func(p Part) bool { return !wordless(p.Literal) })
	e := l.texts.texts[original]
	switch {
	case e != nil:
		e.used = true
	case !worded:
		return
	default:
		t.doc.Errorf(x.At, "missing-text", "add it to the folder texts/"+l.texts.Language, "there is no text in %s for %q", l.texts.Language, original)
		return
	}
	places := map[string]diag.Pos{}
	for _, p := range x.Parts {
		places[p.Name] = p.At
	}
	out := Text{At: x.At, original: original}
	for _, p := range e.text.Parts {
		if p.Name != "" {
			p.At = places[p.Name]
		}
		out.Parts = append(out.Parts, p)
	}
	*x = out
}
