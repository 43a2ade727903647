// Package words is the one catalogue of what the pages say in fixed words: headings,
// labels, sentences that no record and no template holds, by key and in one language.
// The first part of a key is the room that prints it: compose.cover.prove.
//
// Entry points: Load, which reads and checks a catalogue, and Catalogue.For, which
// gives a room its words. It belongs here if it is about which fixed words there are
// and how one is asked for. It is not for the texts of templates and terms
// (procedure), for what a record says (record), nor for the headings that a list may
// have (joblist).
package words

import (
	"iter"
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
)

// Catalogue is the fixed words of the pages in one language. It is not changed once it
// is loaded. The zero Catalogue has no words; no page is printed with it.
type Catalogue struct {
	Language string
	Own      []File // the site's own words, of which a packet is made as well

	texts map[string]string
}

// File is the bytes of a site's own words.
type File struct {
	Path string // as problems name it
	Line int    // of the file, where they begin
	Raw  []byte
}

// Empty reports whether there are no words at all.
func (c Catalogue) Empty() bool { return len(c.texts) == 0 }

// Get gives a word by its key, with its placeholders as they stand; "" where the
// catalogue lacks it. For reports that as a fault.
func (c Catalogue) Get(key string) string { return c.texts[key] }

// All visits each key with its word, in order of the keys.
func (c Catalogue) All() iter.Seq2[string, string] {
	return func(yield func(key, text string) bool) {
		for _, key := range slices.Sorted(maps.Keys(c.texts)) {
			if !yield(key, c.texts[key]) {
				return
			}
		}
	}
}

// Replace gives a catalogue with other words for some keys: pairs are key, text, key,
// text.
func (c Catalogue) Replace(pairs ...string) Catalogue {
	texts := maps.Clone(c.texts)
	if texts == nil {
		texts = map[string]string{}
	}
	for i := 0; i+1 < len(pairs); i += 2 {
		texts[pairs[i]] = pairs[i+1]
	}
	c.texts = texts
	return c
}

// Map gives a catalogue with each word as put says it.
func (c Catalogue) Map(put func(text string) string) Catalogue {
	texts := make(map[string]string, len(c.texts))
	for key, text := range c.texts {
		texts[key] = put(text)
	}
	c.texts = texts
	return c
}

// For gives a room its words. What it asks for in vain is added to the problems, each
// fault once; the page then lacks the word and must not be printed.
func (c Catalogue) For(room string, problems *diag.List) *Room {
	return &Room{catalogue: c, room: room, problems: problems}
}

// Room is the words of one room. It serves one goroutine.
type Room struct {
	catalogue Catalogue
	room      string
	problems  *diag.List
	faulty    map[string]bool // keys of which a fault was reported
}

// nextHole finds the first placeholder of a text, such as {n}, a part that the program
// fills in; it gives its name, and what stands before and behind it.
func nextHole(text string) (before, name, after string, found bool) {
	for from := 0; ; {
		open := strings.IndexByte(text[from:], '{')
		if open < 0 {
			return text, "", "", false
		}
		open += from
		end := open + 1
		for end < len(text) && inName(text[end]) {
			end++
		}
		if end > open+1 && end < len(text) && text[end] == '}' {
			return text[:open], text[open+1 : end], text[end+1:], true
		}
		from = open + 1
	}
}

func inName(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_'
}

// holes gives the placeholders of a text, in their order.
func holes(text string) []string {
	var list []string
	for {
		_, name, after, found := nextHole(text)
		if !found {
			return list
		}
		list, text = append(list, "{"+name+"}"), after
	}
}

// Say gives a word by its key within the room. Where pairs are given, which are name,
// text, name, text, they fill its placeholders, such as {n}: all that it has, and no
// other.
func (r *Room) Say(key string, pairs ...string) string {
	key = r.room + "." + key
	text := r.catalogue.Get(key)
	if text == "" {
		r.fault(key, "missing-word", "add "+key+": its text in this language", "the words of the pages lack %s in language %q", key, r.catalogue.Language)
		return ""
	}
	if len(pairs) == 0 {
		return text
	}
	var said strings.Builder
	filled := make([]bool, len(pairs)/2)
	for rest := text; ; {
		before, name, after, found := nextHole(rest)
		said.WriteString(before)
		if !found {
			break
		}
		put, known := "{"+name+"}", false
		for i := range filled {
			if name == pairs[2*i] {
				put, known, filled[i] = pairs[2*i+1], true, true
				break
			}
		}
		if !known {
			r.fault(key, "word-placeholder", "delete "+put, "nothing is known to print for %s in the words %s: %q", put, key, text)
		}
		said.WriteString(put)
		rest = after
	}
	for i := range filled {
		if hole := "{" + pairs[2*i] + "}"; !filled[i] {
			r.fault(key, "word-placeholder", "write "+hole+" where it belongs in the text", "the words %s lack %s: found %q", key, hole, text)
		}
	}
	return said.String()
}

func (r *Room) fault(key, rule, hint, format string, args ...any) {
	if r.faulty[key] {
		return
	}
	if r.faulty == nil {
		r.faulty = map[string]bool{}
	}
	r.faulty[key] = true
	r.problems.Errorf(diag.Pos{File: fileOf(r.catalogue.Language)}, rule, hint, format, args...)
}
