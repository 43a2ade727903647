package words

import (
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/diag"
)

func TestLoad(t *testing.T) {
	builtin := fstest.MapFS{"words/en.yaml": {Data: []byte("layout.page: \"Page {n}\"\nstep: Step\n")}, "words/de.yaml": {Data: []byte("layout.page: \"Seite {n}\"\nstep: Schritt\n")},
		"words/es.yaml": {Data: []byte("layout.page: [b]\nstep: Paso\n")}, "words/it.yaml": {Data: []byte("layout.page: Pagina\nstep: Passo\n")},
		"words/pt.yaml": {Data: []byte("layout.page: \"Folha {n}\"\n")}, "words/nl.yaml": {Data: []byte("layout.page: \"Blad {n}\"\nstep: Stap\nsteps: Stappen\n")}}
	c, probs := Load(nil, builtin, "en", nil)
	if len(probs) > 0 || c.Get("layout.page") != "Page {n}" || c.Get("step") != "Step" || c.Language != "en" {
		t.Error(c, probs)
	}
	if c, probs := Load(nil, builtin, "de", nil); len(probs) > 0 || c.Get("layout.page") != "Seite {n}" {
		t.Error(c, probs)
	}
	for language, want := range map[string]string{
		"es":     `built-in/words/es.yaml: error: the words lack layout.page [missing-word]`,
		"it":     `built-in/words/it.yaml:1:14: error: the words layout.page have none where {n} are wanted [word-placeholder]`,
		"pt":     `built-in/words/pt.yaml: error: the words lack step [missing-word]`,
		"nl":     `built-in/words/nl.yaml:3:8: error: the program says nothing by the key steps [unknown-word]`,
		"fr":     `words/fr.yaml: error: there are no words for the language "fr" [language]`,
		"../en":  `-: error: "../en" is not a valid language [language]`,
		"en.bak": `-: error: "en.bak" is not a valid language [language]`,
	} {
		if c, probs := Load(nil, builtin, language, nil); !c.Empty() || len(probs) < 1 || !strings.HasPrefix(probs[0].String(), want) {
			t.Errorf("%s: %v", language, probs)
		}
	}
}

// What a site says in its own words stands in for what is built in, and is told apart.
func TestSitesWords(t *testing.T) {
	builtin := fstest.MapFS{"words/en.yaml": {Data: []byte("layout.unit: Unit\nlayout.job: Job\n")}}
	missing := func(text string) []rune {
		if strings.ContainsRune(text, '页') {
			return []rune{'页'}
		}
		return nil
	}
	site := fstest.MapFS{"words/en.yaml": {Data: []byte("layout.unit: Tag\n")}}
	c, problems := Load(site, builtin, "en", missing)
	if len(problems) > 0 || c.Get("layout.unit") != "Tag" || c.Get("layout.job") != "Job" {
		t.Error(c, problems)
	}
	if len(c.Own) != 1 || c.Own[0].Path != "words/en.yaml" || c.Own[0].Line != 1 || string(c.Own[0].Raw) != "layout.unit: Tag\n" {
		t.Errorf("%+v", c.Own)
	}
	if c, _ := Load(fstest.MapFS{}, builtin, "en", missing); c.Own != nil {
		t.Errorf("%+v", c.Own)
	}
	site["words/en.yaml"].Data = []byte("layout.unit: 页\n")
	if c, problems := Load(site, builtin, "en", missing); !c.Empty() || !problems.HasErrors() {
		t.Error("a word that the pages cannot print is taken", problems)
	}
	site = fstest.MapFS{"words/qaa.yaml": {Data: []byte("layout.unit: Eno\nlayout.job: Wo\n")}}
	if c, problems := Load(site, builtin, "qaa", nil); len(problems) > 0 || c.Get("layout.job") != "Wo" {
		t.Error("a language of the site's alone", problems)
	}
}

func TestSay(t *testing.T) {
	c := Catalogue{Language: "en"}.Replace("front.page", "Page {n} of {N}", "front.none", "", "layout.page", "Leaf")
	for _, row := range []struct {
		key   string
		pairs []string
		want  string
		fault string
	}{
		{"page", nil, "Page {n} of {N}", ""}, // for whoever fills it in elsewhere
		{"page", []string{"N", "{n}", "n", "3"}, "Page 3 of {n}", ""},
		{"page", []string{"n", "3"}, "Page 3 of {N}", "words/en.yaml: error: nothing is known to print for {N}"},
		{"page", []string{"n", "3", "N", "4", "m", "5"}, "Page 3 of 4", "words/en.yaml: error: the words front.page lack {m}"},
		{"none", nil, "", `words/en.yaml: error: the words of the pages lack front.none in language "en" [missing-word]`},
		{"Page", []string{"n", "3"}, "", "words/en.yaml: error: the words of the pages lack front.Page"},
	} {
		var problems diag.List
		room := c.For("front", &problems)
		for range 2 { // a fault is reported once
			if got := room.Say(row.key, row.pairs...); got != row.want {
				t.Errorf("%s, %q: %q", row.key, row.pairs, got)
			}
		}
		if row.fault == "" && len(problems) > 0 || row.fault != "" && (len(problems) != 1 || !strings.HasPrefix(problems[0].String(), row.fault)) {
			t.Errorf("%s, %q: %v", row.key, row.pairs, problems)
		}
	}
}

// Replace leaves the catalogue that it is asked of as it is.
func TestReplace(t *testing.T) {
	one := Catalogue{}.Replace("b", "B", "a", "A")
	two := one.Replace("a", "X")
	var all []string
	for key, text := range two.All() {
		all = append(all, key+text)
	}
	if one.Get("a") != "A" || strings.Join(all, " ") != "aX bB" || !(Catalogue{}).Empty() || two.Empty() {
		t.Error(one, two)
	}
}

// Map says every word anew, and leaves the catalogue that it is asked of as it is.
func TestMap(t *testing.T) {
	one := Catalogue{Language: "en"}.Replace("a", "at 85 °C", "b", "B")
	two := one.Map(strings.ToUpper)
	if two.Get("a") != "AT 85 °C" || two.Get("b") != "B" || two.Language != "en" || one.Get("a") != "at 85 °C" {
		t.Error(one, two)
	}
}
