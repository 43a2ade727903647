package desk

import (
	"errors"
	"maps"
	"net/http"
	"net/url"
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
type weeksPage struct {
	Lists []*record.List
	MB    int    // of a list that is sent, at most
	Fault *fault // of one that was
}

func (v *visit) weeks() error { return v.showWeeks(http.StatusOK, nil) }

func (v *visit) showWeeks(status int, wrong *fault) error {
	site, err := v.read()
	if err != nil {
		return err
	}
	is := weeksPage{MB: mostSentList >> 20, Fault: wrong}
	for _, name := range site.lists() {
		is.Lists = append(is.Lists, site.Book.Lists[name])
	}
	return v.showAs(status, "weeks", is)
}

// weekPage is one list.
type weekPage struct {
	*record.List
	Rows     []row
	Problems []problem // of the list as a whole
	Refused  int       // rows that would not be printed
	Sent     string    // the id of a list that somebody sent; "" of one on record
	Name     string    // of the file that was sent
	Unread   bool      // nothing of it could be read
}

// Odd gives the rows of which there is something to say, those that would not be printed
// first.
func (p weekPage) Odd() (out []row) {
	for _, r := range p.Rows {
		if r.Refusal != nil {
			out = append(out, r)
		}
	}
	for _, r := range p.Rows {
		if r.Refusal == nil && len(r.Problems) > 0 {
			out = append(out, r)
		}
	}
	return out
}

// Print is the path to print it.
func (p weekPage) Print() string {
	if p.Sent != "" {
		return "/list/" + p.Sent + "/print"
	}
	return "/week/" + url.PathEscape(p.ID) + "/print"
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
	is, err := v.weekPage(site.Book, l, site.Line)
	if err != nil {
		return err
	}
	return v.show("week", is)
}

// weekPage gives what is shown of a list; line gives the line of a file.
func (v *visit) weekPage(book *record.Book, l *record.List, line func(diag.Pos) string) (weekPage, error) {
	is := weekPage{List: l}
	of := map[string]int{} // of a problem's place and words, whose row has it
	for i, j := range l.Jobs {
		r := row{Job: j, Refusal: book.Refusal(j)}
		if u := book.Units[j.Unit.S]; u != nil {
			r.UnitName = u.Name.S
		}
		for _, p := range j.Problems {
			r.Problems = append(r.Problems, problem{p, line(p.Pos)})
			of[p.String()] = i
		}
		if j.ID.Known() {
			printed, err := v.Register.Job(v.r.Context(), j.ID.S)
			if err == nil {
				r.Printed = &printed
			} else if !errors.Is(err, register.ErrUnknown) {
				return is, err
			}
		}
		if r.Refusal != nil {
			is.Refused++
		}
		is.Rows = append(is.Rows, r)
	}
	for _, p := range l.Problems {
		if _, told := of[p.String()]; !told {
			is.Problems = append(is.Problems, problem{p, line(p.Pos)})
		}
	}
	return is, nil
}
