package desk

import (
	"cmp"
	"context"
	"crypto/sha256"
	"fmt"
	"html/template"
	"maps"
	"slices"
	"strings"
	"time"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/figure"
	"jobsheaf/internal/history"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/record"
	"jobsheaf/internal/register"
)

// unitPage is what is shown of a unit.
type unitPage struct {
	*record.Unit
	Facts   []facts
	Hazards []*record.Statement
	Past    []past
	Earlier int // jobs that are not shown; none where it is not above 0
	Worn    []worn
	Late    bool // what is worn does not have all that the register knows yet
	Jobs    []register.Job
	More    bool // there are more jobs than are shown
}

// facts are the values of one part of a unit's record.
type facts struct {
	Of   string // the key of its heading
	Rows []fact
}

// fact is one value.
type fact struct {
	Key     string // of the words that say what it is; "" where What does
	What    string
	Is, At  string
	Missing bool
}

// past is what an earlier job left.
type past struct {
	Day, Job string
	Printed  bool // the job is in the register
	Replaced []string
	Found    []measured
	Left     []measured
}

// measured is a reading with the name of what was read.
type measured struct{ Of, Is string }

// worn is what is known of the wear of a feature, with its drawing.
type worn struct {
	compose.Worn
	Unit, Name string // of a list over all units
	Drawing    template.HTML
}

// mostPast is how many jobs of a unit's history are shown.
const mostPast = 30

// jobsOfUnit is how many jobs of a unit are shown; of more there is a link.
const jobsOfUnit = 20

// trendWidth is how wide a trend is drawn, in mm: as on paper.
const trendWidth = 120

func (v *visit) unit() error {
	site, err := v.read()
	if err != nil {
		return err
	}
	u := site.Book.Units[v.r.PathValue("unit")]
	if u == nil {
		return refuse(404, "fault.unit", "unit", v.r.PathValue("unit"))
	}
	is := unitPage{Unit: u, Facts: site.factsOf(u)}
	if u.Liquid != nil {
		for _, code := range u.Liquid.Statements {
			if s := site.Book.Statements[code.S]; s != nil {
				is.Hazards = append(is.Hazards, s)
			}
		}
	}
	known, err := v.known(u.ID)
	if err != nil {
		return err
	}
	is.Past = v.past(u, known.pages)
	if is.Earlier = len(is.Past) - mostPast; is.Earlier > 0 {
		is.Past = is.Past[:mostPast]
	}
	parts, late := site.wear.of(u.ID, known.sum)
	is.Late = late
	for _, w := range parts {
		drawing, err := site.drawing(w.Trend)
		if err != nil {
			return err
		}
		is.Worn = append(is.Worn, worn{Worn: w, Drawing: drawing})
	}
	is.Jobs, err = v.Register.Page(v.r.Context(), register.Query{Unit: u.ID}, register.Place{}, false, jobsOfUnit+1)
	if err != nil {
		return err
	}
	if is.More = len(is.Jobs) > jobsOfUnit; is.More {
		is.Jobs = is.Jobs[:jobsOfUnit]
	}
	return v.show("unit", is)
}

// drawing draws a trend as on paper, in the language of the site.
func (s *reading) drawing(f packet.Figure) (template.HTML, error) {
	d, err := figure.Draw(f.Name, figure.Params{Numbers: f.Numbers, Texts: f.Texts, Lists: f.Lists, Series: f.Series, Words: s.Words[s.Language].Get}, trendWidth)
	if err != nil {
		return "", err
	}
	return svg(d.W, d.H, d.Paths, d.Texts, f.Texts["title"]), nil
}

// Over reports whether a limit has come, as far as the readings tell.
func (v *visit) Over(w worn) bool {
	return w.Passed || w.Due != "" && w.Due <= v.Now().Format(time.DateOnly)
}

// parts are the parts of a unit's record that have values, in the order of a nameplate.
var parts = []string{"built", "duty", "drive", "piping", "unit"}

// factsOf gives what a unit's record holds: its nameplate, then its values by part.
func (s *reading) factsOf(u *record.Unit) []facts {
	plate := facts{Of: "unit.plate"}
	for _, f := range []struct {
		key string
		is  record.Text
	}{{"unit.name", u.Name}, {"unit.area", u.Area}, {"unit.serial", u.Serial}, {"unit.design", u.DesignName}, {"unit.size", u.SizeName}} {
		plate.Rows = append(plate.Rows, fact{Key: f.key, Is: f.is.S, At: place(f.is), Missing: !f.is.Known()})
	}
	out := []facts{plate}
	for _, part := range parts {
		f := facts{Of: "unit." + part}
		for _, name := range slices.Sorted(maps.Keys(u.Scalars)) {
			is := u.Scalars[name]
			if first, _, _ := strings.Cut(name, "."); first == part && is.Term != nil {
				f.Rows = append(f.Rows, fact{What: s.Translate(is.Term.What), Is: is.Written, At: is.At.String()})
			}
		}
		if len(f.Rows) > 0 {
			out = append(out, f)
		}
	}
	return out
}

