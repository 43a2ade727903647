package desk

import (
	"errors"
	"maps"
	"net/http"
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
	"jobsheaf/internal/register"
)

// lists gives the names of the lists on record, the newest first as far as names tell.
func (s *reading) lists() []string {
	out := slices.Sorted(maps.Keys(s.Book.Lists))
	slices.Reverse(out)
	return out
}

// weeksPage are the lists on record.
type weeksPage struct{ Lists []*record.List }

func (v *visit) weeks() error {
	site, err := v.read()
	if err != nil {
		return err
	}
	var is weeksPage
	for _, name := range site.lists() {
		is.Lists = append(is.Lists, site.Book.Lists[name])
	}
	return v.show("weeks", is)
}

// weekPage is one list.
type weekPage struct {
	*record.List
	Rows     []row
	Problems []problem // of the list as a whole
	Refused  int       // rows that would not be printed
}

// row is a job of the list.
type row struct {
	*record.Job
	UnitName string
	Printed  *register.Job // nil where it was not
	Refusal  *diag.Problem // why it would not be printed
	Problems []problem
}

func (v *visit) week() error {
	site, err := v.read()
	if err != nil {
		return err
	}
	l := site.Book.Lists[v.r.PathValue("list")]
	if l == nil {
		return refuse(http.StatusNotFound, "fault.list", "list", v.r.PathValue("list"))
	}
	is := weekPage{List: l}
	of := map[string]int{} // of a problem's place and words, whose row has it
	for i, j := range l.Jobs {
		r := row{Job: j, Refusal: site.Book.Refusal(j)}
		if u := site.Book.Units[j.Unit.S]; u != nil {
			r.UnitName = u.Name.S
		}
		for _, p := range j.Problems {
			r.Problems = append(r.Problems, problem{p, site.Line(p.Pos)})
			of[p.String()] = i
		}
		if j.ID.Known() {
			printed, err := v.Register.Job(v.r.Context(), j.ID.S)
			if err == nil {
				r.Printed = &printed
			} else if !errors.Is(err, register.ErrUnknown) {
				return err
			}
		}
		if r.Refusal != nil {
			is.Refused++
		}
		is.Rows = append(is.Rows, r)
	}
	for _, p := range l.Problems {
		if _, told := of[p.String()]; !told {
			is.Problems = append(is.Problems, problem{p, site.Line(p.Pos)})
		}
	}
	return v.show("week", is)
}
