package review

import (
	"slices"
	"strings"

	"jobsheaf/internal/register"
)

// Gravity says how much a finding matters.
type Gravity int

// The gravities, the gravest first.
const (
	danger Gravity = iota + 1 // somebody could have been hurt
	work                      // the work may not be right
	proof                     // nothing shows that it was done
	desk                      // something is left to do at the desk
	remark                    // it is said and asks for nothing
)

var gravities = map[Gravity]string{danger: "danger", work: "work", proof: "proof", desk: "desk", remark: "remark"}

func (g Gravity) String() string { return gravities[g] }

// Finding is one thing that is wrong or missing, or worth a remark.
type Finding struct {
	// Key names it among those of a packet, the same for as long as what was found is the
	// same: "hold-6.3-unsigned". Its first part is what it is about. A reading beyond its limits
	// has it in its key, so that another is another finding.
	Key     string
	also    []string // beginnings of the keys of what it stands for: a page that is missing, for the hold points on it
	Gravity Gravity
	Page    int // 0 of none
	Step    string
	Box     string // the first that it is about
	Picture string // SHA-256 of the picture of the page, "" where there is none
	Let     *Let   // who let it through; nil: nobody

	about  []word // what it is about, behind page and step
	what   word
	settle string // the key of what would settle it
	alike  bool   // of several with the same words on a page one line is made
}

// Let is who let a finding through, and why.
type Let struct {
	Who string `json:"who"`
	Why string `json:"why"`
	At  string `json:"at"`
}

// Say puts it into words.
func (l *Let) Say(words Words) string {
	if l.Why == "" {
		return words("let_whyless", "who", l.Who, "at", day(l.At))
	}
	return words("let", "who", l.Who, "at", day(l.At), "why", l.Why)
}

// Stands reports that a finding bars the packet from being closed.
func (f *Finding) Stands() bool { return f.Gravity != remark && f.Let == nil }

// Lumped reports whether a finding may be let through with others of its kind: what could
// have hurt somebody, and what the work hangs on, is looked at one by one.
func (f *Finding) Lumped() bool { return f.Gravity > work }

// Is reports whether a finding is of what a name says: its key, or the first parts of it,
// such as hold or sign-second.
func (f *Finding) Is(name string) bool {
	begins := func(key string) bool {
		rest, ok := strings.CutPrefix(key, name)
		return ok && (rest == "" || rest[0] == '-' || rest[0] == '=')
	}
	return begins(f.Key) || slices.ContainsFunc(f.also, begins)
}

// Topics are the first parts of keys, with what findings of each are about.
var Topics = [][2]string{
	{"lock", "locks put on and not off, or not signed for"},
	{"zero", "zero energy"},
	{"hold", "hold points"},
	{"limit", "readings outside their limits"},
	{"wear", "verdicts on parts that wear"},
	{"instrument", "instruments without a number or out of calibration"},
	{"sign", "signatures at the end and at steps; sign-second is the second person's"},
	{"step", "steps not ticked; those that were not done, with why"},
	{"stage", "stages without initials"},
	{"blank", "readings and initials that are not on the paper"},
	{"missing", "pages that have not come back"},
	{"back", "packets of which nothing has come back"},
	{"print", "packets printed more than once, pages of another print"},
	{"twice", "pages that came twice"},
	{"unread", "pages that could not be read"},
	{"unsure", "boxes that a person has to look at"},
	{"untyped", "readings not typed in"},
}

// finish gives a finding its picture, and who let it through.
func (l *look) finish(f *Finding) {
	if f.Picture == "" {
		f.Picture = l.came[f.Page].Picture
	}
	for _, d := range l.decisions {
		if !d.Holds {
			continue
		}
		accepted := d.Kind == register.Accept && d.Print == l.Print.Event && d.Finding == f.Key
		if accepted || d.Kind == register.MakeVoid && f.Gravity != remark {
			f.Let = &Let{d.Who, d.Why, d.At}
		}
	}
}

// word is something to say: a key of the catalogue with what fills its placeholders, or,
// where there is no key, a text as the paper has it.
type word struct {
	key   string
	text  string
	pairs []pair
}

// pair fills a placeholder.
type pair struct {
	name string
	list []word
}

func text(s string) word { return word{text: s} }

func say(key string, pairs ...pair) word { return word{key: key, pairs: pairs} }

func with(name, s string) pair { return pair{name, []word{text(s)}} }

// Words gives the fixed words of this room; Say of words.Room does.
type Words func(key string, pairs ...string) string

func (w word) say(words Words) string {
	if w.key == "" {
		return w.text
	}
	var pairs []string
	for _, p := range w.pairs {
		pairs = append(pairs, p.name, joined(p.list, words))
	}
	return words(w.key, pairs...)
}

func joined(list []word, words Words) string {
	var out []string
	for _, w := range list {
		if s := w.say(words); s != "" {
			out = append(out, s)
		}
	}
	return strings.Join(out, ", ")
}

// Said is a line of a report: one finding, or several alike on a page.
type Said struct {
	Findings []Finding
	Where    string // page, step and what it is about, in the paper's own words
	What     string
	Settle   string // what would settle it; "" of a remark and of what was let through
}

// Say puts findings into words, those alike into one line.
func Say(list []Finding, words Words) []Said {
	var out []Said
	at := map[string]int{}
	for _, f := range list {
		what := f.what.say(words)
		if f.alike {
			group := strings.Join([]string{f.what.key, what, f.letKey(), words("page", "n", number(f.Page))}, "\x00")
			if i, ok := at[group]; ok {
				out[i].Findings = append(out[i].Findings, f)
				continue
			}
			at[group] = len(out)
		}
		s := Said{Findings: []Finding{f}, What: what}
		if f.Stands() {
			s.Settle = words("settle." + f.settle)
		}
		out = append(out, s)
	}
	for i := range out {
		out[i].Where = where(out[i].Findings, words)
	}
	return out
}

func (f *Finding) letKey() string {
	if f.Let == nil {
		return ""
	}
	return f.Let.Who + "\x00" + f.Let.Why
}

// where says the page once, each step once, and what each finding is about.
func where(list []Finding, words Words) string {
	var parts []string
	if list[0].Page > 0 {
		parts = append(parts, words("page", "n", number(list[0].Page)))
	}
	last := ""
	for _, f := range list {
		if f.Step != "" && f.Step != last {
			last = f.Step
			parts = append(parts, words("step", "n", f.Step))
		}
		for _, w := range f.about {
			if s := w.say(words); s != "" && !slices.Contains(parts, s) {
				parts = append(parts, s)
			}
		}
	}
	return strings.Join(parts, ", ")
}
