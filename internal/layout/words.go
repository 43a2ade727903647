package layout

import (
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

// words gives the fixed words of the pages. A word that the catalogue lacks, or
// that lacks one of its placeholders, is an error once a packet; the page then
// shows nothing in its place and is not printed.
type words struct {
	packet   *packet.Packet
	problems *diag.List
	told     map[string]bool
	panel    float64 // width of the field of signal words; 0 before it is asked for
}

// say gives the word of a key with its placeholders, such as "n" for {n},
// filled in. Pairs are name, text, name, text.
func (w *words) say(key string, pairs ...string) string {
	key = "layout." + key
	text, ok := w.packet.Words[key]
	if !ok || text == "" {
		w.fault(key, "missing-word", "add "+key+": its text in this language",
			"the words of the pages lack %s in language %q", key, w.packet.Language)
		return ""
	}
	if bad := typeface.Missing(page.Regular, text); bad != nil {
		w.fault(key, "missing-glyph", "use other characters", "no typeface of the pages has %q, in the words %s: %q", string(bad), key, text)
	}
	for i := 0; i+1 < len(pairs); i += 2 {
		hole := "{" + pairs[i] + "}"
		if !strings.Contains(text, hole) {
			w.fault(key, "word-placeholder", "write "+hole+" where it belongs in the text",
				"the words %s lack %s: found %q", key, hole, text)
			continue
		}
		text = strings.ReplaceAll(text, hole, pairs[i+1])
	}
	return text
}

func (w *words) fault(key, rule, hint, format string, args ...any) {
	if w.told[key+rule] {
		return
	}
	if w.told == nil {
		w.told = map[string]bool{}
	}
	w.told[key+rule] = true
	w.problems.Errorf(diag.Pos{File: "templates/words/" + w.packet.Language + ".yaml"}, rule, hint, format, args...)
}
