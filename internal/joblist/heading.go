package joblist

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"

	"golang.org/x/text/unicode/norm"
)

// known are the headings that are understood without being asked, in plain words
// of English and Spanish, folded (see fold). A site's own come first.
var known = map[string][]string{
	"job":       {"job", "job id", "job no", "job number", "job card", "order", "order no", "order number", "work order", "trabajo", "no de trabajo", "numero de trabajo", "orden", "no de orden", "numero de orden", "orden de trabajo"},
	"unit":      {"unit", "unit tag", "tag", "tag no", "pump", "pump no", "pump tag", "equipment", "machine", "unidad", "etiqueta", "bomba", "equipo", "maquina"},
	"procedure": {"procedure", "procedure name", "method", "procedimiento", "metodo"},
	"day":       {"day", "date", "planned day", "planned date", "planned for", "start", "start day", "start date", "dia", "fecha", "dia previsto", "fecha prevista", "inicio", "fecha de inicio"},
	"crew":      {"crew", "shift", "team", "gang", "cuadrilla", "turno", "equipo de trabajo", "brigada"},
	"people":    {"people", "persons", "no of people", "number of people", "personas", "no de personas", "numero de personas", "gente"},
	"hours":     {"hours", "hours h", "planned hours", "duration h", "horas", "horas h", "horas previstas", "duracion h"},
}

// wanted are the columns that a list cannot do without.
var wanted = []string{"job", "unit", "procedure", "day"}

// headings finds out which column is what.
type headings struct {
	own map[string][]string // by key of a job, folded
}

// headingsOf takes in what a site says of its lists' headings.
func headingsOf(s *record.Site) headings {
	h := headings{own: map[string][]string{}}
	if s != nil {
		for key, texts := range s.Columns {
			for _, t := range texts {
				h.own[key] = append(h.own[key], fold(t.S))
			}
		}
	}
	return h
}

// fold brings a heading to the form in which it is compared: small letters and
// figures without accents, everything else a single space.
func fold(s string) string {
	var b strings.Builder
	gap := false
	for _, c := range norm.NFD.String(strings.ToLower(s)) {
		switch {
		case unicode.Is(unicode.Mn, c):
		case unicode.IsLetter(c) || unicode.IsDigit(c) || c == '°':
			if gap && b.Len() > 0 {
				b.WriteByte(' ')
			}
			gap = false
			if c == 'º' || c == '°' {
				c = 'o' // nº is no
			}
			b.WriteRune(c)
		default:
			gap = true
		}
	}
	return b.String()
}

// key gives what a heading stands for by the words that all sites share, "" for
// one that is not known. A word that the site uses for something else is that.
func (h headings) key(folded string) (key string, own bool) {
	for _, k := range record.JobKeys {
		if slices.Contains(h.own[k], folded) {
			return k, true
		}
	}
	for _, k := range record.JobKeys {
		if slices.Contains(known[k], folded) {
			return k, false
		}
	}
	return "", false
}

// within is how many rows may stand above the headings: a title, a date of
// printing.
const within = 30

// find gives the row of the headings and the columns found in it, by key: the
// first of the rows that has the most of them. There are none where no row has two.
func (h headings) find(g *grid) (at *gridRow, found map[string][]int) {
	for i := range min(within, len(g.rows)) {
		r := &g.rows[i]
		got := map[string][]int{}
		site := map[string]bool{}
		for c := range r.cells {
			key, own := h.key(fold(r.cells[c]))
			switch {
			case key == "" || site[key] && !own:
			case own && !site[key]:
				got[key], site[key] = []int{c + 1}, true
			default:
				got[key] = append(got[key], c+1)
			}
		}
		if len(got) >= 2 && len(got) > len(found) {
			at, found = r, got
		}
	}
	return at, found
}

// columns settles which column is what, and reports what is missing or doubtful.
// It gives nil where the list cannot be read for that.
func (h headings) columns(g *grid, problems *diag.List) (at *gridRow, cols map[string]int) {
	at, found := h.find(g)
	if at == nil {
		problems.Errorf(diag.Pos{File: g.file, Line: 1}, "headings", "name the columns "+strings.Join(record.JobKeys, ", ")+" in one row, or say in site.yaml what they are called, such as columns: {unit: Equipment}",
			"%sfound no row of headings: none of the first %d rows names two or more of the columns", g.inSheet(), within)
		return nil, nil
	}
	cols = map[string]int{}
	ok := true
	for _, key := range record.JobKeys {
		list := found[key]
		switch {
		case len(list) > 1:
			ok = false
			problems.Errorf(g.pos(at, list[1]), "headings", "say in site.yaml which it is, such as columns: {"+key+": "+at.cell(list[0])+"}",
				"%s: both %q and %q (%s) may be the column %s", g.name(at, list[1]), at.cell(list[0]), at.cell(list[1]), g.name(at, list[0]), key)
		case len(list) == 1:
			cols[key] = list[0]
		case slices.Contains(wanted, key):
			ok = false
			hint := "add it, or say in site.yaml what it is called, such as columns: {" + key + ": its heading}"
			if near := h.near(at, key); near != "" {
				hint = fmt.Sprintf("is it %q? ", near) + hint
			}
			problems.Errorf(g.pos(at, 0), "headings", hint, "%srow %d has no heading for the column %s", g.inSheet(), at.n, key)
		default:
			if near := h.near(at, key); near != "" {
				problems.Warnf(g.pos(at, 0), "headings", fmt.Sprintf("is it %q? then say in site.yaml columns: {%s: %s}", near, key, near), "%srow %d has no heading for the column %s", g.inSheet(), at.n, key)
			}
		}
	}
	if !ok {
		return nil, nil
	}
	return at, cols
}

// near gives a heading that is not known but nearly one for the key, or "". Short
// words are near to too many others.
func (h headings) near(r *gridRow, key string) string {
	for c := range r.cells {
		f := fold(r.cells[c])
		if k, _ := h.key(f); k == "" && len(f) > 4 && diag.Nearest(f, slices.Concat(known[key], h.own[key])) != "" {
			return r.cell(c + 1)
		}
	}
	return ""
}

// inSheet names the sheet of a workbook, for the beginning of a message.
func (g *grid) inSheet() string {
	if g.sheet == "" {
		return ""
	}
	return fmt.Sprintf("sheet %q: ", g.sheet)
}
