package procedure

import (
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/quantity"
)

// TestWhole reads a procedure with a bit of everything that a template can say, some
// of it in fragments, and holds all that it then has, and all that each visit of it
// meets, to what a reader of the templates would write down.
func TestWhole(t *testing.T) {
	const name = "testdata/whole.txtar"
	a, err := txtar.ParseFile(name)
	if err != nil {
		t.Fatal(err)
	}
	p := load(t, site(a.Files), nil)
	var b strings.Builder
	line := func(what string, v any) {
		if s := outline(reflect.ValueOf(v)); s != "" {
			fmt.Fprintf(&b, "%s: %s\n", what, s)
		}
	}
	lines := func(what string, list any) {
		for i, v := 0, reflect.ValueOf(list); i < v.Len(); i++ {
			line(what, v.Index(i).Interface())
		}
	}
	line("procedure", []any{p.Name, p.Title, p.Revision, p.For, p.People, p.Hours, p.Pages, p.PagesAt, *p.Strip})
	lines("scope", p.Scope)
	for g := Single; int(g) <= len(Groups); g++ {
		for _, v := range p.Of(g) {
			line("value", v)
			for _, e := range Ends {
				line("  "+e.String(), v.Formula(e))
			}
		}
	}
	lines("hazard", p.Cover.Hazards)
	lines("to wear", p.Cover.Wear)
	lines("prove", p.Cover.Prove)
	lines("stop", p.Cover.Stop)
	lines("tool", p.Job.Tools)
	lines("paper", p.Job.Papers)
	lines("part", p.Job.Parts)
	line("kits", p.Job.Kits)
	lines("figure of the job sheet", p.Job.Figures)
	lines("joint", p.Numbers.Joints)
	lines("row", p.Numbers.Table)
	lines("figure of the numbers", p.Numbers.Figures)
	line("features", p.Wear.Features)
	line("all features", p.Wear.All)
	line("renews", p.Wear.Renews)
	lines("figure of the wear", p.Wear.Figures)
	for _, s := range p.Stages {
		line("stage", []any{s.Title, s.Sheet, s.When, s.Alerts})
		lines("  step", s.Steps)
	}
	for _, f := range p.Files {
		fmt.Fprintf(&b, "file: %s from line %d, %d bytes\n", f.Path, f.Line, len(f.Raw))
	}
	var order, conditions, figures, instruments, texts, refs, mentions []string
	for _, v := range p.Order {
		order = append(order, v.Full(""))
	}
	p.Conditions(func(e *formula.Expr) { conditions = append(conditions, e.Text) })
	p.Figures(func(f *Figure) { figures = append(figures, f.Figure.Name+" "+f.Figure.At.String()) })
	p.Instruments(func(r *Ref) { instruments = append(instruments, r.Name+" "+r.At.String()) })
	p.Texts(func(t Text) {
		if !t.Empty() {
			texts = append(texts, t.String())
		}
	})
	p.Refs(func(r *Ref) { refs = append(refs, r.Name) })
	p.Mentions(func(r Ref) { mentions = append(mentions, r.Name) })
	for _, v := range []struct {
		what string
		met  []string
	}{{"order", order}, {"conditions", conditions}, {"figures", figures}, {"instruments", instruments}, {"texts", texts}, {"refs", refs}, {"mentions", mentions}} {
		fmt.Fprintf(&b, "%s: %s\n", v.what, strings.Join(v.met, " | "))
	}
	last := &a.Files[len(a.Files)-1]
	if got := b.String(); got != string(last.Data) && !*update {
		t.Errorf("got\n%s", got)
	}
	if *update {
		last.Data = []byte(b.String())
		if err := os.WriteFile(name, txtar.Format(a), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// outline writes what something holds on one line, without what is empty and without
// the places of names and texts.
func outline(v reflect.Value) string {
	if !v.IsValid() || v.IsZero() {
		return ""
	}
	if v.CanInterface() {
		switch x := v.Interface().(type) {
		case Text:
			return fmt.Sprintf("%q", x.String())
		case *formula.Expr:
			return "'" + x.Text + "'"
		case Ref:
			return x.Name
		case diag.Pos:
			return fmt.Sprintf("%d:%d", x.Line, x.Col)
		case quantity.Value:
			return fmt.Sprint(x.SI())
		case quantity.Show:
			return fmt.Sprintf("grain %g or %g", x.Grain[0].Step, x.Grain[1].Step)
		case quantity.Unit:
			return x.Symbol + " of " + x.Kind.String()
		}
	}
	var parts []string
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if s := outline(v.Elem()); s != "" {
			return s
		}
		return "zero"
	case reflect.Slice:
		for i := range v.Len() {
			if s := outline(v.Index(i)); s != "" {
				parts = append(parts, s)
			}
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			if s := outline(v.Field(i)); s != "" && f.IsExported() {
				parts = append(parts, strings.ToLower(f.Name)+" "+s)
			}
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	return fmt.Sprint(v)
}
