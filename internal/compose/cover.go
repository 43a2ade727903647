package compose

import (
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/compute"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/record"
)

// cover is the sheet that comes first: what can hurt, and how the unit is made
// safe.
func (r *run) cover() packet.Sheet {
	s := packet.Sheet{ID: "cover", Title: r.Word("cover.title")}
	add := func(b ...packet.Block) { s.Blocks = append(s.Blocks, b...) }
	add(packet.Block{Hazard: r.hazard()})
	for _, a := range r.Procedure.Cover.Hazards {
		if yes, only := r.Applies(a.When); !yes || only != nil && !r.Blank {
			continue // what cannot be told is said in one line for all
		}
		if alert, ok := r.alert(a); ok {
			alert.Large = true
			add(packet.Block{Alert: &alert})
		}
	}
	if l := r.Unit.Liquid; l != nil && len(l.Say) > 0 {
		add(packet.Block{Alert: r.warned(l.Say)})
	}
	add(heading(2, r.Word("cover.wear")))
	add(packet.Block{List: &packet.List{Tick: true, Items: r.wearItems()}})
	if l := r.Unit.Liquid; l != nil {
		for _, part := range []struct {
			key  string
			list []record.Text
		}{{"cover.first_aid", l.FirstAid}, {"cover.spill", l.Spill}} {
			items := sayings(part.list)
			if call := r.emergency(); call != nil && part.key == "cover.first_aid" {
				items = append([]packet.ListItem{{Text: call}}, items...)
			}
			if len(items) > 0 {
				add(packet.Block{Keep: []packet.Block{heading(2, r.Word(part.key)), {List: &packet.List{Items: items}}}})
			}
		}
	}
	if items := r.items(r.Procedure.Cover.Stop, ""); len(items) > 0 {
		add(packet.Block{Keep: []packet.Block{heading(2, r.Word("cover.stop")), {List: &packet.List{Items: items}}}})
	}
	add(heading(1, r.Word("cover.isolate")))
	add(packet.Block{Para: &packet.Para{Text: r.governs()}})
	add(packet.Block{Table: r.isolation()}, packet.Block{Table: r.locks()})
	if items := r.items(r.Procedure.Cover.Prove, "prove"); len(items) > 0 {
		add(packet.Block{Keep: []packet.Block{heading(2, r.Word("cover.prove")), {List: &packet.List{Tick: true, Items: items}}}})
	}
	rows := []packet.SignRow{}
	for _, role := range []string{"locked", "proved"} {
		rows = append(rows, packet.SignRow{Role: r.Word("cover.role." + role), For: packet.Say(r.Word("cover.for." + role)), Blanks: r.signBlanks("cover." + role)})
	}
	add(packet.Block{Keep: []packet.Block{heading(2, r.Word("cover.signatures")), {Sign: &packet.SignOff{Rows: rows}}}})
	return s
}

// warned is what the liquid's record says beside its statements, as a warning.
func (r *run) warned(list []record.Text) *packet.Alert {
	a := &packet.Alert{Signal: "warning", Word: r.Word("signal.warning"), Large: true}
	for i, t := range list {
		if i > 0 {
			a.Text = append(a.Text, packet.Span{Text: "\n"})
		}
		a.Text = append(a.Text, packet.Span{Text: t.S})
	}
	return a
}

// emergency says whom to call and where to go; nil where that is not on record.
func (r *run) emergency() packet.Phrase {
	call := r.Book.Site.Emergency
	if !call.Known() {
		return nil
	}
	return packet.Phrase{{Text: r.Word("cover.emergency") + " "}, {Text: call.S, Style: packet.Strong}}
}

func sayings(list []record.Text) []packet.ListItem {
	var out []packet.ListItem
	for _, t := range list {
		out = append(out, packet.ListItem{Text: packet.Say(t.S)})
	}
	return out
}

// governs says whose rules come first.
func (r *run) governs() packet.Phrase {
	p := packet.Phrase{{Text: r.Word("cover.governs") + " "}}
	if own := r.Book.Site.EnergyControl; own.Known() {
		p = append(p, packet.Span{Text: own.S + ". ", Style: packet.Strong})
	} else {
		p = append(p, r.NotOnRecord("site.energy_control", "site.energy_control")...)
		p = append(p, packet.Span{Text: " "})
	}
	return append(p, packet.Span{Text: r.Word("cover.authorised")})
}

