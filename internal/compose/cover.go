package compose

import (
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/compute"
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/record"
)

// cover is the sheet that comes first: on its front what can hurt, on its back how
// the unit is made safe.
func (r *run) cover() packet.Sheet {
	s := packet.Sheet{ID: "cover", Title: r.Word("cover.title"), Pages: 2, Front: true}
	add := func(b ...packet.Block) { s.Blocks = append(s.Blocks, b...) }
	if r.Unit.HasLiquid() {
		add(packet.Block{Hazard: r.hazard()})
	}
	add(r.panels()...)
	add(heading(2, r.Word("cover.wear")), packet.Block{List: &packet.List{Items: r.wearItems()}})
	if call := r.emergency(); call != nil {
		add(packet.Block{Para: &packet.Para{Text: call}})
	}
	aid := r.items(r.Procedure.Cover.FirstAid, "")
	var spill []packet.ListItem
	if l := r.Unit.Liquid; l != nil {
		aid, spill = append(aid, sayings(l.FirstAid)...), sayings(l.Spill)
	}
	var advice [][]packet.Block
	if r.aided = len(aid) > 0; r.aided {
		advice = append(advice, titled(r.Word("cover.first_aid"), packet.List{Items: aid}))
	}
	if len(spill) > 0 {
		advice = append(advice, titled(r.Word("cover.spill"), packet.List{Items: spill}))
	}
	add(sideBySide(advice)...)

	isolate := heading(2, r.Word("cover.isolate"))
	isolate.Heading.Turn, isolate.Heading.Index = true, r.Word("index.locks")
	add(isolate, packet.Block{Para: &packet.Para{Text: r.governs(), Small: true}}, packet.Block{Table: r.isolation()})
	add(packet.Block{Table: r.locks()})
	var beside [][]packet.Block
	if items := r.items(r.Procedure.Cover.Prove, "prove"); len(items) > 0 {
		list := titled(r.Word("cover.prove"), packet.List{Tick: true, Items: items})
		r.zeroHeading = list[0].Heading
		beside = append(beside, list)
	}
	if items := r.items(r.Procedure.Cover.Stop, ""); len(items) > 0 {
		beside = append(beside, titled(r.Word("cover.stop"), packet.List{Items: items}))
	}
	add(sideBySide(beside)...)
	add(packet.Block{Sign: &packet.SignOff{Rows: []packet.SignRow{
		{Role: r.Word("cover.role.proved"), For: r.provedBy(), Blanks: r.signBlanks("cover.proved", manifest.ForZero, r.Word("cover.role.proved"))},
	}}})
	return s
}

// provedBy is who proves zero energy, with who on this site may: here a second person
// acts for the first time.
func (r *run) provedBy() packet.Phrase {
	if may := r.maySign(r.Word("signoff.role.second"), roleInEnglish["second"]); may != "" {
		return packet.Say(r.WordWith("cover.for.proved_who", "who", may))
	}
	return packet.Say(r.Word("cover.for.proved"))
}

// panels says all hazards, a panel for each signal word, the gravest first: those of
// the unit as the procedure finds them, then what the liquid's record says. A hazard of
// which it cannot be told is said in one line for all, but for a form.
func (r *run) panels() []packet.Block {
	lines := map[string][]packet.Phrase{}
	for _, a := range r.Procedure.Cover.Hazards {
		yes, only := r.Applies(a.When)
		if !yes || only != nil && !r.Blank {
			continue
		}
		leave := r.Suppose(only)
		say := r.Say(a.Say)
		leave()
		if only != nil {
			say = slices.Concat(only, packet.Say(" "), say)
		}
		lines[string(a.Signal)] = append(lines[string(a.Signal)], say)
	}
	if l := r.Unit.Liquid; l != nil {
		for _, t := range l.Say {
			lines["warning"] = append(lines["warning"], packet.Say(t.S))
		}
		lines["warning"] = append(lines["warning"], r.neverIn()...)
	}
	var out []packet.Block
	for _, signal := range gravest {
		if len(lines[signal]) > 0 {
			out = append(out, packet.Block{Alert: &packet.Alert{Signal: signal, Word: r.Word("signal." + signal), Lines: lines[signal]}})
		}
	}
	return out
}

// neverIn says what must never meet the liquid, and why; nothing where that is not on
// record: a step that flushes says so.
func (r *run) neverIn() []packet.Phrase {
	what, ok := r.Book.Scalar(r.Unit, "liquid.flush.never")
	if !ok || what.Form != record.FormWords {
		return nil
	}
	p := packet.Say(r.WordWith("cover.never", "what", what.Text))
	if why, ok := r.Book.Scalar(r.Unit, "liquid.flush.why"); ok && why.Form == record.FormWords {
		p = append(p, packet.Span{Text: " "}, packet.Span{Text: why.Text}, packet.Span{Text: "."})
	}
	return []packet.Phrase{p}
}

// emergency says whom to call and where to go, with the zone; nil where nothing of it
// is on record.
func (r *run) emergency() packet.Phrase {
	var p packet.Phrase
	if call := r.Book.Site.Emergency; call.Known() {
		p = packet.Phrase{{Text: r.Word("cover.emergency") + " "}, {Text: call.S, Style: packet.Strong}}
	}
	for _, name := range []string{"duty.wash", "duty.zone"} {
		if _, ok := r.Book.Scalar(r.Unit, name); ok || r.Blank {
			if len(p) > 0 {
				p = append(p, packet.Span{Text: " "})
			}
			t := r.Book.TermOf(r.Unit, name)
			p = append(p, packet.Span{Text: r.What(t) + ": "})
			p = append(append(p, r.Recorded(t)...), packet.Span{Text: "."})
		}
	}
	return p
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
		if t := r.Book.Terms[n]; t == nil || !t.OfMachine(r.Unit.Machine) {
			continue
		}
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
		at := len(out)
		for i := range out {
			if sign != "" && out[i].Sign == sign {
				at = i + 1
			}
		}
		out = slices.Insert(out, at, packet.ListItem{Text: p, Sign: sign})
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

// calledFor reports whether a statement that the precedence names asks for the
// pictogram that hides.
func (r *run) calledFor(q record.Precedence) bool {
	return len(q.For) == 0 || slices.ContainsFunc(r.codes, func(st *record.Statement) bool {
		return slices.Contains(q.For, st.Code) && slices.Contains(st.Pictograms, q.Shown)
	})
}
