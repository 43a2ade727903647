package source

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"jobsheaf/internal/diag"

	"gopkg.in/yaml.v3"
)

// Value is a text, a list or a mapping, with its place.
type Value struct {
	doc      *Doc
	node     *yaml.Node
	from, to diag.Pos
	layer    int
	base     *Value // a mapping beneath this one, see Map.Over
}

// At gives the place of the value.
func (v Value) At() diag.Pos { return v.doc.pos(v.node) }

// Extent gives where the value begins (with its key, if it has one) and the place
// just after its end, where what follows begins.
func (v Value) Extent() (from, to diag.Pos) { return v.from, v.to }

// Layer is 0 for a value that is in the mapping asked, 1 where it was taken
// from the mapping beneath (see Map.Over).
func (v Value) Layer() int { return v.layer }

// IsMap reports whether the value is a mapping.
func (v Value) IsMap() bool { return v.node.Kind == yaml.MappingNode }

// IsList reports whether the value is a list.
func (v Value) IsList() bool { return v.node.Kind == yaml.SequenceNode }

// shape names what the value is, for messages.
func (v Value) shape() string {
	switch v.node.Kind {
	case yaml.MappingNode:
		return "a mapping"
	case yaml.SequenceNode:
		return "a list"
	}
	return "the text " + Quote(v.node.Value)
}

// Quote cuts a text for a message and puts it in quotes.
func Quote(s string) string {
	if r := []rune(s); len(r) > 40 {
		s = string(r[:39]) + "…"
	}
	return fmt.Sprintf("%q", s)
}

func (v Value) bad() bool { return v.node == nil || v.doc.bad[v.node] }

// Text gives the value as a text; anything else is a problem and gives the zero
// Text.
func (v Value) Text() Text {
	if v.bad() {
		return Text{}
	}
	if v.node.Kind != yaml.ScalarNode {
		v.doc.Errorf(v.At(), "shape", "write one value here", "found %s where one value is wanted", v.shape())
		return Text{}
	}
	return v.doc.text(v.node)
}

// Map gives the value as a mapping. Anything else is a problem and gives nil,
// which reads as a mapping with nothing in it.
func (v Value) Map() *Map {
	if v.bad() {
		return nil
	}
	if v.node.Kind != yaml.MappingNode {
		v.doc.Errorf(v.At(), "shape", "write {key: value, ...}, or key: value lines indented below", "found %s where a mapping is wanted", v.shape())
		return nil
	}
	m := &Map{doc: v.doc, at: v.At(), from: v.from, index: make(map[string]int, len(v.node.Content)/2)}
	if v.base != nil {
		m.base = v.base.Map()
	}
	c := v.node.Content
	for i := 0; i+1 < len(c); i += 2 {
		if v.doc.bad[c[i]] {
			continue
		}
		to := v.to
		if i+2 < len(c) {
			to = v.doc.pos(c[i+2])
		}
		m.index[c[i].Value] = len(m.entries)
		m.entries = append(m.entries, entry{Entry{v.doc.text(c[i]), Value{doc: v.doc, node: c[i+1], from: v.doc.pos(c[i]), to: to, layer: v.layer}}, false})
	}
	return m
}

// list gives the values of a list. Anything else is a problem and gives nil.
func (v Value) list() []Value {
	if v.bad() {
		return nil
	}
	if v.node.Kind != yaml.SequenceNode {
		v.doc.Errorf(v.At(), "shape", "write [a, b], or lines that begin with -", "found %s where a list is wanted", v.shape())
		return nil
	}
	out := make([]Value, 0, len(v.node.Content))
	for i, c := range v.node.Content {
		to := v.to
		if i+1 < len(v.node.Content) {
			to = v.doc.pos(v.node.Content[i+1])
		}
		out = append(out, Value{doc: v.doc, node: c, from: v.doc.pos(c), to: to, layer: v.layer})
	}
	return out
}

// Map is a cursor over a mapping. Ask it for each key that may be there, then
// call Done, which reports the keys that were never asked for. Every getter gives
// a zero value where the key is absent, and reports what is wrong where it is
// there. A nil Map has no keys.
type Map struct {
	doc     *Doc
	at      diag.Pos // of the mapping
	from    diag.Pos // of its key, or its own where it has none
	entries []entry
	index   map[string]int // of the entries, by key
	base    *Map
	wanted  []string // every key asked for, for hints
}

type entry struct {
	Entry
	asked bool
}

// Entry is a key with its value.
type Entry struct {
	Key   Text
	Value Value
}

// At gives the place of the mapping.
func (m *Map) At() diag.Pos {
	if m == nil {
		return diag.Pos{}
	}
	return m.at
}

// Doc gives the document that the mapping is in; nil for a nil Map.
func (m *Map) Doc() *Doc {
	if m == nil {
		return nil
	}
	return m.doc
}

// Over lays m over another mapping: a key that m lacks is taken from base, and
// mappings within mappings likewise. Lists and texts are taken whole. Either may
// be nil.
func (m *Map) Over(base *Map) *Map {
	if m == nil {
		return base
	}
	over := *m
	over.entries = slices.Clone(m.entries)
	over.base = base
	return &over
}

// Entries gives all the keys with their values, those of a base first, and
// counts them as asked for.
func (m *Map) Entries() []Entry {
	if m == nil {
		return nil
	}
	out := make([]Entry, 0, len(m.entries))
	for _, e := range m.base.Entries() {
		if i, own := m.index[e.Key.S]; own {
			e.Key = m.entries[i].Key
		}
		e.Value, _ = m.find(e.Key.S)
		out = append(out, e)
	}
	for i := range m.entries {
		m.entries[i].asked = true
		if _, below := m.base.find(m.entries[i].Key.S); !below {
			out = append(out, m.entries[i].Entry)
		}
	}
	return out
}

