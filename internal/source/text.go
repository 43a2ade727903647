package source

import (
	"fmt"
	"strings"

	"jobsheaf/internal/diag"

	"gopkg.in/yaml.v3"
)

// Text is a scalar as the file has it, with its place. The zero Text stands for
// what is not on record.
type Text struct {
	S  string
	At diag.Pos

	doc   *Doc
	style yaml.Style
}

// Known reports whether the text is on record.
func (t Text) Known() bool { return t.At.Line > 0 }

// String gives the text itself.
func (t Text) String() string { return t.S }

// Full reports whether no more problems of the text's document are listed, so
// that nothing costly need be done for a message.
func (t Text) Full() bool { return t.doc != nil && t.doc.full() }

// Errorf adds an error about the text to its document's problems, at the rune
// with the given offset.
func (t Text) Errorf(offset int, rule, hint, format string, args ...any) {
	if t.doc != nil {
		t.doc.Errorf(t.Pos(offset), rule, hint, format, args...)
	}
}

// Warnf adds a warning, as Errorf adds an error.
func (t Text) Warnf(offset int, rule, hint, format string, args ...any) {
	if t.doc != nil {
		t.doc.add(diag.Problem{Pos: t.Pos(offset), Severity: diag.Warning, Rule: rule, Hint: hint, Message: fmt.Sprintf(format, args...)})
	}
}

// Pos gives the place of the rune with the given offset. Where the way the text
// is written hides it (folded text, escapes before it), the place is the start of
// the text's line.
func (t Text) Pos(offset int) diag.Pos {
	if t.doc == nil || offset <= 0 && t.style&(yaml.LiteralStyle|yaml.FoldedStyle|yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) == 0 {
		return t.At
	}
	value := []rune(t.S)
	if offset > len(value) {
		offset = len(value)
	}
	if t.style&yaml.LiteralStyle != 0 {
		return t.literalPos(value, offset)
	}
	line := []rune(t.doc.file.line(t.At.Line))
	at := t.At.Col - 1
	if at < 0 || at >= len(line) {
		return t.At
	}
	quote := rune(0)
	if t.style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0 {
		quote = line[at]
		at++
	}
	for i := range offset {
		if at >= len(line) || line[at] != value[i] || quote == '"' && line[at] == '\\' {
			return t.At
		}
		if quote == '\'' && line[at] == '\'' {
			at++ // a quote within single quotes is written twice
		}
		at++
	}
	return diag.Pos{File: t.At.File, Line: t.At.Line, Col: at + 1}
}

// literalPos gives the place in a block that begins with `|`, whose lines stand
// below the mark, all indented alike.
func (t Text) literalPos(value []rune, offset int) diag.Pos {
	before := string(value[:offset])
	n := strings.Count(before, "\n")
	in := len([]rune(before[strings.LastIndexByte(before, '\n')+1:]))
	want, _, _ := strings.Cut(string(value[offset-in:]), "\n")
	line := t.At.Line + 1 + n
	raw := t.doc.file.line(line)
	indent := strings.Index(raw, want)
	if indent < 0 || strings.TrimLeft(raw[:indent], " ") != "" {
		return t.At
	}
	return diag.Pos{File: t.At.File, Line: line, Col: len(raw[:indent]) + in + 1}
}
