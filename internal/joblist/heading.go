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

// wanted are the columns that a list cannot do without.
var wanted = []string{"job", "unit", "procedure", "day"}

// columnKeys are what a column may be.
var columnKeys = append(slices.Clone(record.JobKeys), statusKey)

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

// fold brings a text to the form in which it is compared: small letters and figures
// without accents, everything else a single space.
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

// maxHeading is the most bytes of a heading: whatever is longer is a text.
const maxHeading = 120

// key gives what a heading stands for, "" for one that is not known: by the site's
// words, else by those that all sites share. A heading may say the same in two
// languages, "Job / Trabajo", and how its days are written, "Date (dd/mm/yyyy)".
func (h headings) key(heading string) (key string, own bool) {
	if len(heading) > maxHeading {
		return "", false
	}
	if key, own = h.word(fold(heading)); key != "" {
		return key, own
	}
	parts := strings.FieldsFunc(heading, func(c rune) bool { return strings.ContainsRune("/|()[]\n–—-", c) })
	bare := heading
	if open := strings.IndexAny(heading, "(["); open > 0 {
		if _, ok := headingOrders[fold(heading[open:])]; ok {
			bare = heading[:open]
			parts = strings.FieldsFunc(bare, func(c rune) bool { return strings.ContainsRune("/|\n–—-", c) })
		}
	}
	for i, p := range parts {
		k, o := h.word(fold(p))
		if k == "" || i > 0 && k != key {
			return "", false
		}
		key, own = k, own || o
	}
	return key, own
}

// word gives what one word of a heading, or several, stand for.
func (h headings) word(folded string) (key string, own bool) {
	for _, k := range columnKeys {
		if slices.Contains(h.own[k], folded) {
			return k, true
		}
	}
	for _, k := range columnKeys {
		if slices.Contains(known[k], folded) {
			return k, false
		}
	}
	return "", false
}

// headingOrder gives the order in which the heading of the day says that days are
// written, "" where it does not.
func headingOrder(heading string) string {
	if open := strings.IndexAny(heading, "(["); open > 0 {
		return headingOrders[fold(heading[open:])]
	}
	return ""
}

// within is how many rows may come before the headings: a title, a date of
// printing.
const within = 30

// find gives the row of the headings and the columns found in it, by key: the
// first of the rows that has the most of them. There are none where no row has two.
func (h headings) find(g *grid) (at *gridRow, found map[string][]int) {
	for i := range min(within, len(g.rows)) {
		r := &g.rows[i]
		if got := h.keys(r); len(got) >= 2 && len(got) > len(found) {
			at, found = r, got
		}
	}
	return at, found
}

// keys gives the columns that a row names, by key.
func (h headings) keys(r *gridRow) map[string][]int {
	got := map[string][]int{}
	site := map[string]bool{}
	for c := range r.cells {
		key, own := h.key(r.cell(c + 1))
		switch {
		case key == "" || site[key] && !own:
		case own && !site[key]:
			got[key], site[key] = []int{c + 1}, true
		default:
			got[key] = append(got[key], c+1)
		}
	}
	return got
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
	for _, key := range columnKeys {
		list := found[key]
		switch {
		case len(list) > 1 && g.alike(at, list):
			cols[key] = list[0]
		case len(list) > 1:
			ok = false
			a, b := at.cell(list[0]), at.cell(list[1])
			hint := "say in site.yaml which it is, such as columns: {" + key + ": " + a + "}"
			if h.same(a, b) {
				hint = "give the column that is not meant another heading"
			}
			problems.Errorf(g.pos(at, list[1]), "headings", hint, "%s: both %q and %q (%s) may be the column %s", g.name(at, list[1]), a, b, g.name(at, list[0]), key)
		case len(list) == 1:
			cols[key] = list[0]
		case slices.Contains(wanted, key):
			ok = false
			hint := "add it, or say in site.yaml what it is called, such as columns: {" + key + ": its heading}"
			if near := h.near(at, key); near != "" {
				hint = fmt.Sprintf("is it %q? ", near) + hint
			}
			problems.Errorf(g.pos(at, 0), "headings", hint, "%srow %d has no heading for the column %s", g.inSheet(), at.n, key)
		}
	}
	h.unread(g, at, found, problems)
	if !ok {
		return nil, nil
	}
	return at, cols
}

