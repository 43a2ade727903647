package review

import (
	"strconv"
	"strings"

	"jobsheaf/internal/manifest"
)

// board is the boxes of a packet by what they ask for.
type board struct {
	spots    []*spot
	stages   []*stage
	steps    []*step // in the order of the packet
	byNumber map[string]*step
	points   []*point
	zero     signature
	proofs   []*spot // ticks of the proof of zero energy
	held     []*spot // ticks of the hold points on the sign-off
	roles    []*signature
	features []*feature
	tools    []*feature // instruments, with their number and due day alone
	rows     []*row     // of what was not done
	missed   *spot      // the room for that of a short job
	wordless bool       // it was printed before packets said what their boxes ask for
}

// spot is a box on its page.
type spot struct {
	*manifest.Box
	page int
}

// part gives the last part of a box's ID: name, sign and when of a signature.
func (s *spot) part() string { return s.ID[strings.LastIndexByte(s.ID, '.')+1:] }

// row gives a box's ID without its last part: that of the row in which it stands.
func (s *spot) row() string { return strings.TrimSuffix(s.ID, "."+s.part()) }

// stage is a stage with where its initials and its end stand.
type stage struct {
	number string
	by, at *spot
	steps  []*step
}

// step is a step with what is written at it.
type step struct {
	number string
	stage  *stage
	nth    int   // in the packet
	done   *spot // its tick
	hold   signature

	readings, whens, words []*spot
}

// signature is the places of one signature.
type signature struct {
	id, role         string
	name, sign, when *spot
}

func (s *signature) add(b *spot) {
	s.id, s.role = b.row(), b.Ask.Of
	switch b.part() {
	case "name":
		s.name = b
	case "when":
		s.when = b
	default:
		s.sign = b
	}
}

// point is a row of locks: an isolation point, or a person.
type point struct {
	id, of              string
	asked               bool // it is a row that the packet filled in
	lock                *spot
	on, proved, removed *spot
}

// feature is what is measured on the wear sheet, or an instrument.
type feature struct {
	id, name                 string
	readings                 []*spot
	left                     *spot
	reuse, replace, replaced *spot
	number, due              *spot
	tool                     string
}

// row is a row of what was not done.
type row struct{ step, why, by *spot }

func boardOf(m *manifest.Manifest) *board {
	b := &board{byNumber: map[string]*step{}, wordless: true}
	boxes := 0
	for i := range m.Pages {
		for k := range m.Pages[i].Boxes {
			boxes++
			s := &spot{&m.Pages[i].Boxes[k], m.Pages[i].Number}
			if s.Ask != nil {
				b.wordless = false
				b.spots = append(b.spots, s)
				b.add(s)
			}
		}
	}
	b.wordless = b.wordless && boxes > 0
	return b
}

func (b *board) add(s *spot) {
	a := s.Ask
	switch a.For {
	case manifest.ForDone:
		b.step(a.Step).done = s
	case manifest.ForStage:
		st := b.stage(a.Step)
		if s.part() == "by" {
			st.by = s
		} else {
			st.at = s
		}
	case manifest.ForHold:
		b.step(a.Step).hold.add(s)
	case manifest.ForZero:
		b.zero.add(s)
	case manifest.ForHeld:
		b.held = append(b.held, s)
	case manifest.ForReading:
		switch {
		case a.Step != "":
			st := b.step(a.Step)
			st.readings = append(st.readings, s)
		case s.part() == "as-left":
			b.feature(&b.features, s).left = s
		default:
			f := b.feature(&b.features, s)
			f.readings = append(f.readings, s)
		}
	case manifest.ForVerdict:
		f := b.feature(&b.features, s)
		switch s.part() {
		case "reuse":
			f.reuse = s
		case "replace":
			f.replace = s
		default:
			f.replaced = s
		}
	case manifest.ForNumber, manifest.ForDue:
		list := &b.tools
		if strings.HasPrefix(s.ID, "wear.") {
			list = &b.features
		}
		f := b.feature(list, s)
		if f.tool = a.Tool; a.For == manifest.ForNumber {
			f.number = s
		} else {
			f.due = s
		}
	case manifest.ForSign:
		if a.Step != "" { // somebody else's at a step
			st := b.step(a.Step)
			st.whens = append(st.whens, s)
			return
		}
		b.role(s).add(s)
	case manifest.ForInitial, manifest.ForWhen:
		if a.Step != "" {
			st := b.step(a.Step)
			st.whens = append(st.whens, s)
		}
	case manifest.ForWords:
		if a.Step != "" {
			st := b.step(a.Step)
			st.words = append(st.words, s)
		}
	case manifest.ForTick:
		if a.Step == "" {
			b.proofs = append(b.proofs, s)
		}
	case manifest.ForLock, manifest.ForLockOn, manifest.ForProved, manifest.ForLockOff:
		p := b.point(s)
		switch a.For {
		case manifest.ForLock:
			p.lock = s
		case manifest.ForLockOn:
			p.on = s
		case manifest.ForProved:
			p.proved = s
		default:
			p.removed = s
		}
	case manifest.ForNotDone:
		r := b.notDone(s)
		switch s.part() {
		case "step":
			r.step = s
		case "why":
			r.why = s
		default:
			r.by = s
		}
	case manifest.ForMissed:
		b.missed = s
	}
}

func (b *board) stage(number string) *stage {
	for _, s := range b.stages {
		if s.number == number {
			return s
		}
	}
	s := &stage{number: number}
	b.stages = append(b.stages, s)
	return s
}

func (b *board) step(number string) *step {
	if s := b.byNumber[number]; s != nil {
		return s
	}
	before, _, _ := strings.Cut(number, ".")
	st := b.stage(before)
	s := &step{number: number, stage: st, nth: len(b.steps)}
	b.steps, b.byNumber[number], st.steps = append(b.steps, s), s, append(st.steps, s)
	return s
}

// feature gives the feature or the instrument of a box: the boxes of a row follow each
// other.
func (b *board) feature(list *[]*feature, s *spot) *feature {
	if n := len(*list); n > 0 && (*list)[n-1].id == s.row() {
		return (*list)[n-1]
	}
	f := &feature{id: s.row(), name: s.Ask.Of}
	*list = append(*list, f)
	return f
}

func (b *board) role(s *spot) *signature {
	if n := len(b.roles); n > 0 && b.roles[n-1].id == s.row() {
		return b.roles[n-1]
	}
	b.roles = append(b.roles, &signature{id: s.row()})
	return b.roles[len(b.roles)-1]
}

func (b *board) point(s *spot) *point {
	for _, p := range b.points {
		if p.id == s.row() {
			return p
		}
	}
	further := strings.HasPrefix(s.ID, "locks.") || strings.HasPrefix(s.ID, "isolation.more")
	p := &point{id: s.row(), of: s.Ask.Of, asked: !further}
	b.points = append(b.points, p)
	return p
}

func (b *board) notDone(s *spot) *row {
	for _, r := range b.rows {
		for _, has := range []*spot{r.step, r.why, r.by} {
			if has != nil && has.row() == s.row() {
				return r
			}
		}
	}
	b.rows = append(b.rows, &row{})
	return b.rows[len(b.rows)-1]
}

// named is a feature as people call it.
func (f *feature) named() string { return strings.ReplaceAll(f.name, "_", " ") }

// key is the part of a key that names a row.
func key(id string) string { return id[strings.IndexByte(id, '.')+1:] }

func number(n int) string { return strconv.Itoa(n) }
