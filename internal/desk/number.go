package desk

import (
	"net/http"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
)

// workingOf is what a working is kept by.
type workingOf struct{ unit, procedure, known string }

// numberPage is the working of a unit's numbers.
type numberPage struct {
	Unit string
	Explained
	Late  bool // they do not have all that the register knows yet
	Asked string
	Shown []packet.Entry // of the value that was asked for, with those that lead to it; else none
	Wrong string         // what was asked for and is not there
}

// mostDepth is how many values on the way to a number are shown below it.
const mostDepth = 40

func (v *visit) number() error {
	site, err := v.read()
	if err != nil {
		return err
	}
	id := v.r.PathValue("unit")
	if site.Book.Units[id] == nil {
		return refuse(http.StatusNotFound, "fault.unit", "unit", id)
	}
	known, err := v.known(id)
	if err != nil {
		return err
	}
	of := workingOf{id, v.asked("procedure", 60), known.sum}
	is := numberPage{Unit: id, Asked: v.asked("value", 120)}
	is.Explained, is.Late, err = site.wear.working(of)
	if err != nil {
		return refuse(http.StatusUnprocessableEntity, "fault.working", "unit", id, "why", err.Error())
	}
	if is.Asked != "" {
		i := slices.IndexFunc(is.Values, func(e packet.Entry) bool { return e.Name == is.Asked || strings.EqualFold(e.Key, is.Asked) })
		if i < 0 {
			is.Wrong = is.Asked
		} else {
			is.Shown = leading(is.Values, i)
		}
	}
	return v.show("number", is)
}

// leading gives a value and all those from which it is worked out, nearest first.
func leading(all []packet.Entry, i int) []packet.Entry {
	at := map[string]int{}
	for k, e := range all {
		at[e.Key] = k
	}
	out, told := []packet.Entry{all[i]}, map[string]bool{all[i].Key: true}
	for k := 0; k < len(out) && len(out) < mostDepth; k++ {
		for _, in := range out[k].Inputs {
			if j, ok := at[in.Key]; ok && in.Key != "" && !told[in.Key] {
				told[in.Key] = true
				out = append(out, all[j])
			}
		}
	}
	return out
}

// How much of a line is shown around a place, in characters.
const before, behind = 24, 48

// Near gives what stands in a file around a place of the working; "" where nothing is to be
// shown.
func (f *frame) Near(p packet.Place) string {
	if p.Line == 0 {
		return ""
	}
	line := []rune(f.site.Line(diag.Pos{File: p.File, Line: p.Line, Col: p.Col}))
	from, to := max(p.Col-1-before, 0), min(p.Col-1+behind, len(line))
	if from >= to {
		return ""
	}
	text := strings.TrimSpace(string(line[from:to]))
	if from > 0 {
		text = "… " + text
	}
	if to < len(line) {
		text += " …"
	}
	return text
}
