package procedure

import (
	"regexp"
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/source"
)

// String writes the text as a template has it.
func (t Text) String() string {
	var b strings.Builder
	for _, p := range t.Parts {
		if p.Name != "" {
			b.WriteString("{" + p.Name + "}")
		} else {
			b.WriteString(doubleBraces.Replace(p.Literal))
		}
	}
	return b.String()
}

var doubleBraces = strings.NewReplacer("{", "{{", "}", "}}")

// Original gives the text as the template has it, whatever language it was put
// into: what must not depend on the language is named after it.
func (t Text) Original() string {
	if t.original != "" {
		return t.original
	}
	return t.String()
}

// Empty reports whether there is no text.
func (t Text) Empty() bool { return len(t.Parts) == 0 }

var nameShape = regexp.MustCompile(`^[A-Za-z_][A-Za-z0-9_]*(\.[A-Za-z0-9_]+)*$`)

// textOf splits a text at its names in braces.
func textOf(t source.Text) Text {
	const rule = "text"
	if !t.Known() {
		return Text{}
	}
	out := Text{At: t.Pos(0)}
	runes := []rune(t.S)
	var literal []rune
	from := 0
	flush := func() {
		if len(literal) > 0 {
			out.Parts = append(out.Parts, Part{Literal: string(literal), At: t.Pos(from)})
		}
		literal = nil
	}
	for i := 0; i < len(runes); i++ {
		r := runes[i]
		doubled := i+1 < len(runes) && runes[i+1] == r
		switch {
		case (r == '{' || r == '}') && doubled:
			i++
		case r == '}':
			t.Errorf(i, rule, "write }} for a brace", "found } with no { before it")
			return Text{}
		case r == '{':
			end := i + 1
			for end < len(runes) && runes[end] != '}' && runes[end] != '{' {
				end++
			}
			name := string(runes[i+1 : end])
			switch {
			case end == len(runes) || runes[end] == '{':
				t.Errorf(i, rule, "close it as {name}, or write {{ for a brace", "found { with no } behind it")
				return Text{}
			case !nameShape.MatchString(name):
				t.Errorf(i+1, rule, "write a name as it stands in formulas, such as {travel} or {joints.head.torque}; work anything else out as a value", "%s is not a valid name", source.Quote(name))
				return Text{}
			}
			flush()
			out.Parts = append(out.Parts, Part{Name: name, At: t.Pos(i + 1)})
			i = end
			continue
		}
		if literal == nil {
			from = i
		}
		literal = append(literal, r)
	}
	flush()
	return out
}

// exprOf takes a text as an expression. The way it is written must show where
// each of its characters stands, so that a fault in it has its place.
func exprOf(t source.Text) *formula.Expr {
	if !t.Known() {
		return nil
	}
	text := strings.TrimRight(t.S, " \n")
	start := t.Pos(0)
	want, last := start, []rune(text)
	for _, r := range last {
		if want.Col++; r == '\n' {
			want.Line, want.Col = want.Line+1, start.Col
		}
	}
	if t.Pos(len(last)) != want {
		t.Errorf(0, "formula-form", `write it on one line, bare or in single quotes: 'gap > q("1 mm")'; or as a block after |`, "a formula may not be folded over lines or hold escapes")
		return nil
	}
	return formula.Parse(text, start)
}

// refOf takes a text as a name.
func refOf(t source.Text) *Ref {
	if !t.Known() {
		return nil
	}
	return &Ref{Name: t.S, At: t.Pos(0)}
}
