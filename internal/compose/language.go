package compose

import (
	"regexp"
	"slices"
	"strings"

	"jobsheaf/internal/calc/bolting"
	"jobsheaf/internal/calc/wear"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// own says something of the program's own in the language of the pages: a term, a
// word that a term allows, an instrument, a source. What the catalogue does not
// hold is the site's, and stands as the site wrote it: New has made sure of all
// that is built in.
func (c *Composer) own(text string) string {
	if s, ok := c.lib.Texts().In(text); ok {
		return s
	}
	return text
}

// vocabulary visits every text of what is built in that a packet may print, with
// its place.
func (c *Composer) vocabulary(visit func(text string, at diag.Pos)) {
	builtIn := map[string]bool{}
	for _, r := range c.book.Records {
		if r.BuiltIn {
			builtIn[r.Span.File] = true
		}
	}
	for _, t := range c.book.Terms {
		if t.Of == "" && builtIn[t.At.File] {
			visit(t.What, t.At)
			for _, w := range t.Words {
				visit(w, t.At)
			}
		}
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
	for _, s := range slices.Concat(bolting.Conditions(), bolting.Methods(), record.Orders, record.Seats, record.Sides, []string{wear.TrendSource, wear.ForecastSource}) {
		visit(s, diag.Pos{})
	}
}

// spoken reports what is built in and has no text in the language of the pages: no
// packet is then made.
func (c *Composer) spoken() diag.List {
	var list diag.List
	c.vocabulary(func(text string, at diag.Pos) { c.want(&list, text, at) })
	return list.Sorted()
}

// want reports a text that has none in the language of the pages.
func (c *Composer) want(list *diag.List, text string, at diag.Pos) {
	if texts := c.lib.Texts(); !texts.Want(text) {
		list.Errorf(at, "missing-text", "add it to the folder texts/"+texts.Language, "there is no text in %s for %q", texts.Language, text)
	}
}

// speak reports what a value's formula prints and has no text in the language of
// the pages: what its functions compute by, and the words that it may come to.
func (k *compiler) speak(v *value, e *procedure.Expr, f *formula.Formula) {
	for _, fn := range f.Functions() {
		k.c.want(&k.problems, fn.Formula, e.At)
		k.c.want(&k.problems, fn.Source, e.At)
	}
	if texts := k.c.lib.Texts(); texts != nil && v.src.Language != texts.Language {
		for _, word := range f.Type().OneOf {
			k.c.want(&k.problems, word, e.At)
		}
	}
}

// what says what a term is.
func (r *run) what(t *record.Term) string {
	of := r.c.book.Terms[t.Of]
	if of == nil {
		return r.c.own(t.What)
	}
	return r.c.own(of.What) + ", " + r.word(strings.TrimPrefix(t.Name, t.Of+"."))
}

// wordOf says a recorded word: one of those that its term allows is the program's
// own, any other is the site's.
func (r *run) wordOf(t *record.Term, word string) string {
	if slices.Contains(t.Words, word) {
		return r.c.own(word)
	}
	return word
}

var point = regexp.MustCompile(`(\d)\.(\d)`)

// pointed prints an amount as a record has it: its digits as they stand, with the
// decimal sign of the pages and the unit's symbol.
func (r *run) pointed(written string) string {
	number := written
	at := strings.LastIndex(written, " ")
	v, err := quantity.ParseAny(written)
	known := err == nil && at > 0
	if known {
		number = written[:at]
	}
	number = point.ReplaceAllString(number, "${1}"+r.decimal+"${2}")
	if u, ok := v.Written(); known && ok {
		return u.Join(number)
	}
	return number
}
