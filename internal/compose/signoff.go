package compose

import (
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/words"
)

// notDoneRows is how many rows the sign-off has for steps that were not done and
// readings outside their limits.
const notDoneRows = 4

// signOffRoles are those who sign at the end, as keys of the catalogue of words, and
// roleInEnglish what each is called there, by which a site may name it in any language.
var (
	signOffRoles  = []string{"mechanic", "second", "operations", "planner"}
	roleInEnglish = map[string]string{"mechanic": "mechanic", "second": "second person", "operations": "operations", "planner": "planner"}
)

// Roles gives the roles of the sign-off as a site may name them under signs: as the pages
// have them in a language, and in English.
func Roles(c words.Catalogue) []string {
	var out []string
	for _, role := range signOffRoles {
		out = append(out, c.Get("compose.signoff.role."+role), roleInEnglish[role])
	}
	return out
}

// signOffSheet closes the packet on one page: what was not done and why, what failed,
// what was used, the hold points, and who signs.
func (r *run) signOffSheet(all []stage) packet.Sheet {
	s := packet.Sheet{ID: "signoff", Title: r.Word("signoff.title")}
	s.Blocks = append(s.Blocks, packet.Block{Table: r.notDone()}, r.room("cause", r.Word("signoff.cause"), 2, manifest.ForWords), r.room("parts", r.partsUsed(), 1, manifest.ForWords))
	if holds := r.holds(all); len(holds) > 0 {
		s.Blocks = append(s.Blocks, packet.Block{Keep: []packet.Block{heading(2, r.Word("signoff.holds")), {List: &packet.List{Tick: true, Items: holds}}}})
	}
	s.Blocks = append(s.Blocks, r.corrections(), packet.Block{Keep: r.signatures(signOffRoles...)})
	return s
}

// signOffInColumn is what of it a short job has behind its last step: it uses no parts,
// and who signed its hold points stands on the same pages.
func (r *run) signOffInColumn() []packet.Block {
	return append([]packet.Block{r.room("not_done", r.Word("signoff.not_done"), 2, manifest.ForMissed)}, r.signatures("mechanic", "operations")...)
}

// room is lined room to write.
func (r *run) room(what, title string, lines int, of manifest.For) packet.Block {
	return packet.Block{Notes: &packet.Notes{ID: r.places.id("signoff", slug(what)), Title: title, Lines: lines, Ask: &manifest.Ask{For: of}}}
}

// partsUsed asks for the parts that were used, by the numbers of the kits that the job
// sheet has.
func (r *run) partsUsed() string {
	var numbers []string
	for _, k := range r.need.Kits {
		if k.Number != "" {
			numbers = append(numbers, k.Number)
		}
	}
	if len(numbers) == 0 {
		return r.Word("signoff.parts")
	}
	return r.WordWith("signoff.parts_of", "kits", strings.Join(numbers, ", "))
}

// notDone is the table of what was not done, and of readings outside their limits.
func (r *run) notDone() *packet.Table {
	t := &packet.Table{ID: "not_done", Columns: []packet.Column{{Title: r.Word("not_done.step")}, {Title: r.Word("not_done.why"), Weight: 1}, {Title: r.Word("not_done.by")}}}
	for i := range notDoneRows {
		n := fmt.Sprint(i + 1)
		id := func(place string) string { return r.places.id("signoff", "not-done", n, place) }
		ask := &manifest.Ask{For: manifest.ForNotDone, Of: n}
		t.Rows = append(t.Rows, packet.Row{Cells: []packet.Cell{
			{Blanks: []packet.Blank{{ID: id("step"), Kind: packet.Words, Characters: 5, Ask: ask}}},
			{Blanks: []packet.Blank{{ID: id("why"), Kind: packet.Words, Ask: ask}}},
			{Blanks: []packet.Blank{{ID: id("by"), Kind: packet.Initial, Ask: ask}}},
		}})
	}
	return t
}

func (r *run) corrections() packet.Block {
	return packet.Block{Para: &packet.Para{Text: packet.Say(r.Word("signoff.corrections"))}}
}

// signatures is who signs for what at the end, with who on this site may.
func (r *run) signatures(roles ...string) []packet.Block {
	var rows []packet.SignRow
	for _, role := range roles {
		who := r.Word("signoff.role." + role)
		says := packet.Say(r.Word("signoff.for." + role))
		if may := r.maySign(who, roleInEnglish[role]); may != "" {
			says = append(packet.Phrase{{Text: may + "\n"}}, says...)
		}
		rows = append(rows, packet.SignRow{Role: who, For: says, Blanks: r.signBlanks("signoff."+role, manifest.ForSign, who)})
	}
	return []packet.Block{heading(2, r.Word("signoff.signatures")), {Sign: &packet.SignOff{Rows: rows}}}
}

// maySign is who on this site may sign in a role, by the first of its names that the
// site has; "" where it does not say.
func (r *run) maySign(names ...string) string {
	for _, name := range names {
		if may := r.Book.Site.Signs[strings.ToLower(name)].S; may != "" {
			return may
		}
	}
	return ""
}

// holds lists the hold points of all stages, to be ticked off by who closes the packet,
// with who may sign in a role that has no row among the signatures.
func (r *run) holds(all []stage) []packet.ListItem {
	var out []packet.ListItem
	var below []string
	for _, role := range signOffRoles {
		below = append(below, strings.ToLower(r.Word("signoff.role."+role)))
	}
	for i := range all {
		for j := range all[i].steps {
			s := &all[i].steps[j]
			if s.Hold == nil {
				continue
			}
			text := packet.Say(r.WordWith("signoff.hold_at", "n", s.Number, "role", s.Hold.Role))
			if may := r.maySign(s.Hold.Role); may != "" && !slices.Contains(below, strings.ToLower(s.Hold.Role)) {
				text = append(text, packet.Span{Text: ", " + may})
			}
			out = append(out, packet.ListItem{ID: r.places.id("signoff", "hold", s.Number), Text: text, Ask: &manifest.Ask{For: manifest.ForHeld, Step: s.Number, Of: s.Hold.Role}})
		}
	}
	if len(out) > 0 {
		zero := packet.Say(r.WordWith("signoff.hold_zero", "n", locksPage))
		out = slices.Insert(out, 0, packet.ListItem{ID: r.places.id("signoff", "hold", "zero"), Text: zero, Ask: &manifest.Ask{For: manifest.ForHeld}})
	}
	return out
}

// locksPage is the page of the locks, the back of the cover, on which zero energy is
// signed for.
const locksPage = "2"