// Rest gives the keys that were not asked for yet, and counts them as asked for.
func (m *Map) Rest() []Entry {
	if m == nil {
		return nil
	}
	asked := slices.Clone(m.wanted)
	return slices.DeleteFunc(m.Entries(), func(e Entry) bool { return slices.Contains(asked, e.Key.S) })
}

// Value gives the value of a key.
func (m *Map) Value(key string) (Value, bool) {
	m.want(key)
	return m.find(key)
}

// find looks for a key in both layers.
func (m *Map) find(key string) (Value, bool) {
	if m == nil {
		return Value{}, false
	}
	// Both layers count as asked, so that neither reports the key as unknown.
	low, below := m.base.find(key)
	low.layer = 1
	i, own := m.index[key]
	if !own {
		return low, below
	}
	m.entries[i].asked = true
	v := m.entries[i].Value
	if below && v.IsMap() && low.IsMap() {
		v.base = &low
	}
	return v, true
}

// want notes that a key is allowed here.
func (m *Map) want(key string) {
	if m != nil && !slices.Contains(m.wanted, key) {
		m.wanted = append(m.wanted, key)
	}
}

// Has reports whether a key is there.
func (m *Map) Has(key string) bool {
	_, ok := m.Value(key)
	return ok
}

// place gives the place of a key's value, or of the mapping where it is absent.
func (m *Map) place(key string) diag.Pos {
	if v, ok := m.Value(key); ok {
		return v.At()
	}
	return m.At()
}

// Errorf adds an error about a key: at its value, or at the mapping.
func (m *Map) Errorf(key, rule, hint, format string, args ...any) {
	if m != nil {
		m.doc.Errorf(m.place(key), rule, hint, format, args...)
	}
}

// Need reports each of the keys that is absent. A key is given with an example of
// its value: "paper: A4".
func (m *Map) Need(keys ...string) {
	if m == nil {
		return
	}
	for _, line := range keys {
		if k, _, _ := strings.Cut(line, ":"); !m.Has(k) {
			m.doc.Errorf(m.from, "missing-key", "such as "+line, "the key %s is missing", k)
		}
	}
}

// Text gives a text.
func (m *Map) Text(key string) Text {
	if v, ok := m.Value(key); ok {
		return v.Text()
	}
	return Text{}
}

// Name gives a text that is a name (see NameFault).
func (m *Map) Name(key string) Text {
	t := m.Text(key)
	if t.Known() {
		if fault := NameFault(t.S); fault != "" {
			t.Errorf(0, "name", NameHint, "%s is not a valid name: %s", Quote(t.S), fault)
			return Text{}
		}
	}
	return t
}

// Language gives a text that names a language.
func (m *Map) Language(key string) Text {
	t := m.Text(key)
	if t.Known() && !IsLanguage(t.S) {
		t.Errorf(0, "language", LanguageHint, "%s is not a valid language", Quote(t.S))
		return Text{}
	}
	return t
}

// OneOf gives a text that is one of some words.
func (m *Map) OneOf(key string, words ...string) Text {
	t := m.Text(key)
	if t.Known() && !slices.Contains(words, t.S) {
		t.Errorf(0, "one-of", diag.DidYouMean(t.S, words), "found %s where one of these is wanted: %s", Quote(t.S), strings.Join(words, ", "))
		return Text{}
	}
	return t
}

// YesNo gives true or false; ok is false where the key is absent or faulty. The
// other words of YAML 1.1 (yes, no, on, off) are refused, since a reader of
// YAML 1.2 takes them for texts.
func (m *Map) YesNo(key string) (yes, ok bool) {
	t := m.Text(key)
	if t.Known() && t.S != "true" && t.S != "false" {
		t.Errorf(0, "one-of", "write true or false", "found %s where true or false is wanted", Quote(t.S))
		return false, false
	}
	return t.S == "true", t.Known()
}

// Day gives a text that is a day of the calendar, YYYY-MM-DD.
func (m *Map) Day(key string) Text {
	t := m.Text(key)
	if t.Known() {
		if day, err := time.Parse(time.DateOnly, t.S); err != nil || day.Year() < 1900 || day.Year() > 2200 {
			t.Errorf(0, "day", "write it as 2026-11-30", "%s is not a date between 1900 and 2200", Quote(t.S))
			return Text{}
		}
	}
	return t
}

// Map gives a mapping, nil where the key is absent.
func (m *Map) Map(key string) *Map {
	if v, ok := m.Value(key); ok {
		return v.Map()
	}
	return nil
}

// List gives the values of a list, nil where the key is absent.
func (m *Map) List(key string) []Value {
	if v, ok := m.Value(key); ok {
		return v.list()
	}
	return nil
}

// Texts gives the texts of a list, nil where the key is absent.
func (m *Map) Texts(key string) []Text {
	var out []Text
	for _, v := range m.List(key) {
		if t := v.Text(); t.Known() {
			out = append(out, t)
		}
	}
	return out
}

// Done reports the keys that were never asked for, each with the nearest of those
// that were.
func (m *Map) Done() {
	if m == nil {
		return
	}
	for _, e := range m.entries {
		if e.asked || m.doc.full() {
			continue
		}
		hint := "known here: " + strings.Join(m.wanted, ", ")
		if near := diag.DidYouMean(e.Key.S, m.wanted); near != "" {
			hint = near + " " + hint
		}
		m.doc.Errorf(e.Key.At, "unknown-key", hint, "the key %s is not known here", Quote(e.Key.S))
	}
	if m.base != nil {
		m.base.wanted = m.wanted
		m.base.Done()
	}
}