func place(t record.Text) string {
	if !t.Known() {
		return ""
	}
	return t.At.String()
}

// knownOf is what the register's knowledge of a unit is kept by: it is the same until
// something happens.
type knownOf struct {
	unit   string
	events int64
}

// known is what the register knows of a unit's past, and a text that is another once it
// knows something else.
type known struct {
	pages []record.PageHistory
	sum   string
}

func (v *visit) known(unit string) (known, error) {
	head, err := v.Register.Head(v.r.Context())
	if err != nil {
		return known{}, err
	}
	return v.pasts.get(knownOf{unit, head.Events}, func() (known, error) {
		pages, err := history.Of(context.WithoutCancel(v.r.Context()), v.Register, unit)
		if err != nil || len(pages) == 0 {
			return known{}, err
		}
		sum := sha256.Sum256(fmt.Appendf(nil, "%#v", pages))
		return known{pages, string(sum[:])}, nil
	})
}

// past gives what earlier jobs left of a unit, the newest first: as its record has it, and
// as the register has of jobs that the record does not name.
func (v *visit) past(u *record.Unit, pages []record.PageHistory) []past {
	var out []past
	for _, h := range u.History {
		p := past{Day: h.Day.S, Job: h.Job.S}
		for _, t := range h.Replaced {
			p.Replaced = append(p.Replaced, nameOf(t.S))
		}
		p.Found, p.Left = v.site.measured(u, h.AsFound), v.site.measured(u, h.AsLeft)
		out = append(out, p)
	}
	named := len(out)
	for _, page := range pages {
		if slices.ContainsFunc(out[:named], func(p past) bool { return strings.EqualFold(p.Job, page.Job) }) {
			continue
		}
		i := slices.IndexFunc(out, func(p past) bool { return p.Job == page.Job })
		if i < 0 {
			i = len(out)
			out = append(out, past{Day: page.Day, Job: page.Job, Printed: true})
		}
		for _, part := range page.Replaced {
			out[i].Replaced = append(out[i].Replaced, nameOf(part))
		}
		for _, r := range page.Readings {
			m := measured{v.site.featureOf(u, r.Name), r.Value}
			if r.Left {
				out[i].Left = append(out[i].Left, m)
			} else {
				out[i].Found = append(out[i].Found, m)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b past) int { return cmp.Compare(b.Day, a.Day) })
	return out
}

func (s *reading) measured(u *record.Unit, all map[string]record.Amount) []measured {
	var out []measured
	for _, name := range slices.Sorted(maps.Keys(all)) {
		out = append(out, measured{s.featureOf(u, name), all[name].S})
	}
	return out
}

// featureOf says what a feature or a term is.
func (s *reading) featureOf(u *record.Unit, name string) string {
	if u.Size != nil {
		if f := u.Size.Features[name]; f != nil && f.Part.Known() {
			return f.Part.S + ", " + f.What.S
		}
	}
	if t := s.Book.Terms[name]; t != nil {
		return s.Translate(t.What)
	}
	return nameOf(name)
}

// nameOf gives a name of the records as it is read: idler pin for idler_pin.
func nameOf(name string) string { return strings.ReplaceAll(name, "_", " ") }

// unitsPage lists units.
type unitsPage struct {
	Asked string
	Units []*record.Unit
	More  bool
	All   int
}

// unitsAPage is how many units are listed; of more one is found by name or area.
const unitsAPage = 100

func (v *visit) units() error {
	site, err := v.read()
	if err != nil {
		return err
	}
	is := unitsPage{Asked: v.asked("q", 60), All: len(site.Book.Units)}
	want := strings.ToLower(is.Asked)
	for _, u := range site.Book.Units {
		if strings.Contains(strings.ToLower(u.ID+" "+u.Name.S+" "+u.Area.S+" "+u.Serial.S), want) {
			is.Units = append(is.Units, u)
		}
	}
	slices.SortFunc(is.Units, func(a, b *record.Unit) int { return cmp.Or(cmp.Compare(a.Area.S, b.Area.S), cmp.Compare(a.ID, b.ID)) })
	if is.More = len(is.Units) > unitsAPage; is.More {
		is.Units = is.Units[:unitsAPage]
	}
	return v.show("units", is)
}