// hazard is the panel of the liquid.
func (r *run) hazard() *packet.Hazard {
	h := &packet.Hazard{}
	l := r.Unit.Liquid
	if l == nil {
		h.Liquid = r.Lacking().Text
		if r.Blank {
			h.Condition = r.inService()
			h.Statements = []packet.Statement{{Text: r.Word("cover.write_statements") + " " + strings.Repeat(compute.Ruled, 8)}}
		}
		r.NotOnRecord(r.Word("cover.title"), "duty.liquid")
		return h
	}
	h.Liquid = l.Name.S
	if !l.Name.Known() {
		h.Liquid = l.ID
	}
	danger, warning := false, false
	for _, code := range l.Statements {
		st := r.Book.Statements[code.S]
		if st == nil {
			continue // refused before: the code is not among the GHS statements
		}
		r.codes = append(r.codes, st)
		h.Statements = append(h.Statements, packet.Statement{Code: st.Code, Text: r.Translate(st.Text)})
		danger = danger || st.Signal == "danger"
		warning = warning || st.Signal == "warning"
	}
	switch { // GHS 1.4.10.5.3.2: the signal word Danger takes the place of Warning
	case danger:
		h.Signal = r.Word("ghs.danger")
	case warning:
		h.Signal = r.Word("ghs.warning")
	}
	h.Pictograms = r.pictograms()
	if len(l.Statements) == 0 {
		h.Statements = []packet.Statement{{Text: r.Word("cover.no_statements")}}
	}
	h.Condition = r.inService()
	if l.Issuer.Known() {
		h.Source = packet.Say(strings.TrimSpace(r.WordWith("cover.sheet", "issuer", l.Issuer.S, "day", l.SheetDay.S, "revision", l.Revision.S)))
	} else {
		h.Source = append(packet.Phrase{{Text: r.Word("cover.sheet_wanted") + " "}}, r.NotOnRecord("liquid.sheet", "liquid.sheet")...)
	}
	return h
}

// inService is the state in which the liquid is found.
func (r *run) inService() packet.Phrase {
	cond := packet.Phrase{{Text: r.Word("cover.in_service") + " "}}
	for i, n := range []string{"duty.temperature", "duty.inlet", "duty.outlet"} {
		cond = append(cond, packet.Span{Text: []string{"", ", " + r.Word("cover.inlet") + " ", ", " + r.Word("cover.outlet") + " "}[i]})
		cond = append(cond, r.Named(n)...)
	}
	return cond
}

// pictograms gives the pictograms of the liquid's statements, without those that
// another one hides for every statement that calls for it.
func (r *run) pictograms() []string {
	shown := map[string]bool{}
	for _, st := range r.codes {
		for _, p := range st.Pictograms {
			shown[p] = true
		}
	}
	needed := map[string]bool{}
	for _, st := range r.codes {
		for _, p := range st.Pictograms {
			hidden := slices.ContainsFunc(r.Book.Precedence, func(q record.Precedence) bool {
				return q.Hides == p && shown[q.Shown] && slices.Contains(q.Of, st.Code) && r.calledFor(q)
			})
			if !hidden {
				needed[p] = true
			}
		}
	}
	var out []string
	for n := 1; n <= 9; n++ {
		if p := fmt.Sprintf("GHS%02d", n); needed[p] {
			out = append(out, p)
		}
	}
	return out
}

// wearItems lists what to wear, what protects the same part of the body together:
// what the liquid asks for, then what the work does.
func (r *run) wearItems() []packet.ListItem {
	var out []packet.ListItem
	add := func(p packet.Phrase, sign string) {
		if slices.ContainsFunc(out, func(it packet.ListItem) bool { return it.Text.String() == p.String() }) {
			return
		}
		it := packet.ListItem{ID: r.places.id("wear", fmt.Sprint(len(out)+1)), Text: p, Sign: sign}
		at := len(out)
		for i := range out {
			if sign != "" && out[i].Sign == sign {
				at = i + 1
			}
		}
		out = slices.Insert(out, at, it)
	}
	if l := r.Unit.Liquid; l != nil {
		for _, w := range l.Wear {
			add(packet.Say(w.Say.S), w.Sign.S)
		}
	}
	own := len(out)
	for _, w := range r.Procedure.Cover.Wear {
		if slices.ContainsFunc(out[:own], func(it packet.ListItem) bool { return it.Sign != "" && it.Sign == w.Sign.Name }) {
			continue // the liquid's record says which of this kind
		}
		if text, applies := r.SayWhere(w.When, w.Say); applies {
			add(text, w.Sign.Name)
		}
	}
	return out
}

