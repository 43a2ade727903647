package source

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"jobsheaf/internal/diag"

	"gopkg.in/yaml.v3"
)

// vet reports everything about a tree that holds for every document, whatever
// its keys mean, and marks the nodes that are no longer to be looked at.
func (d *Doc) vet(n *yaml.Node, depth int) {
	at := d.pos(n)
	fail := func(rule, hint, format string, args ...any) {
		d.bad[n] = true
		d.Errorf(at, rule, hint, format, args...)
	}
	switch {
	case n.Kind == yaml.AliasNode:
		fail("alias", "write the value out", "found the alias *%s: aliases are not allowed here", n.Value)
		return
	case n.Anchor != "":
		fail("alias", "delete the anchor", "found the anchor &%s: anchors are not allowed here", n.Anchor)
		return
	case n.Style&yaml.TaggedStyle != 0:
		fail("tag", "delete the tag", "found the tag %s: tags are not allowed here", n.Tag)
		return
	case depth >= maxDepth && n.Kind != yaml.ScalarNode:
		fail("depth", "records are never nested so deeply", "found mappings and lists nested more than %d deep", maxDepth)
		return
	}
	switch n.Kind {
	case yaml.ScalarNode:
		d.vetText(n)
	case yaml.SequenceNode:
		for _, c := range n.Content {
			d.vet(c, depth+1)
		}
	case yaml.MappingNode:
		if len(n.Content) > 2*maxKeys {
			fail("size", "split it into several records", "the mapping has more than %d keys", maxKeys)
			return
		}
		d.vetKeys(n, depth == 0)
		for i := 0; i+1 < len(n.Content); i += 2 {
			d.vet(n.Content[i+1], depth+1)
		}
	}
}

// vetKeys checks that the keys of a mapping are texts, and none appears twice. top says
// that the mapping is a whole record.
func (d *Doc) vetKeys(n *yaml.Node, top bool) {
	joined := false
	seen := make(map[string]*yaml.Node, len(n.Content)/2)
	for i := 0; i+1 < len(n.Content); i += 2 {
		k := n.Content[i]
		at := d.pos(k)
		switch {
		case k.Kind != yaml.ScalarNode || k.Anchor != "" || k.Style&yaml.TaggedStyle != 0:
			d.bad[k] = true
			d.Errorf(at, "key", "write a plain word, such as name: ...", "a key is a plain word")
			continue
		case k.Value == "<<" && k.Style == 0:
			d.bad[k] = true
			d.Errorf(at, "alias", "write the values out", "found the merge key <<: merging is not allowed here")
			continue
		case k.Value == "":
			d.bad[k] = true
			d.Errorf(at, "key", "write a plain word, such as name: ...", "a key is empty")
			continue
		}
		if d.vetText(k); d.bad[k] {
			continue
		}
		if first, twice := seen[k.Value]; twice {
			d.bad[k] = true
			p := diag.Problem{Pos: at, Severity: diag.Error, Rule: "duplicate-key", Hint: "keep one of the two",
				Message: "the key " + k.Value + " appears twice", Related: []diag.Pos{d.pos(first)}}
			if top && first == n.Content[0] {
				// A second record begins: what else it repeats has the same cause.
				joined = true
				p.Message += ": a line --- seems to be missing before it"
				p.Hint = "write --- on a line of its own between two records"
			} else if joined {
				continue
			}
			d.add(p)
			continue
		}
		seen[k.Value] = k
	}
}

// vetText checks a scalar: that it is there, not too long, and printable.
func (d *Doc) vetText(n *yaml.Node) {
	fail := func(rule, hint, format string, args ...any) {
		d.bad[n] = true
		d.Errorf(d.pos(n), rule, hint, format, args...)
	}
	if n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) == 0 && n.Tag == "!!null" {
		fail("empty", "write a value, or leave the key out: what is left out prints as NOT ON RECORD", "found nothing where a value is wanted")
		return
	}
	if strings.TrimSpace(n.Value) == "" {
		fail("empty", "write a value, or leave the key out", "found an empty text where a value is wanted")
		return
	}
	if c := utf8.RuneCountInString(n.Value); c > maxText {
		fail("size", "shorten it, or split it into several entries", "the text has %d characters, more than %d", c, maxText)
		return
	}
	t := d.text(n)
	offset := 0
	for _, r := range n.Value {
		if r != '\n' && !unicode.IsPrint(r) && r != '\u00a0' {
			d.bad[n] = true
			d.Errorf(t.Pos(offset), "character", "delete it; in double quotes write \\\\ for a backslash", "found the character U+%04X, which prints nothing", r)
			return
		}
		offset++
	}
	if d.opt.Missing == nil {
		return
	}
	for _, r := range d.opt.Missing(strings.ReplaceAll(n.Value, "\n", "")) {
		d.bad[n] = true
		at := strings.IndexRune(n.Value, r)
		d.Errorf(t.Pos(utf8.RuneCountInString(n.Value[:max(at, 0)])), "glyph", "use other characters", "the page's typeface has no %q (U+%04X)", r, r)
	}
}

// pos gives the place of a node in its file.
func (d *Doc) pos(n *yaml.Node) diag.Pos {
	p := diag.Pos{File: d.file.name, Line: n.Line + d.base, Col: n.Column}
	if p.Line > d.Span.Last { // a value that is missing at the very end
		p.Line, p.Col = d.Span.Last, utf8.RuneCountInString(d.file.line(d.Span.Last))+1
	}
	return p
}

// text gives a scalar node as a Text.
func (d *Doc) text(n *yaml.Node) Text { return Text{S: n.Value, At: d.pos(n), doc: d, style: n.Style} }
