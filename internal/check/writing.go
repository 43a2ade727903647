package check

import (
	"regexp"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
)

// writing: how steps and alerts are worded, by DOE-STD-1029-92 (Writer's Guide for
// Technical Procedures) and ANSI Z535.6 (safety information in manuals), both from
// memory and so by subject, not by clause number. What can be seen without a dictionary is looked for, in English and in
// Spanish; each breach is a warning.
var writing = rule{
	name: "writing",
	what: "steps and alerts are worded by the rules of DOE-STD-1029-92 and ANSI Z535.6 that can be seen in a text",
	run: func(r *run) {
		said := map[diag.Pos]bool{} // a fragment's text stands in many procedures
		for _, p := range r.procedures() {
			for i := range p.Stages {
				for j := range p.Stages[i].Steps {
					r.worded(&p.Stages[i].Steps[j], said)
					r.readWith(p, &p.Stages[i].Steps[j], said)
				}
				for _, a := range p.Stages[i].Alerts {
					r.alertWorded(a, said)
				}
			}
		}
	},
}

// A step in hand: what it says to do, and its how lines.
type wording struct {
	text string // lower case, names in braces left out
	step *procedure.Step
	how  bool
}

// wordRule is one rule of writing about a step or its lines.
type wordRule struct {
	what, clause, hint string
	breaks             func(w wording) bool
}

// mostWords is how long a step may be, without its how lines: common practice.
const mostWords = 40

// wordRules lists the rules of writing for steps.
var wordRules = []wordRule{
	{"a step trails off in etc.", "DOE-STD-1029-92 on precise terms", "name everything, or leave it out",
		has(`\betc\b|\band so on\b|\band the like\b|\bentre otros\b|\by demás\b`)},
	{"a step has an amount that nobody can check", "DOE-STD-1029-92 on quantities and limits", "give a number with its unit, or what is seen when it is done",
		has(`\ba little (?:more|less|oil|grease|of)\b|\bsome\b|\bas required\b|\bas needed\b|\bas necessary\b|\bsufficient(?:ly)?\b|\badequate(?:ly)?\b|\bfirmly\b|\bun poco (?:más|menos|de)\b|\bsuficiente(?:mente)?\b|\bsegún sea necesario\b`)},
	{"a step leaves open whether it is done", "DOE-STD-1029-92 on action steps: an order", "begin with what to do; where it does not always apply, say when",
		has(`\bshould\b|\bshall\b|\bmay want to\b|\bcould\b|\bit is recommended\b|\bdebería\b|\bse recomienda\b`)},
	{"a step is denied twice", "DOE-STD-1029-92 on plain, positive statements", "say what to do",
		has(`\b(?:not|never|no)\b[^.;:,?]*\b(?:not|never|unless|without)\b|\bno\b[^.;:,?]*\b(?:a menos que|sin)\b`)},
	{"a step says its condition after what to do", "DOE-STD-1029-92 on conditional steps", "begin with the condition, or write it as when:",
		has(`, (?:if|when|unless) (?:the|it|there|you)\b|, si (?:el|la|hay)\b`)},
	{"a step has more words than are read at once", "DOE-STD-1029-92 on short steps", "make two steps of it, or move its motions to how:",
		func(w wording) bool { return len(strings.Fields(w.text)) > mostWords }},
	{"a step holds a hazard, which stands before it", "ANSI Z535.6 on where messages stand; DOE-STD-1029-92 on warnings and cautions", "make it an alert of the step",
		has(`\b(?:danger|warning|caution):|\b(?:peligro|advertencia|atención):`)},
	{"a step sends the reader elsewhere without a place", "DOE-STD-1029-92 on references", "name the step or the page",
		has(`\bsee above\b|\bsee below\b|\bas above\b|\bthe above\b|\bvéase (?:arriba|abajo)\b`)},
	{"a step offers and/or", "DOE-STD-1029-92 on logic terms", "say which, or both",
		has(`\band/or\b|\by/o\b`)},
	{"a step asks politely", "DOE-STD-1029-92 on action steps: an order", "begin with the verb",
		has(`\bplease\b|\bpor favor\b`)},
	{"a step lists more than three motions", "DOE-STD-1029-92 on action steps: one action", "make two steps of it",
		func(w wording) bool { return !w.how && alwaysDone(w.step) > mostMotions }},
}

