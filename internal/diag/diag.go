// Package diag holds the problems that the program finds in what it is given:
// each with its place, its weight, the rule it breaks and a hint.
//
// Entry points: List, to which a stage adds problems, and Problem.String.
// It belongs here if every stage needs it to say what is wrong with an input.
// It is not for faults of the machine (a full disk, a bug): those are Go errors.
package diag

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Pos is a place in an input file. Line and Col count from 1, columns in runes
// as an editor shows them. A zero Line means the file as a whole.
type Pos struct {
	File string `json:"file"`
	Line int    `json:"line,omitempty"`
	Col  int    `json:"col,omitempty"`
}

// String gives file:line:col, leaving out what is not known.
func (p Pos) String() string {
	switch {
	case p.File == "" && p.Line == 0:
		return "-"
	case p.Line == 0:
		return p.File
	case p.Col == 0:
		return p.File + ":" + strconv.Itoa(p.Line)
	}
	return p.File + ":" + strconv.Itoa(p.Line) + ":" + strconv.Itoa(p.Col)
}

// Compare orders places by file, line and column.
func (p Pos) Compare(q Pos) int {
	return cmp.Or(strings.Compare(p.File, q.File), cmp.Compare(p.Line, q.Line), cmp.Compare(p.Col, q.Col))
}

// Severity says whether a problem stops the job that it concerns.
type Severity uint8

const (
	// Warning is worth a look; the packet is still printed.
	Warning Severity = iota + 1
	// Error stops every packet that depends on the place, and no other.
	Error
)

func (s Severity) String() string {
	if s == Error {
		return "error"
	}
	return "warning"
}

// MarshalText writes the severity as its word, for JSON.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Problem is one thing wrong with an input.
type Problem struct {
	Pos      Pos      `json:"at"`
	Severity Severity `json:"severity"`
	Rule     string   `json:"rule"`    // short, hyphenated, described in README.md
	Message  string   `json:"message"` // what was found and what is wanted
	Hint     string   `json:"hint,omitempty"`
	Related  []Pos    `json:"related,omitempty"` // other places that contribute, such as the first of two
	Lack     *Lack    `json:"lack,omitempty"`    // of a value that is not on record
	Open     bool     `json:"open,omitempty"`    // what is not on record decides whether it is one
}

// Lack is one value that a record lacks, kept apart from the message so that those
// of one record can be gathered.
type Lack struct {
	Name string   `json:"name"` // such as end_clearance.set, joints.head.thread
	What string   `json:"what,omitempty"`
	In   string   `json:"in"`  // the record, such as design ring-gear-b, size 65
	By   string   `json:"by"`  // who needs it: a unit and a procedure
	For  []string `json:"for"` // what for
}

// String gives the lines that a person reads on the terminal.
func (p Problem) String() string { return p.Beside("") }

// Beside gives the same, with the line of the file that the problem is in, and a caret
// under the place. "" leaves both out.
func (p Problem) Beside(line string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s: %s [%s]", p.Pos, p.Severity, p.Message, p.Rule)
	if line != "" && p.Pos.Col > 0 {
		b.WriteString(excerpt(line, p.Pos))
	}
	if p.Hint != "" {
		fmt.Fprintf(&b, "\n    hint: %s", p.Hint)
	}
	for _, r := range p.Related {
		fmt.Fprintf(&b, "\n    see also: %s", r)
	}
	return b.String()
}

// width is how much of a line is shown, in runes.
const width = 72

// excerpt shows a line with a caret under a place; of a long line, what is around it.
func excerpt(line string, at Pos) string {
	shown := []rune(line)
	for i, r := range shown {
		if !unicode.IsPrint(r) || r == unicode.ReplacementChar { // a tab, what would drive the terminal, what is not UTF-8
			shown[i] = ' '
		}
	}
	col := min(at.Col-1, len(shown))
	if len(shown) > width {
		from := max(0, min(col-width/2, len(shown)-width))
		to := from + width
		cut := slices.Clone(shown[from:to])
		if from > 0 {
			cut[0] = '…'
		}
		if to < len(shown) {
			cut[width-1] = '…'
		}
		shown, col = cut, col-from
	}
	number := strconv.Itoa(at.Line)
	return fmt.Sprintf("\n    %s | %s\n    %s | %s^", number, strings.TrimRight(string(shown), " "), strings.Repeat(" ", len(number)), strings.Repeat(" ", col))
}

// List is the problems of a run. The zero List is empty and ready to use.
type List []Problem

