package source

import (
	"jobsheaf/internal/diag"

	"gopkg.in/yaml.v3"
)

// Row gives texts from outside YAML, such as a row of a spreadsheet, as a mapping,
// so that they are read by the same rules. The document
// collects what is wrong with them; its places are those of the texts. It has no
// text of its own.
func Row(at diag.Pos, keys []string, texts []Text) (*Map, *Doc) {
	d := &Doc{Span: Span{File: at.File, First: 1, Last: at.Line}, At: at, file: newFile(at.File, ""), bad: map[*yaml.Node]bool{}}
	root := &yaml.Node{Kind: yaml.MappingNode, Line: at.Line, Column: at.Col}
	for i, k := range keys {
		t := texts[i]
		root.Content = append(root.Content,
			&yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: k, Line: t.At.Line, Column: t.At.Col},
			&yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: t.S, Line: t.At.Line, Column: t.At.Col})
	}
	d.vet(root, 0)
	next := diag.Pos{File: at.File, Line: at.Line + 1, Col: 1}
	// The document does not keep the mapping: a list has many rows.
	return Value{doc: d, node: root, from: at, to: next}.Map(), d
}