// mostMotions is how many how lines that always apply a step may have.
const mostMotions = 3

func alwaysDone(s *procedure.Step) (n int) {
	for _, h := range s.How {
		if h.When == nil {
			n++
		}
	}
	return n
}

func has(pattern string) func(wording) bool {
	re := regexp.MustCompile(pattern)
	return func(w wording) bool { return re.MatchString(w.text) }
}

// lower gives a text in small letters, each name in braces one word.
func lower(t procedure.Text) string { return braced.ReplaceAllString(strings.ToLower(t.String()), "N") }

var braced = regexp.MustCompile(`\{[^}]*\}`)

// worded holds a step to the rules of writing.
func (r *run) worded(s *procedure.Step, said map[diag.Pos]bool) {
	texts := []wording{{text: lower(s.Do), step: s}}
	at := []diag.Pos{s.Do.At}
	for _, h := range s.How {
		texts, at = append(texts, wording{text: lower(h.Say), step: s, how: true}), append(at, h.Say.At)
	}
	for i, w := range texts {
		if said[at[i]] {
			continue
		}
		said[at[i]] = true
		for _, rule := range wordRules {
			if rule.breaks(w) {
				r.warnf(at[i], nil, rule.hint, "%s (%s)", rule.what, rule.clause)
			}
		}
	}
	for _, a := range s.Alerts {
		r.alertWorded(a, said)
	}
}

// readWith holds each reading with a limit to an instrument, at its blank or at the
// limit's value. A count, and what a panel or a test strip shows as a plain number, needs
// none.
func (r *run) readWith(p *procedure.Procedure, s *procedure.Step, said map[diag.Pos]bool) {
	for _, b := range s.Blanks {
		if b.Instrument != nil || said[b.Label.At] {
			continue
		}
		for _, limit := range []*procedure.Ref{b.Low, b.High} {
			if limit == nil {
				continue
			}
			v, _ := p.Find(procedure.ParseName(limit.Name))
			if v != nil && v.Instrument == nil && v.Show != nil && v.Show.Grain[quantity.Metric].Unit.Kind != quantity.KindNumber {
				said[b.Label.At] = true
				r.warnf(limit.At, nil, "add instrument: to the blank, or to its value", "a reading has a limit and does not say what it is read with (DOE-STD-1029-92 on quantities and limits)")
				break
			}
		}
	}
}

// orders are words with which an alert begins that tells what to do; they belong into
// a step, where they are checked off.
var orders = []string{
	"wear", "use", "do", "don't", "make", "ensure", "check", "keep", "turn", "open", "close", "lock", "stop", "remove", "take", "put", "let", "stay", "avoid", "be",
	"use", "mantenga", "no", "asegúrese", "compruebe", "cierre", "abra", "quite", "lleve", "evite", "deje", "pare", "bloquee",
}

// alertWorded holds an alert to the rules of writing: it names a hazard, and what it
// does to whom; what to do stands in a step.
func (r *run) alertWorded(a procedure.Alert, said map[diag.Pos]bool) {
	if said[a.Say.At] || a.Say.Empty() {
		return
	}
	said[a.Say.At] = true
	text := lower(a.Say)
	first, rest, _ := strings.Cut(text, " ")
	second, _, _ := strings.Cut(rest, " ")
	if slices.Contains(orders, first) && (first != "no" || slices.Contains(orders, second)) {
		r.warnf(a.Say.At, nil, "name the hazard and what it does; what to do is a step", "an alert says what to do (DOE-STD-1029-92 on warnings and cautions: no action in them)")
	}
	if strings.HasSuffix(strings.TrimRight(text, " "), "!") {
		r.warnf(a.Say.At, nil, "leave it to the signal word", "an alert shouts (ANSI Z535.6 on signal words, which say how grave it is)")
	}
	if vague.MatchString(text) {
		r.warnf(a.Say.At, nil, "say what is hot, moving or under pressure, and what it does", "an alert names no hazard (ANSI Z535.6 on what a message says: the hazard and what it does)")
	}
}

var vague = regexp.MustCompile(`^(?:be careful|take care|use caution|caution is advised|tenga cuidado|con cuidado)\b`)
