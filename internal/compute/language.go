package compute

import (
	"slices"
	"strings"

	"jobsheaf/internal/calc/bolting"
	"jobsheaf/internal/calc/wear"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/record"
)

// translate gives a text of the program's own in the language of the pages.
func (c *Plans) translate(text string) string {
	if s, ok := c.lib.Texts().In(text); ok {
		return s
	}
	return text
}

// vocabulary visits every text of what is built in that a packet may print, with
// its place.
func (c *Plans) vocabulary(visit func(text string, at diag.Pos)) {
	builtIn := map[string]bool{}
	for _, r := range c.book.Records {
		if r.BuiltIn {
			builtIn[r.Span.File] = true
		}
	}
	terms := func(all map[string]*record.Term) {
		for _, t := range all {
			if t.Of == "" && builtIn[t.At.File] {
				visit(t.What, t.At)
				if t.Fact != "" {
					visit(t.Fact, t.At)
				}
				for _, w := range t.Words {
					visit(w, t.At)
				}
			}
		}
	}
	terms(c.book.Terms)
	for _, k := range c.book.Machines {
		terms(k.Terms)
	}
	for _, s := range c.book.Statements {
		if builtIn[s.At.File] {
			visit(s.Text, s.At)
		}
	}
	for _, r := range c.book.Records {
		if r.Kind == "instrument" && r.BuiltIn {
			visit(r.ID, r.At)
		}
	}
	for _, s := range slices.Concat(bolting.Conditions(), bolting.Methods(), record.Orders, record.Seats, []string{wear.TrendSource, wear.ForecastSource}) {
		visit(s, diag.Pos{})
	}
}

// wantVocabulary reports what is built in and has no text in the language of the
// pages: no packet is then made.
func (c *Plans) wantVocabulary() diag.List {
	var list diag.List
	c.vocabulary(func(text string, at diag.Pos) { c.want(&list, text, at) })
	return list.Sorted()
}

// want reports a text that has none in the language of the pages.
func (c *Plans) want(list *diag.List, text string, at diag.Pos) {
	if texts := c.lib.Texts(); !texts.Want(text) {
		list.Errorf(at, "missing-text", "add it to the folder texts/"+texts.Language, "there is no text in %s for %q", texts.Language, text)
	}
}

// wantTexts reports what a value's formula prints and has no text in the language of
// the pages: what its functions compute by, and the words that it may come to.
func (k *compiler) wantTexts(v *Value, e *formula.Expr, f *formula.Formula) {
	for _, fn := range f.Functions() {
		k.c.want(&k.problems, fn.Formula, e.At)
		k.c.want(&k.problems, fn.Source, e.At)
	}
	if texts := k.c.lib.Texts(); texts != nil && v.Language != texts.Language {
		for _, word := range f.Type().OneOf {
			k.c.want(&k.problems, word, e.At)
		}
	}
}

// What says what a term is.
func (n *Numbers) What(t *record.Term) string {
	of := n.Book.TermOf(n.Unit, t.Of)
	if of == nil {
		if own := n.Book.TermOf(n.Unit, t.Name); own != nil {
			t = own
		}
		return n.Translate(t.What)
	}
	return n.Translate(of.What) + ", " + n.Word(strings.TrimPrefix(t.Name, t.Of+"."))
}

// wordOf gives a recorded word: one of those that its term allows is the program's
// own and translated, any other is the site's.
func (n *Numbers) wordOf(t *record.Term, word string) string {
	if slices.Contains(t.Words, word) {
		return n.Translate(word)
	}
	return word
}
