package procedure

import (
	"cmp"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

// drawnFrom holds the figures of a procedure to what each is drawn from: what is
// missing or unknown would otherwise be refused on the page, far from its line.
func (l *loader) drawnFrom(p *Procedure) {
	if l.opt.Drawn == nil {
		return
	}
	p.Figures(func(f *Figure) {
		if !slices.Contains(l.opt.Figures, f.Figure.Name) {
			return // reported already
		}
		d := l.opt.Drawn[f.Figure.Name]
		given := map[string]bool{} // by sort and name
		for _, n := range f.Numbers {
			given[aNumber+n.Key] = true
			l.entry(f, d, aNumber, n.Key, n.Is.At, "")
		}
		for _, t := range f.Texts {
			literal := ""
			if len(t.Say.Parts) == 1 {
				literal = t.Say.Parts[0].Literal
			}
			given[aText+t.Key] = true
			l.entry(f, d, aText, t.Key, t.Say.At, literal)
		}
		for _, e := range d.Entries {
			if e.Wanted && !given[e.sort()+e.Name] {
				hint := "such as numbers: {" + e.Name + ": housing." + e.Name + "}"
				if e.Text {
					hint = "such as texts: {" + e.Name + ": " + cmp.Or(strings.Join(e.OneOf[:min(1, len(e.OneOf))], ""), `"{`+e.Name+`}"`) + "}"
				}
				l.problems.Errorf(f.Figure.At, "figure-entry", hint, "the figure %s lacks the %s%s: %s", f.Figure.Name, e.sort(), e.Name, e.What)
			}
		}
		if d.Of == "joint" && f.Joint == nil || d.Of == "feature" && f.Feature == nil {
			l.problems.Errorf(f.Figure.At, "figure-entry", "write it as {figure: "+f.Figure.Name+", "+d.Of+": NAME}", "the figure %s does not say of which %s", f.Figure.Name, d.Of)
		}
	})
}

// entry holds one thing that a template gives a figure to those that it takes.
func (l *loader) entry(f *Figure, d Drawn, sort, key string, at diag.Pos, literal string) {
	var names []string
	for _, e := range d.Entries {
		if e.sort() != sort {
			continue
		}
		if e.Name == key {
			if literal != "" && e.OneOf != nil && !slices.Contains(e.OneOf, literal) {
				l.problems.Errorf(at, "figure-entry", cmp.Or(diag.DidYouMean(literal, e.OneOf), "it takes "+strings.Join(e.OneOf, ", ")), "the figure %s has no %s %s", f.Figure.Name, key, source.Quote(literal))
			}
			return
		}
		names = append(names, e.Name)
	}
	hint := cmp.Or(diag.DidYouMean(key, names), "it takes "+cmp.Or(strings.Join(names, ", "), "none"))
	l.problems.Errorf(at, "figure-entry", hint, "the figure %s takes no %s%s", f.Figure.Name, sort, source.Quote(key))
}

const (
	aNumber = "number "
	aText   = "text "
)

func (e Entry) sort() string {
	if e.Text {
		return aText
	}
	return aNumber
}
