package compose

import (
	"cmp"
	"maps"
	"path"
	"slices"
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
)

// annex writes the sheets for whoever checks the packet, and gives its working in the
// order of the sheets and steps that are carried; behind them come the numbers that
// stand in the annex alone.
func (r *run) annex(carried []packet.Sheet) ([]packet.Sheet, []packet.Entry) {
	trends := r.forecasts()
	aside := slices.Concat(index(trends), r.aside)
	w := r.workings(append(r.parts(carried),
		packet.Sheet{ID: "working", Title: r.Word("annex.elsewhere"), Index: r.Word("index.elsewhere"), Blocks: index(r.further)},
		packet.Sheet{ID: "aside", Blocks: aside}))
	for i := range trends {
		trends[i].Text = w.keyed(trends[i].Text)
	}
	var sheets []packet.Sheet
	add := func(id string, blocks []packet.Block) {
		if len(blocks) > 0 {
			s := packet.Sheet{ID: id, Title: r.Word("annex." + id), Columns: 2, Blocks: blocks}
			if id != "working" { // whose parts are named
				s.Index = r.Word("index." + id)
			}
			sheets = append(sheets, s)
		}
	}
	add("left_out", r.leftOutBlocks()) // at the head of a page, which it seldom fills
	add("working", w.blocks)
	add("aside", aside)
	add("sources", w.refs.blocks())
	return sheets, w.entries
}

// parts gives the sheets as the working goes through them: of the card, which has the most
// numbers, each table by itself.
func (r *run) parts(sheets []packet.Sheet) []packet.Sheet {
	var out []packet.Sheet
	for _, s := range sheets {
		if s.ID != "card" {
			out = append(out, s)
			continue
		}
		add := func(title, index string, b packet.Block) {
			out = append(out, packet.Sheet{ID: s.ID, Title: title, Index: index, Blocks: []packet.Block{b}})
		}
		for _, b := range s.Blocks {
			if b.Table == nil {
				add(s.Title, s.Index, b)
				continue
			}
			t := *b.Table
			title, index := t.Columns[0].Title, r.Word("index."+t.ID)
			for from, to := 0, 1; to <= len(t.Rows); to++ {
				if to < len(t.Rows) && t.Rows[to].Index == "" {
					continue
				}
				part := t
				if part.Rows = t.Rows[from:to]; to < len(t.Rows) {
					part.Note = nil
				}
				add(title, index, packet.Block{Table: &part})
				if from = to; to < len(t.Rows) {
					title, index = t.Rows[to].Index, t.Rows[to].Index
				}
			}
		}
	}
	return out
}

// index gives small lines for looking up at a desk; none where there are none.
func index(rows []packet.Looked) []packet.Block {
	if len(rows) == 0 {
		return nil
	}
	return []packet.Block{{Index: &packet.Index{Rows: rows}}}
}

// leftOutBlocks say what does not apply to the unit: behind each condition that is not
// so, what hangs on it.
func (r *run) leftOutBlocks() []packet.Block {
	var rows []packet.Looked
	at := map[string]int{}
	for _, o := range r.leftOut {
		i, there := at[o.when]
		if !there {
			i = len(rows)
			at[o.when] = i
			rows = append(rows, packet.Looked{Text: packet.Phrase{{Text: o.when, Style: packet.Strong}, {Text: " (" + o.since + ")"}}})
		}
		lead := " · "
		if !there {
			lead = ": "
		}
		rows[i].Text = append(rows[i].Text, packet.Span{Text: lead + packet.Beginning(o.what.String(), mostOmitted)})
	}
	return index(rows)
}

// since says by which values a condition is not so.
func (r *run) since(when *formula.Expr) string {
	values := r.Because(when)
	out := make([]string, len(values))
	for i, v := range values {
		switch name, value := v[0], cmp.Or(v[1], r.Word("annex.without")); {
		case len(values) > 1:
			out[i] = name + " = " + value
		case v[1] == "":
			out[i] = value
		default:
			out[i] = r.WordWith("annex.it_is", "value", value)
		}
	}
	return strings.Join(out, "; ")
}

// mostOmitted is how many characters tell what is left out from other things.
const mostOmitted = 96

// references are the sources and files that the working refers to. A source stands in
// the annex once, under a number of its own.
type references struct {
	r       *run
	files   map[string]string // short names
	sources []string
	numbers map[string]int // of the sources, from 1
}

// blocks lists the sources by number and the files by folder.
func (k *references) blocks() []packet.Block {
	rows := make([]packet.Looked, len(k.sources))
	for i, s := range k.sources {
		rows[i] = packet.Looked{Head: sourceKey(i + 1), Text: packet.Say(s)}
	}
	out := index(rows)
	rows = nil
	in := ""
	for _, full := range slices.Sorted(maps.Keys(k.files)) {
		dir, base := path.Split(full)
		if len(rows) > 0 && dir == in {
			last := &rows[len(rows)-1].Text
			*last = append(*last, packet.Span{Text: ", " + base})
			continue
		}
		in = dir
		rows = append(rows, packet.Looked{Text: packet.Phrase{{Text: cmp.Or(dir, "/"), Style: packet.Strong}, {Text: " " + base}}})
	}
	return append(out, index(rows)...)
}
