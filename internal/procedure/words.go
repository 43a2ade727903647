package procedure

import (
	"errors"
	"io/fs"
	"maps"
	"regexp"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

// Source is the language in which the program's own templates, terms, words and
// calc functions are written: every other one is held to it.
const Source = "en"

// Words reads the fixed words of the pages in opt.Language: a flat map from key to
// text, from words/LANGUAGE.yaml of the built-in templates and of the site. What
// the site has stands in for what is built in, and a language may be the site's
// alone; site may be nil. Words that lack a key of the English ones, or a {part} of
// a text, have errors, and none are then handed out: pages with words missing are
// no pages.
func Words(site, builtin fs.FS, opt Options) (map[string]string, diag.List) {
	var problems diag.List
	language := opt.Language
	if !source.IsLanguage(language) {
		problems.Errorf(diag.Pos{}, "language", source.LanguageHint, "%s is not a valid language", source.Quote(language))
		return nil, problems
	}
	name := wordsFile(language)
	words := map[string]source.Text{}
	last := "" // the file in which a key that is missing belongs
	for _, from := range []catalogue{{builtin, source.Options{Prefix: source.BuiltIn}}, {site, source.Options{Missing: opt.Missing}}} {
		if !from.has(name) {
			continue
		}
		list := from.words(name, words)
		problems = append(problems, list...)
		last = from.opt.Prefix + name
	}
	if last == "" {
		have, _ := fs.Glob(builtin, wordsFile("*"))
		for i, h := range have {
			have[i] = strings.TrimSuffix(strings.TrimPrefix(h, "words/"), ".yaml")
		}
		problems.Errorf(diag.Pos{File: name}, "language", "built in are "+strings.Join(have, ", ")+"; for another write the words in "+name+" of the site (templates/README.md)", "there are no words for the language %s", source.Quote(language))
		return nil, problems
	}
	english := map[string]source.Text{}
	catalogue{builtin, source.Options{Prefix: source.BuiltIn}}.words(wordsFile(Source), english)
	problems = append(problems, sameWords(words, english, last)...)
	if problems.HasErrors() {
		return nil, problems.Sorted()
	}
	text := make(map[string]string, len(words))
	for key, w := range words {
		text[key] = opt.Units.InText(w.S)
	}
	return text, problems.Sorted()
}

// wordsFile is the file of a language's words.
func wordsFile(language string) string { return "words/" + language + ".yaml" }

// catalogue is where words are read from, and how.
type catalogue struct {
	fsys fs.FS
	opt  source.Options
}

// has reports whether there is anything by that name.
func (c catalogue) has(name string) bool {
	if c.fsys == nil {
		return false
	}
	_, err := fs.Lstat(c.fsys, name)
	return !errors.Is(err, fs.ErrNotExist)
}

// words reads a file of words into a map; what is there already gives way.
func (c catalogue) words(name string, into map[string]source.Text) diag.List {
	docs, problems := source.ReadFile(c.fsys, name, c.opt)
	for _, d := range docs {
		for _, e := range d.Root.Entries() {
			if t := e.Value.Text(); t.Known() {
				into[e.Key.S] = t
			}
		}
		problems = append(problems, d.Problems...)
	}
	return problems
}

var wordPart = regexp.MustCompile(`\{\w+\}`)

// sameWords holds the words of a language to the English ones; file is where one
// that is missing belongs.
func sameWords(words, english map[string]source.Text, file string) diag.List {
	var list diag.List
	for key, en := range english {
		w, ok := words[key]
		if !ok {
			list.Errorf(diag.Pos{File: file}, "missing-word", "in English it is "+source.Quote(en.S), "the words lack %s", key)
			continue
		}
		if a, b := wordPart.FindAllString(en.S, -1), wordPart.FindAllString(w.S, -1); !slices.Equal(slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b))) {
			list.Errorf(w.At, "word-placeholder", "in English it is "+source.Quote(en.S), "the words %s have %s where %s are wanted", key, listed(b), listed(a))
		}
	}
	for key, w := range words {
		if _, ok := english[key]; !ok {
			list.Errorf(w.At, "unknown-word", diag.DidYouMean(key, slices.Sorted(maps.Keys(english))), "the program says nothing by the key %s", key)
		}
	}
	return list
}
