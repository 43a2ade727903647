package review

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
)

// look is a review of one packet under way.
type look struct {
	*Packet
	*board
	came   map[int]register.Paper // the papers that count, by page
	marks  map[string]register.Mark
	undone map[string]*undone // by step
	found  []Finding
}

func (l *look) find(f Finding) { l.found = append(l.found, f) }

// at makes a finding about a box.
func at(s *spot, key string, g Gravity, settle string, what word, about ...word) Finding {
	return Finding{Key: key, Gravity: g, Page: s.page, Step: s.Ask.Step, Box: s.ID, about: about, what: what, settle: settle}
}

// text is what was typed in of a box, "" where nothing was.
func (l *look) text(s *spot) string {
	if s == nil {
		return ""
	}
	return strings.TrimSpace(l.readings[s.ID].Text)
}

// written reports that something stands in a box: it is seen, or somebody typed it in.
func (l *look) written(s *spot) bool {
	return s != nil && (l.marks[s.ID] == register.Marked || l.text(s) != "")
}

// blank reports that nothing stands in a box of a page that came back.
func (l *look) blank(s *spot) bool {
	return s != nil && l.marks[s.ID] == register.Blank && l.text(s) == ""
}

// lacks gives the words of the places of a signature that are blank.
func (l *look) lacks(s *signature) (out []word) {
	for _, p := range []struct {
		spot *spot
		key  string
	}{{s.sign, "signature"}, {s.name, "name"}, {s.when, "time"}} {
		if l.blank(p.spot) {
			out = append(out, say(p.key))
		}
	}
	return out
}

// unsigned makes a finding of a signature that is not whole: what lacks is said, and the
// key tells whether the signature itself does.
func (l *look) unsigned(s *signature, key string, g Gravity, what string, about word, more ...pair) (f Finding, found bool) {
	lacks := l.lacks(s)
	if len(lacks) == 0 {
		return f, false
	}
	first, end := s.sign, "-unsigned"
	switch {
	case l.blank(s.sign):
	case l.blank(s.name):
		first, end, g = s.name, "-unnamed", max(g, proof)
	default:
		first, end, g = s.when, "-undated", max(g, proof)
	}
	return at(first, key+end, g, "sign", say(what, append([]pair{{"what", lacks}}, more...)...), about), true
}

// outstanding finds that nothing of a packet has come back.
func (l *look) outstanding(when When) {
	g := proof
	days := 0
	if when.Today != "" {
		today, err := time.Parse(time.DateOnly, when.Today)
		due, err2 := time.Parse(time.DateOnly, l.Job.Day)
		if days = int(today.Sub(due).Hours() / 24); err != nil || err2 != nil || days < when.Days {
			g = remark
		}
	}
	what := say("back", with("day", l.Job.Day), with("n", number(days)))
	if when.Today == "" || g == remark {
		what = say("back_yet", with("day", l.Job.Day))
	}
	l.find(Finding{Key: "back", Gravity: g, what: what, settle: "page"})
}

// pages finds pages that are missing, came twice, could not be read or are of another
// print.
func (l *look) pages() {
	others := map[int]register.Paper{}
	for _, p := range l.others {
		others[p.Page] = p
	}
	unread := map[int]register.Paper{}
	extra := map[int][]register.Paper{}
	for _, p := range l.papers {
		switch {
		case p.State == register.Unread:
			unread[p.Page] = p
		case !p.Counts:
			extra[p.Page] = append(extra[p.Page], p)
		}
	}
	var plain, alike []word
	for i := range l.Manifest.Pages {
		p := &l.Manifest.Pages[i]
		f := Finding{Page: p.Number, settle: "page"}
		counts, back := l.came[p.Number]
		switch other := others[p.Number]; {
		case back:
			if l.twice(p, counts, extra[p.Number]) {
				alike = append(alike, text(number(p.Number)))
			}
			continue
		case unread[p.Number].Event != 0:
			f.Key, f.Gravity, f.what = "unread-"+number(p.Number), desk, say("unread", with("why", unread[p.Number].Why))
			f.Picture, f.settle = unread[p.Number].Picture, "again"
		case len(p.Boxes) == 0:
			plain = append(plain, text(number(p.Number)))
			continue
		case other.Event != 0:
			f.Key, f.Gravity, f.what = "print-page-"+number(p.Number), proof, say("other_print", with("n", number(l.nth(other.Print))), with("of", number(l.Print.N)))
			f.Picture = other.Picture
		default:
			f.Key, f.Gravity, f.what = "missing-"+number(p.Number), proof, say("missing")
		}
		f.also, f.about = l.on(p.Number), l.spoken(p.Number)
		if len(f.about) > 0 && f.Gravity > work {
			f.Gravity = work
		}
		l.find(f)
	}
	for _, r := range []struct {
		key, what string
		pages     []word
	}{{"missing-unwritten", "missing_plain", plain}, {"twice-alike", "twice", alike}} {
		if len(r.pages) > 0 {
			l.find(Finding{Key: r.key, Gravity: remark, what: say(r.what, pair{"pages", r.pages})})
		}
	}
	if l.wordless {
		l.find(Finding{Key: "print-wordless", Gravity: proof, what: say("wordless"), settle: "decide"})
	}
	l.prints()
}

// nth gives the number of a print.
func (l *look) nth(event int64) int {
	for _, p := range l.Prints {
		if p.Event == event {
			return p.N
		}
	}
	return 0
}

