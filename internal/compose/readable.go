package compose

import (
	"regexp"
	"strings"
	"sync"
)

// quantityIn is an amount as formulas have it.
var quantityIn = regexp.MustCompile(`\bq\("([^"]*)"\)`)

// leadOf is what says which end of a band a formula is of.
var leadOf = regexp.MustCompile(`^\pL+: `)

// signs puts the operators of formulas as a handbook has them.
var signs = strings.NewReplacer(" * ", " · ", " - ", " − ", "<=", "≤", ">=", "≥", "!=", "≠", "==", "=", " ** 2", "²", " ** 3", "³", `"`, "")

// readables keeps the formulas that readable put into words: those of a procedure are the
// same for each of its jobs. Should a process ever see many, all are dropped.
type readables struct {
	sync.Mutex
	made map[string]string
}

const mostReadable = 10_000

func (k *readables) of(formula string, read func(string) string) string {
	k.Lock()
	defer k.Unlock()
	said, ok := k.made[formula]
	if !ok {
		if k.made == nil || len(k.made) >= mostReadable {
			k.made = map[string]string{}
		}
		said = read(formula)
		k.made[formula] = said
	}
	return said
}

// readable gives a formula of a template, for which it has no notation of a handbook, to a
// reader who knows no program: amounts plain, and of a choice the sides before what
// decides.
func (r *run) readable(formula string) string { return r.c.readable.of(formula, r.read) }

func (r *run) read(formula string) string {
	ends := strings.Split(quantityIn.ReplaceAllString(formula, "$1"), "; ")
	for i, s := range ends {
		lead := leadOf.FindString(s)
		ends[i] = lead + r.sides(s[len(lead):])
	}
	return signs.Replace(strings.Join(ends, "; "))
}

// sides puts a choice into words: its first side, its condition, its other side.
func (r *run) sides(s string) string {
	ask, other := -1, -1
	depth, asked, quoted := 0, 0, false
	for i, c := range s {
		switch {
		case c == '"':
			quoted = !quoted
		case quoted:
		case strings.ContainsRune("([", c):
			depth++
		case strings.ContainsRune(")]", c):
			depth--
		case depth > 0:
		case c == '?':
			if asked++; ask < 0 {
				ask = i
			}
		case c == ':' && asked > 0:
			if asked--; asked == 0 && other < 0 {
				other = i
			}
		}
	}
	if ask < 0 || other < ask {
		return s
	}
	part := func(from, to int) string { return strings.TrimSpace(s[from:to]) }
	return r.WordWith("annex.choice", "yes", r.sides(part(ask+1, other)), "when", part(0, ask), "no", r.sides(part(other+1, len(s))))
}
