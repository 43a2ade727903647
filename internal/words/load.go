package words

import (
	"errors"
	"io/fs"
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

// Load reads the fixed words of the pages in a language: a flat map from key to text,
// from words/LANGUAGE.yaml of the built-in templates and of the site. What the site has
// stands in for what is built in, and a language may be the site's alone; site may be
// nil. The English words say which keys there are, and which placeholders each has: a
// language that lacks one, or has one more, has an error. The catalogue is empty where
// there is any: pages with words missing are no pages. Missing gives the characters of
// a text that the pages cannot print; nil takes every one for printable.
func Load(site, builtin fs.FS, language string, missing func(text string) []rune) (Catalogue, diag.List) {
	var problems diag.List
	if !source.IsLanguage(language) {
		problems.Errorf(diag.Pos{}, "language", source.LanguageHint, "%s is not a valid language", source.Quote(language))
		return Catalogue{}, problems
	}
	c := Catalogue{Language: language, texts: map[string]string{}}
	name := fileOf(language)
	has := map[string]source.Text{}
	last := "" // the file in which a key that is missing belongs
	if exists(builtin, name) {
		_, list := read(builtin, name, source.Options{Prefix: source.BuiltIn}, has)
		problems, last = append(problems, list...), source.BuiltIn+name
	}
	if exists(site, name) {
		docs, list := read(site, name, source.Options{Missing: missing}, has)
		problems, last = append(problems, list...), name
		for _, d := range docs {
			c.Own = append(c.Own, File{Path: d.Span.File, Line: d.Span.First, Raw: d.Raw()})
		}
	}
	if last == "" {
		have, _ := fs.Glob(builtin, fileOf("*"))
		for i, h := range have {
			have[i] = strings.TrimSuffix(strings.TrimPrefix(h, "words/"), ".yaml")
		}
		problems.Errorf(diag.Pos{File: name}, "language", "built in are "+strings.Join(have, ", ")+"; for another write the words in "+name+" of the site (templates/README.md)", "there are no words for the language %s", source.Quote(language))
		return Catalogue{}, problems
	}
	wanted := map[string]source.Text{}
	read(builtin, fileOf(source.English), source.Options{Prefix: source.BuiltIn}, wanted)
	problems = append(problems, hold(has, wanted, last)...)
	if problems.HasErrors() {
		return Catalogue{}, problems.Sorted()
	}
	for key, w := range has {
		c.texts[key] = w.S
	}
	return c, problems.Sorted()
}

// fileOf is the file of a language's words.
func fileOf(language string) string { return "words/" + language + ".yaml" }

// exists reports whether there is anything by that name.
func exists(fsys fs.FS, name string) bool {
	if fsys == nil {
		return false
	}
	_, err := fs.Lstat(fsys, name)
	return !errors.Is(err, fs.ErrNotExist)
}

// read reads a file of words into a map; what is there already gives way.
func read(fsys fs.FS, name string, opt source.Options, into map[string]source.Text) ([]*source.Doc, diag.List) {
	docs, problems := source.ReadFile(fsys, name, opt)
	for _, d := range docs {
		for _, e := range d.Root.Entries() {
			if t := e.Value.Text(); t.Known() {
				into[e.Key.S] = t
			}
		}
		problems = append(problems, d.Problems...)
	}
	return docs, problems
}

// hold holds the words of a language to those that are wanted; file is where one that
// is missing belongs.
func hold(has, wanted map[string]source.Text, file string) diag.List {
	var list diag.List
	for key, want := range wanted {
		w, ok := has[key]
		if !ok {
			list.Errorf(diag.Pos{File: file}, "missing-word", "in English it is "+source.Quote(want.S), "the words lack %s", key)
			continue
		}
		if a, b := holes(want.S), holes(w.S); !slices.Equal(sorted(a), sorted(b)) {
			list.Errorf(w.At, "word-placeholder", "in English it is "+source.Quote(want.S), "the words %s have %s where %s are wanted", key, listed(b), listed(a))
		}
	}
	for key, w := range has {
		if _, ok := wanted[key]; !ok {
			list.Errorf(w.At, "unknown-word", diag.DidYouMean(key, slices.Sorted(maps.Keys(wanted))), "the program says nothing by the key %s", key)
		}
	}
	return list
}

func sorted(names []string) []string { return slices.Sorted(slices.Values(names)) }

func listed(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}