// isolation is the table of points to lock, with who put each lock on and off.
func (r *run) isolation() *packet.Table {
	t := r.table("isolation", column{"point", 1, 0}, column{"device", 3, 0}, column{"put", 2, 0},
		column{"lock", 1, 22}, column{"applied", 1, 20}, column{"proved", 1, 20}, column{"removed", 1, 20})
	row := func(id string, text [3]packet.Phrase) packet.Row {
		write := func(key string, kind packet.BlankKind) []packet.Blank {
			return []packet.Blank{{ID: r.places.id("isolation", id, key), Kind: kind, Characters: 4}}
		}
		cells := []packet.Cell{{Text: text[0]}, {Text: text[1]}, {Text: text[2]}}
		for i, key := range []string{"device", "put"} {
			if text[i+1] == nil { // to be written in
				cells[i+1].Blanks = write(key, packet.Words)
			}
		}
		cells = append(cells, packet.Cell{Blanks: write("lock", packet.Words)})
		for _, key := range []string{"applied", "proved", "removed"} {
			cells = append(cells, packet.Cell{Blanks: write(key, packet.Initial)})
		}
		return packet.Row{Cells: cells}
	}
	for _, p := range r.Unit.Isolate {
		device := p.Device.S
		if p.Where.Known() {
			device += ", " + p.Where.S
		}
		put := packet.Phrase{{Text: p.Put.S, Style: packet.Strong}}
		put = append(put, packet.Span{Text: "; " + r.Word("isolation.prove") + ": "})
		if p.Prove.Known() {
			put = append(put, packet.Span{Text: p.Prove.S})
		} else {
			put = append(put, r.NotOnRecord(t.Title, "unit.isolate."+p.Point.S+".prove")...)
		}
		point := packet.Phrase{{Text: p.Point.S, Style: packet.Strong}}
		if p.AtDrive() {
			put = append(put, packet.Span{Text: ". " + r.Word("isolation.last")})
		}
		at := packet.Phrase{{Text: r.Word("energy."+p.Energy.S) + ": ", Style: packet.Soft}, {Text: device}}
		t.Rows = append(t.Rows, row(p.Point.S, [3]packet.Phrase{point, at, put}))
	}
	for _, gap := range r.Unit.Unisolated() { // check has reported it
		point := packet.Phrase{{Text: r.Word("energy." + gap.Energy)}}
		t.Rows = append(t.Rows, row("no-"+gap.Energy, [3]packet.Phrase{point, {r.Lacking(), {Text: " " + r.Word("isolation.find")}}, nil}))
	}
	room := 2 // for what the walk-down finds beside the list
	if len(r.Unit.Isolate) == 0 {
		room = 6
	}
	for n := 1; n <= room; n++ {
		t.Rows = append(t.Rows, row(fmt.Sprintf("more%d", n), [3]packet.Phrase{nil, nil, nil}))
	}
	t.Note = packet.Say(r.Word("isolation.note"))
	return t
}

// locks is where everyone else who works on the unit writes down the locks that are
// their own.
func (r *run) locks() *packet.Table {
	t := r.table("locks", column{"name", 3, 40}, column{"numbers", 3, 40}, column{"on", 2, 32}, column{"off", 2, 32})
	for n := range min(max(r.people(), 2), 8) {
		id := fmt.Sprint(n + 1)
		t.Rows = append(t.Rows, packet.Row{Cells: []packet.Cell{
			{Blanks: []packet.Blank{{ID: r.places.id("locks", id, "name"), Kind: packet.Words, Characters: 14}}},
			{Blanks: []packet.Blank{{ID: r.places.id("locks", id, "numbers"), Kind: packet.Words, Characters: 14}}},
			{Blanks: []packet.Blank{{ID: r.places.id("locks", id, "on"), Kind: packet.When, Characters: 10}}},
			{Blanks: []packet.Blank{{ID: r.places.id("locks", id, "off"), Kind: packet.When, Characters: 10}}},
		}})
	}
	return t
}

// people is how many the job is for, as the list or else the procedure says; 0
// where neither does.
func (r *run) people() int {
	if r.Job.People.Known() {
		return int(r.Job.People.Value.SI())
	}
	return r.Procedure.People
}

// calledFor reports whether a statement that the precedence names asks for the
// pictogram that hides.
func (r *run) calledFor(q record.Precedence) bool {
	return len(q.For) == 0 || slices.ContainsFunc(r.codes, func(st *record.Statement) bool {
		return slices.Contains(q.For, st.Code) && slices.Contains(st.Pictograms, q.Shown)
	})
}