// Add appends a problem.
func (l *List) Add(p Problem) { *l = append(*l, p) }

// Errorf appends an error; the hint may be empty.
func (l *List) Errorf(at Pos, rule, hint, format string, args ...any) {
	l.Add(Problem{Pos: at, Severity: Error, Rule: rule, Hint: hint, Message: fmt.Sprintf(format, args...)})
}

// Warnf appends a warning; the hint may be empty.
func (l *List) Warnf(at Pos, rule, hint, format string, args ...any) {
	l.Add(Problem{Pos: at, Severity: Warning, Rule: rule, Hint: hint, Message: fmt.Sprintf(format, args...)})
}

// HasErrors reports whether any problem is an error.
func (l List) HasErrors() bool {
	return slices.ContainsFunc(l, func(p Problem) bool { return p.Severity == Error })
}

// Sorted gives the list in order of place, then weight (errors first), then
// words, with doubles removed. The receiver is left as it is.
func (l List) Sorted() List {
	out := slices.Clone(l)
	slices.SortStableFunc(out, func(a, b Problem) int {
		return cmp.Or(a.Pos.Compare(b.Pos), cmp.Compare(b.Severity, a.Severity),
			strings.Compare(a.Rule, b.Rule), strings.Compare(a.Message, b.Message))
	})
	return slices.CompactFunc(out, func(a, b Problem) bool {
		return a.Pos == b.Pos && a.Severity == b.Severity && a.Rule == b.Rule && a.Message == b.Message
	})
}

// Nearest gives the candidate closest to word, for "did you mean" hints, or ""
// where none is near enough to be meant (more than a third of the letters, and
// more than two, would have to change).
func Nearest(word string, candidates []string) string {
	best, bestDist := "", 1+max(2, len([]rune(word))/3)
	for _, c := range candidates {
		if d := distance(strings.ToLower(word), strings.ToLower(c)); d < bestDist {
			best, bestDist = c, d
		}
	}
	return best
}

// DidYouMean is the hint that names the candidates that have a word in them, such as
// outside micrometer for micrometer, else the one that is nearest; "" where none is near
// enough to be meant.
func DidYouMean(word string, candidates []string) string {
	var within []string
	for _, c := range candidates {
		if len(word) > 3 && c != word && slices.Contains(strings.Fields(strings.ToLower(c)), strings.ToLower(word)) {
			within = append(within, c)
		}
	}
	if len(within) > 0 {
		return "did you mean " + Some(within, 4) + "?"
	}
	if near := Nearest(word, candidates); near != "" && near != word {
		return "did you mean " + near + "?"
	}
	return ""
}

// few is how many names a hint lists; of more it names one.
const few = 8

// OneOf is the hint for a word that is not one of the names: DidYouMean, else all of
// them where they are few, else the one that has most in common with the word. It is ""
// where there are no names.
func OneOf(word string, names []string) string {
	if hint := DidYouMean(word, names); hint != "" || len(names) == 0 {
		return hint
	}
	names = slices.Sorted(slices.Values(names))
	if len(names) <= few {
		return "there are: " + strings.Join(names, ", ")
	}
	return "the nearest is " + slices.MinFunc(names, func(a, b string) int {
		return cmp.Or(cmp.Compare(shared(word, b), shared(word, a)), cmp.Compare(distance(word, a), distance(word, b)))
	})
}

// shared counts the parts that two names have in common, as dial-clock and
// dial-indicator have one.
func shared(a, b string) (n int) {
	parts := func(s string) []string {
		return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return strings.ContainsRune(" .-_", r) })
	}
	for _, part := range parts(a) {
		if slices.Contains(parts(b), part) {
			n++
		}
	}
	return n
}

// Some lists names for a hint, the first few where there are more than most.
func Some(names []string, most int) string {
	if len(names) > most {
		return fmt.Sprintf("%s (and %d more)", strings.Join(names[:most], ", "), len(names)-most)
	}
	return strings.Join(names, ", ")
}

// distance is the Levenshtein distance between two words, in runes.
func distance(a, b string) int {
	ra, rb := []rune(a), []rune(b)
	if len(ra) > 80 || len(rb) > 80 {
		return 80
	}
	row := make([]int, len(rb)+1)
	for j := range row {
		row[j] = j
	}
	for i, x := range ra {
		prev := row[0]
		row[0] = i + 1
		for j, y := range rb {
			cost := prev
			if x != y {
				cost++
			}
			prev = row[j+1]
			row[j+1] = min(cost, row[j+1]+1, row[j]+1)
		}
	}
	return row[len(rb)]
}
