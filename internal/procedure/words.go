package procedure

import (
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

// Words reads the catalogue of fixed words of a language, words/LANGUAGE.yaml of
// the built-in templates: a flat map from key to text. A catalogue that has not
// the keys of the English one, or not the same {parts} in a text, has errors.
func Words(builtin fs.FS, language string) (map[string]string, diag.List) {
	var problems diag.List
	if !source.IsLanguage(language) {
		problems.Errorf(diag.Pos{}, "language", source.LanguageHint, "%s is no language", source.Quote(language))
		return nil, problems
	}
	name := "words/" + language + ".yaml"
	if _, err := fs.Stat(builtin, name); err != nil {
		have, _ := fs.Glob(builtin, "words/*.yaml")
		for i, h := range have {
			have[i] = strings.TrimSuffix(strings.TrimPrefix(h, "words/"), ".yaml")
		}
		problems.Errorf(diag.Pos{File: source.BuiltIn + name}, "language", "there are: "+strings.Join(have, ", "), "there are no words for the language %s", source.Quote(language))
		return nil, problems
	}
	words, problems := readWords(builtin, name)
	if language != Source {
		english, _ := readWords(builtin, "words/"+Source+".yaml")
		problems = append(problems, sameWords(words, english, language)...)
	}
	text := make(map[string]string, len(words))
	for key, w := range words {
		text[key] = w.S
	}
	return text, problems.Sorted()
}

func readWords(builtin fs.FS, name string) (map[string]source.Text, diag.List) {
	docs, problems := source.ReadFile(builtin, name, source.Options{Prefix: source.BuiltIn})
	words := map[string]source.Text{}
	for _, d := range docs {
		for _, e := range d.Root.Entries() {
			if t := e.Value.Text(); t.Known() {
				words[e.Key.S] = t
			}
		}
		problems = append(problems, d.Problems...)
	}
	return words, problems
}

var wordPart = regexp.MustCompile(`\{\w+\}`)

// sameWords holds the words of a language to the English ones.
func sameWords(words, english map[string]source.Text, language string) diag.List {
	var list diag.List
	for key, en := range english {
		w, ok := words[key]
		if !ok {
			list.Errorf(diag.Pos{File: source.BuiltIn + "words/" + language + ".yaml"}, "missing-word", "in English it is "+source.Quote(en.S), "the words lack %s", key)
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
