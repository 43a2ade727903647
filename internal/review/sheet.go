package review

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/layout"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/register"
	"jobsheaf/internal/typeface"
	"jobsheaf/internal/words"
)

// Look is what the pages of a review take from the site.
type Look struct {
	Site, Paper, Language, Program string
	Words                          words.Catalogue // of the pages' language
}

// LayOut makes the pages of a review, to file with the packet. They have the look of an
// annex: nobody writes on them, and no code on them is taken for one of the packet's. Behind
// them stand the pictures of the boxes of which something was found, as far as they are kept.
// The same register and pictures give the same pages.
func (p *Packet) LayOut(look Look, found []Finding, pictures Pictures) (page.Doc, diag.List) {
	var problems diag.List
	room := look.Words.For("review", &problems)
	s := packet.Sheet{ID: "review", Title: printable(room.Say("title", "job", p.Job.ID))}
	s.Blocks = append(s.Blocks, packet.Block{Facts: p.facts(room.Say)})
	said := Say(spoken(found, look.Words.Get("compose.decimal_sign")), room.Say)
	t := &packet.Table{ID: "review.found", Columns: []packet.Column{{Title: room.Say("col.where"), Weight: 3}, {Title: room.Say("col.what"), Weight: 3}, {Title: room.Say("col.let"), Weight: 3}}}
	last := Gravity(0)
	for _, line := range said {
		if g := line.Findings[0].Gravity; g != last {
			last = g
			t.Rows = append(t.Rows, packet.Row{Group: room.Say("gravity." + g.String())})
		}
		t.Rows = append(t.Rows, packet.Row{Cells: []packet.Cell{cell(line.Where), cell(line.What), cell(line.let(room.Say))}})
	}
	if len(said) > 0 {
		s.Blocks = append(s.Blocks, packet.Block{Table: t})
	} else {
		s.Blocks = append(s.Blocks, packet.Block{Para: &packet.Para{Text: packet.Say(room.Say("none"))}})
	}
	id := p.id(look, said)
	pk := packet.Packet{
		Job:  packet.Job{ID: p.Job.ID, Unit: p.Job.Unit, Title: s.Title, Day: p.Job.Day},
		Site: look.Site, Paper: look.Paper, Language: look.Language, Decimal: look.Words.Get("compose.decimal_sign"), Program: look.Program,
		Fingerprint: strings.ToUpper(id[:8]), Words: look.Words.Replace("layout.annex.page", look.Words.Get("review.sheet")),
		Annex: []packet.Sheet{s},
	}
	doc, more := layout.Annex(pk)
	if doc.ID = id; len(doc.Pages) > 0 {
		title := printable(room.Say("pictures", "job", p.Job.ID))
		behind := picturePages(doc.Pages[0].W, doc.Pages[0].H, title, p.crops(spoken(found, look.Words.Get("compose.decimal_sign")), room.Say, pictures))
		if len(behind) > 0 {
			doc.Outline = append(doc.Outline, page.Mark{Title: title, Page: len(doc.Pages)})
			doc.Pages = append(doc.Pages, behind...)
		}
	}
	return doc, append(problems, more...)
}

// facts say of which packet and print the review is, and what was decided of it.
func (p *Packet) facts(words Words) *packet.Facts {
	f := &packet.Facts{Columns: 2}
	add := func(key, value string) {
		f.Rows = append(f.Rows, packet.Fact{Label: words("fact." + key), Value: packet.Say(printable(value))})
	}
	add("procedure", p.Job.Procedure)
	add("day", p.Job.Day)
	add("state", words("state."+string(p.State())))
	add("back", words("of", "n", number(p.Came()), "of", number(len(p.Manifest.Pages))))
	add("print", words("of", "n", number(p.Print.N), "of", number(len(p.Prints)))+", "+p.Print.Fingerprint+", "+day(p.Print.At)+", "+p.Print.Who)
	for _, d := range p.decisions {
		state := map[register.DecisionKind]State{register.Close: Closed, register.MakeVoid: Void}[d.Kind]
		switch {
		case state == "" || !d.Holds:
		case d.Why == "":
			add("decided", words("decided_whyless", "state", words("state."+string(state)), "who", d.Who, "at", day(d.At)))
		default:
			add("decided", words("decided", "state", words("state."+string(state)), "who", d.Who, "at", day(d.At), "why", d.Why))
		}
	}
	return f
}

// let says who let a finding through.
func (s *Said) let(words Words) string {
	if l := s.Findings[0].Let; l != nil {
		return l.Say(words)
	}
	return ""
}

// id is the SHA-256 of all that a review says.
func (p *Packet) id(look Look, said []Said) string {
	look.Words = words.Catalogue{}
	raw, err := json.Marshal([]any{p.Job, p.Print, p.decisions, look, said})
	if err != nil { // plain data: a limit that is no number
		raw = []byte(err.Error())
	}
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:])
}

// spoken gives findings with the decimal sign of the pages in their readings.
func spoken(found []Finding, sign string) []Finding {
	out := slices.Clone(found)
	for i := range out {
		out[i].what.pairs = slices.Clone(out[i].what.pairs)
		for k, p := range out[i].what.pairs {
			if p.name == "is" {
				out[i].what.pairs[k] = with("is", strings.Replace(p.list[0].text, ".", sign, 1))
			}
		}
	}
	return out
}

func cell(text string) packet.Cell { return packet.Cell{Text: packet.Say(printable(text))} }

// printable writes characters that no typeface of the pages has by their numbers: people
// type what they like.
func printable(text string) string {
	missing := typeface.Missing(page.Regular, text)
	if len(missing) == 0 {
		return text
	}
	var b strings.Builder
	for _, c := range text {
		if slices.Contains(missing, c) {
			fmt.Fprintf(&b, "U+%04X", c)
		} else {
			b.WriteRune(c)
		}
	}
	return b.String()
}