// on gives the beginnings of the keys of what a page would show and no other does, and
// spoken the same in words: what a page that is missing leaves without proof.
func (l *look) on(page int) (keys []string) {
	for _, s := range l.spots {
		if s.page != page || s.Ask.For == manifest.ForLockOff && !l.point(s).asked {
			continue
		}
		if k := proves(s); k != "" && !slices.Contains(keys, k) {
			keys = append(keys, k)
		}
	}
	return keys
}

// proves gives the beginning of the keys of what a box alone would prove, "" of most.
func proves(s *spot) string {
	switch a := s.Ask; {
	case a.For == manifest.ForHold:
		return "hold-" + a.Step
	case a.For == manifest.ForZero:
		return "zero"
	case a.For == manifest.ForSign && a.Step == "":
		return "sign-" + key(s.row())
	case a.For == manifest.ForLockOff:
		return "lock-" + key(s.row())
	}
	return ""
}

func (l *look) spoken(page int) (out []word) {
	var locks, holds, roles []word
	for _, s := range l.spots {
		a := s.Ask
		if s.page != page {
			continue
		}
		once := func(list *[]word, t string) {
			if !slices.ContainsFunc(*list, func(w word) bool { return w.text == t }) {
				*list = append(*list, text(t))
			}
		}
		switch {
		case a.For == manifest.ForHold:
			once(&holds, a.Step)
		case a.For == manifest.ForZero:
			once(&locks, "")
		case a.For == manifest.ForSign && a.Step == "":
			once(&roles, a.Of)
		}
	}
	if len(locks) > 0 {
		out = append(out, say("locks_zero"))
	}
	if len(holds) > 0 {
		out = append(out, say("holds", pair{"steps", holds}))
	}
	if len(roles) > 0 {
		out = append(out, say("signatures", pair{"roles", roles}))
	}
	return out
}

// twice finds that a page came more than once, not alike: a remark where somebody chose
// which counts. It reports whether it came more than once, alike.
func (l *look) twice(p *manifest.Page, counts register.Paper, extra []register.Paper) (alike bool) {
	for _, e := range extra {
		var differ []word
		is := map[string]register.Mark{}
		for _, b := range e.Boxes {
			is[b.ID] = b.Is
		}
		for _, b := range counts.Boxes {
			if other, has := is[b.ID]; has && other != b.Is {
				differ = append(differ, text(b.ID))
			}
		}
		if len(differ) == 0 {
			alike = true
			continue
		}
		const most = 3 // boxes that are named
		first := differ[0].text
		if len(differ) > most {
			differ = append(differ[:most], text("…"))
		}
		f := Finding{Key: "twice-" + number(p.Number) + "-" + number(int(e.Event)), Page: p.Number, Box: first, Gravity: remark, settle: "choose",
			what: say("twice_differ", with("file", e.File), with("at", number(e.At)), with("paper", number(int(e.Event))), pair{"boxes", differ})}
		if counts.Event < e.Event { // the first to come counts as long as nobody chose
			f.Gravity = desk
		}
		l.find(f)
	}
	return alike
}

// prints finds that the packet was printed more than once, and which print was signed.
func (l *look) prints() {
	newest := l.Prints[len(l.Prints)-1]
	if len(l.Prints) == 1 {
		return
	}
	first := newest.Event + 1 // of the papers
	for _, p := range l.papers {
		first = min(first, p.Event)
	}
	of := []pair{with("n", number(l.Print.N)), with("of", number(len(l.Prints))), with("at", day(l.Print.At)), with("newest", day(newest.At)), with("id", l.Print.Fingerprint)}
	f := Finding{Key: "print-count", Gravity: remark, what: say("print_newest", of[0], of[1], of[2], of[4]), settle: "decide"}
	switch {
	case l.Print.Event == newest.Event:
	case newest.Event < first:
		f.Key, f.Gravity, f.what = "print-older-"+number(newest.N), danger, say("print_older", of...)
	default:
		f.Key, f.Gravity, f.what = "print-again-"+number(newest.N), proof, say("print_again", of...)
	}
	l.find(f)
}

// day gives the day of a moment as the register has it.
func day(at string) string {
	d, _, _ := strings.Cut(at, "T")
	return d
}

// unsure finds boxes of which the scan does not say whether they are marked. Where
// something was typed in somebody has looked, and of what may stay empty nobody has to.
func (l *look) unsure() {
	for _, s := range l.spots {
		if l.marks[s.ID] != register.Unsure || l.text(s) != "" || s.Hatched {
			continue
		}
		switch s.Ask.For {
		case manifest.ForWords, manifest.ForSupply:
			continue
		}
		f := at(s, "unsure-"+number(s.page)+"-"+s.ID, desk, "look", say("unsure"), l.called(s)...)
		if f.alike = true; proves(s) != "" {
			f.also = []string{proves(s)}
		}
		l.find(f)
	}
}

// called says which box one is, behind its page and step.
func (l *look) called(s *spot) []word {
	a := s.Ask
	switch a.For {
	case manifest.ForDone:
		return []word{say("tick")}
	case manifest.ForStage:
		return []word{say("stage", with("n", a.Step))}
	case manifest.ForHold:
		return []word{say("hold"), text(a.Label)}
	case manifest.ForZero:
		return []word{say("zero"), text(a.Label)}
	case manifest.ForLock, manifest.ForLockOn, manifest.ForProved, manifest.ForLockOff:
		return []word{text(cmp.Or(strings.TrimSpace(a.Of+" "+a.Label), s.ID))}
	case manifest.ForNotDone, manifest.ForMissed:
		return []word{say("not_done"), text(a.Of)}
	case manifest.ForHeld:
		return []word{say("held")}
	}
	return []word{text(cmp.Or(strings.TrimSpace(strings.ReplaceAll(a.Of, "_", " ")+" "+a.Label), s.ID))}
}
