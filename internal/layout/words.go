package layout

import (
	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
	"jobsheaf/internal/words"
)

// fixedWords gives the fixed words of the pages. One that the catalogue lacks, or that
// has another placeholder than is filled in, is an error once a packet; the page is
// then not printed.
type fixedWords struct {
	*words.Room
	catalogue words.Catalogue
	problems  *diag.List
	unset     map[string]bool // keys of words that no typeface can print, once they are reported
	panel     float64         // width of the field of signal words; 0 before it is asked for
}

func wordsOf(p *packet.Packet, problems *diag.List) *fixedWords {
	return &fixedWords{Room: p.Words.For("layout", problems), catalogue: p.Words, problems: problems, unset: map[string]bool{}}
}

// say gives a word with its placeholders filled in: pairs are name, text, name, text.
func (w *fixedWords) say(key string, pairs ...string) string {
	text := w.catalogue.Get("layout." + key)
	if bad := typeface.Missing(page.Regular, text); bad != nil && !w.unset[key] {
		w.unset[key] = true
		w.problems.Errorf(diag.Pos{File: "words/" + w.catalogue.Language + ".yaml"}, "missing-glyph", "use other characters", "no typeface of the pages has %q, in the words layout.%s: %q", string(bad), key, text)
	}
	return w.Say(key, pairs...)
}
