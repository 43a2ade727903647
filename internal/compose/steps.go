package compose

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
)

// stage is a stage that applies to this unit, with its steps rendered.
type stage struct {
	sheet  procedure.Sheet
	title  string
	only   packet.Phrase
	alerts []packet.Alert
	steps  []packet.Step
}

// stages renders the stages and steps that apply, numbered without gaps.
func (r *run) stages() []stage {
	out := make([]stage, 0, len(r.Procedure.Stages))
	for i := range r.Procedure.Stages {
		src := &r.Procedure.Stages[i]
		st := stage{sheet: src.Sheet, title: r.Plain(src.Title), steps: make([]packet.Step, 0, len(src.Steps))}
		applies := true
		for j := range src.When {
			yes, only := r.Applies(src.When[j])
			if !yes {
				r.omit(src.Title, src.When[j])
				applies = false
				break
			}
			st.only = append(st.only, only...)
		}
		if !applies {
			continue
		}
		n := len(out) + 1
		leave := r.Suppose(st.only)
		st.alerts = r.hazards(src)
		for j := range src.Steps {
			if step, ok := r.step(&src.Steps[j], n, len(st.steps)+1); ok {
				step.Optional = len(step.Only)+len(st.only) > 0
				st.steps = append(st.steps, step)
			}
		}
		leave()
		if len(st.steps) > 0 {
			out = append(out, st)
		}
	}
	return out
}

func (r *run) step(src *procedure.Step, stage, n int) (packet.Step, bool) {
	yes, only := r.Applies(src.When)
	if !yes {
		r.omit(src.Do, src.When)
		return packet.Step{}, false
	}
	defer r.Suppose(only)()
	number := fmt.Sprintf("%d.%d", stage, n)
	id := r.places.id("s" + number)
	r.Here(number)
	defer r.Here("")
	s := packet.Step{ID: id, Number: number, Text: r.Say(src.Do), Only: only, Figure: r.figures(src.Figures)}
	for _, f := range src.Figures {
		if yes, _ := r.Applies(f.When); yes && f.Joint != nil {
			r.drawnAt(f.Joint.Name, number)
		}
	}
	if src.ProvesZero && r.zeroHeading != nil {
		r.zeroHeading.Text = r.WordWith("cover.prove_at", "n", number)
	}
	s.Alerts = r.alerts(src.Alerts)
	for _, line := range src.How {
		if p, applies := r.SayWhere(line.When, line.Say); applies {
			s.How = append(s.How, p)
		}
	}
	for i := range src.Blanks {
		if yes, only := r.Applies(src.Blanks[i].When); yes {
			leave := r.Suppose(only)
			b := r.blank(&src.Blanks[i], number)
			b.Ask.Optional = len(only) > 0
			s.Blanks = append(s.Blanks, b)
			leave()
		}
	}
	s.Work = r.WorkAt(src)
	for i := range s.Work {
		for _, b := range s.Work[i].Blanks() {
			b.ID = r.places.id(id, b.ID)
		}
	}
	if !src.Index.Empty() {
		s.Index = r.Plain(src.Index)
	}
	if !src.Hold.Empty() {
		role := r.Plain(src.Hold)
		s.Hold = &packet.Hold{Role: role, Blanks: r.signBlanks(id+".hold", manifest.ForHold, role)}
	}
	return s, true
}

// alerts renders the alerts that apply, the gravest first; those of one signal
// word stand together, a line each.
func (r *run) alerts(list []procedure.Alert) []packet.Alert {
	var out []packet.Alert
	for _, a := range list {
		alert, ok := r.alert(a)
		if !ok {
			continue
		}
		if i := slices.IndexFunc(out, func(b packet.Alert) bool { return b.Signal == alert.Signal }); i >= 0 {
			out[i].Text = append(append(out[i].Text, packet.Span{Text: "\n"}), alert.Text...)
			continue
		}
		out = append(out, alert)
	}
	slices.SortStableFunc(out, func(a, b packet.Alert) int {
		return slices.Index(gravest, a.Signal) - slices.Index(gravest, b.Signal)
	})
	return out
}

// gravest lists the signal words, the gravest first.
var gravest = []string{"danger", "warning", "caution", "notice"}

// alert renders an alert that applies.
func (r *run) alert(a procedure.Alert) (packet.Alert, bool) {
	p, applies := r.SayWhere(a.When, a.Say)
	if !applies {
		return packet.Alert{}, false
	}
	return packet.Alert{Signal: string(a.Signal), Word: r.Word("signal." + string(a.Signal)), Text: p}, true
}

// stageBlocks lays the stages of one sheet out as blocks.
func (r *run) stageBlocks(all []stage, sheet procedure.Sheet) []packet.Block {
	var out []packet.Block
	for i, st := range all {
		if st.sheet != sheet {
			continue
		}
		out = slices.Grow(out, len(st.steps)+3)
		h := heading(1, fmt.Sprintf("%d  %s", i+1, st.title))
		index, _, _ := strings.Cut(st.title, ":") // what follows is said at the stage alone
		h.Heading.Index = fmt.Sprintf("%d %s", i+1, index)
		out = append(out, h)
		if st.only != nil {
			out = append(out, packet.Block{Para: &packet.Para{Text: st.only}})
		}
		for j := range st.alerts {
			out = append(out, packet.Block{Alert: &st.alerts[j]})
		}
		for j := range st.steps {
			out = append(out, packet.Block{Step: &st.steps[j]})
		}
		id := fmt.Sprintf("s%d.done", i+1)
		ask := &manifest.Ask{For: manifest.ForStage, Step: strconv.Itoa(i + 1)}
		out = append(out, packet.Block{Done: &packet.Done{Text: r.WordWith("steps.stage_done", "n", strconv.Itoa(i+1)), Blanks: []packet.Blank{
			{ID: r.places.id(id, "by"), Kind: packet.Initial, Ask: ask},
			{ID: r.places.id(id, "at"), Kind: packet.Words, Characters: 5, Ask: ask},
		}}})
	}
	return out
}

// stepsSheet is all stages in one run of pages: those of back in service follow the
// others.
func (r *run) stepsSheet(all []stage) packet.Sheet {
	s := packet.Sheet{ID: "steps", Columns: 2, Pages: longSteps, Title: r.Word("steps.title"), Blocks: r.lacks("notice", "lacks.sheet")}
	for _, sheet := range []procedure.Sheet{procedure.Steps, procedure.Service} {
		s.Blocks = append(s.Blocks, r.stageBlocks(all, sheet)...)
	}
	if len(all) == 0 {
		s.Blocks = append(s.Blocks, packet.Block{Para: &packet.Para{Text: packet.Say(r.Word("steps.none"))}})
	}
	return s
}