// same reports whether two headings are the same word to a site's record.
func (h headings) same(a, b string) bool { return fold(a) == fold(b) }

// alike reports whether columns say the same in every row below the headings, so
// that it does not matter which is read.
func (g *grid) alike(head *gridRow, list []int) bool {
	for i := range g.rows {
		r := &g.rows[i]
		if r.n <= head.n {
			continue
		}
		for _, c := range list[1:] {
			if r.cell(c) != r.cell(list[0]) {
				return false
			}
		}
	}
	return true
}

// unread names the columns that are not read: each that may be meant for one that
// the list lacks, and the others in one line.
func (h headings) unread(g *grid, head *gridRow, found map[string][]int, problems *diag.List) {
	used := map[int]bool{}
	for _, list := range found {
		for _, c := range list {
			used[c] = true
		}
	}
	var rest []string
	first, widest := 0, len(head.cells)
	for i := range g.rows {
		if r := &g.rows[i]; r.n > head.n {
			widest = max(widest, len(r.cells))
		}
	}
	for c := 1; c <= widest; c++ {
		text := head.cell(c)
		switch {
		case used[c]:
			if g.hidden[c] {
				problems.Warnf(g.pos(head, c), "hidden-columns", "", "%s: the column %q is hidden; it is read as well", g.name(head, c), text)
			}
			continue
		case text == "" && !g.holds(head, c):
			continue
		}
		if key := h.suggest(text); key != "" && len(found[key]) == 0 {
			problems.Warnf(g.pos(head, c), "unread-columns", fmt.Sprintf("is it the column %s? then say in site.yaml columns: {%s: %s}", key, key, clip(text)), "%s: the column %q is not read", g.name(head, c), clip(text))
			continue
		}
		if first == 0 {
			first = c
		}
		name := letters(c) + " without a heading"
		if text != "" {
			name = fmt.Sprintf("%q (%s)", clip(text), letters(c))
		}
		if g.hidden[c] {
			name += ", which is hidden"
		}
		rest = append(rest, name)
	}
	switch {
	case len(rest) == 1:
		problems.Warnf(g.pos(head, first), "unread-columns", "", "%sthis column is not read: %s", g.inSheet(), rest[0])
	case len(rest) > 1:
		problems.Warnf(g.pos(head, first), "unread-columns", "", "%sthese columns are not read: %s", g.inSheet(), diag.Some(rest, 10))
	}
}

// holds reports whether a column has anything below the headings.
func (g *grid) holds(head *gridRow, col int) bool {
	return slices.ContainsFunc(g.rows, func(r gridRow) bool { return r.n > head.n && r.cell(col) != "" })
}

// suggest gives the column that a heading which is not known may be meant for, ""
// where nothing is near.
func (h headings) suggest(heading string) string {
	f := fold(heading)
	if len(heading) > maxHeading || f == "" {
		return ""
	}
	for _, w := range strings.Fields(f) {
		if k := meant[w]; k != "" {
			return k
		}
	}
	best, nearest := "", 3 // a word of two other letters is another word
	for _, k := range columnKeys {
		for _, w := range slices.Concat(h.own[k], known[k]) {
			if len(w) > 4 && len(f) > 4 && diag.Nearest(f, []string{w}) != "" && abs(len(w)-len(f)) < nearest {
				best, nearest = k, abs(len(w)-len(f))
			}
		}
	}
	return best
}

func abs(n int) int { return max(n, -n) }

// near gives a heading that is not known but may be meant for the key, or "".
func (h headings) near(r *gridRow, key string) string {
	for c := range r.cells {
		if k, _ := h.key(r.cell(c + 1)); k == "" && h.suggest(r.cell(c+1)) == key {
			return r.cell(c + 1)
		}
	}
	return ""
}
