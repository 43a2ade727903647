package order

import (
	"slices"
	"strings"

	"jobsheaf/internal/diag"
)

// point is a point and how it stands.
type point struct {
	Point
	shut, locked, tagged bool // a block begins open; vent and drain begin shut
	safe                 bool // of stored energy: let off
}

// named says which point it is.
func (p *point) named() string {
	if p.Name == "" || p.Name == p.Place {
		return "the " + p.Place
	}
	return p.Name + " (" + p.Place + ")"
}

// held reports whether the point holds its energy back.
func (p *point) held() bool {
	switch p.Is {
	case Vent, Drain:
		return true
	case Stored:
		return p.safe || p.locked
	case Block:
		return p.shut && p.locked
	}
	return p.locked
}

// run is the machine as it stands in one way.
type run struct {
	m        Machine
	points   []*point
	at, last diag.Pos
	breaches []breach

	flammable, gas, hotLiquid, hotMetal, flush, solid, coldStart bool // what the records say, in this way

	told, running                   bool
	tried                           bool // the drive, since it was locked
	each                            bool // everyone hung their own lock and tag, since the last was hung
	tested, bonded                  bool // for gas; to earth
	coolLiquid, coolMetal           bool
	relieved, drained, flushed      bool
	proved, open, wasOpen           bool // the unit
	guardsOff, turned               bool
	hung                            bool // a lock was hung
	inspected, cleared              bool
	heated, filled, started, looked bool
}

func newRun(m Machine, actions []Action, way map[string]bool) *run {
	r := &run{m: m, running: true, turned: true, filled: true}
	is := func(name string) bool { return m.Facts[name] == Yes || m.Facts[name] == Open && way[factPrefix+name] }
	r.flammable, r.gas, r.hotLiquid, r.hotMetal = is("flammable"), is("gas"), is("hot-liquid"), is("hot-metal")
	r.flush, r.solid, r.coldStart = is("flush"), is("solid"), is("cold-start")
	points := m.Points
	if m.Unlisted {
		points = named(m, actions)
	}
	for _, p := range points {
		r.points = append(r.points, &point{Point: p})
	}
	for _, p := range r.points {
		p.shut = p.Is == Vent || p.Is == Drain
	}
	return r
}

// named makes the points of a unit that has no table, from what is done in this way:
// whether there is a jacket is no more known than whether a step shuts it.
func named(m Machine, actions []Action) []Point {
	var out []Point
	for _, a := range actions {
		if slices.Contains(m.Known, a.object) && !slices.ContainsFunc(out, func(p Point) bool { return p.Place == a.object }) {
			out = append(out, m.StandsFor(a.object))
		}
	}
	return out
}

// fail notes a breach at the action in hand.
func (r *run) fail(b *rule, found, would string) {
	hint := b.why
	if would != "" {
		hint += ": " + would
	}
	var points []diag.Pos
	for _, p := range r.points {
		if p.At.File != "" && strings.Contains(found, p.named()) {
			points = append(points, p.At)
		}
	}
	r.breaches = append(r.breaches, breach{at: r.at, rule: b, found: found, hint: hint, points: points})
}

// where lists the points of a sort for which something holds.
func (r *run) where(is func(*point) bool) []*point {
	var out []*point
	for _, p := range r.points {
		if is(p) {
			out = append(out, p)
		}
	}
	return out
}

// say names some points.
func say(points []*point) string {
	var out []string
	for _, p := range points {
		out = append(out, p.named())
	}
	return strings.Join(out, ", ")
}

// meant gives the points that an object means; some is whether it names a sort, of
// which there may be none.
func (r *run) meant(a Action) (points []*point, some bool) {
	if is, ok := every[a.object]; ok {
		return r.where(func(p *point) bool { return p.Is == is || is == Block && p.Is == Elsewhere }), true
	}
	if a.object == locks {
		return r.where(func(p *point) bool { return p.locked }), true
	}
	points = r.where(func(p *point) bool { return p.Place == a.object })
	if len(points) > 0 {
		return points, false
	}
	if hint := diag.OneOf(a.object, r.m.Known); !slices.Contains(r.m.Known, a.object) {
		r.fail(knownPlace, "there is no place "+a.object, hint)
	} else {
		r.fail(onTable, "the unit has no point at: "+a.object, "add it under isolate, or take it out of the step")
	}
	return nil, false
}

// shutIn reports whether every block of the liquid is shut, and there is one.
func (r *run) shutIn() bool {
	all := r.where(func(p *point) bool { return p.Is == Block && p.Of == Liquid })
	return len(all) > 0 && !slices.ContainsFunc(all, func(p *point) bool { return !p.shut })
}

// out lists the open vents or drains of an energy.
func (r *run) out(is Is, of Energy) []*point {
	return r.where(func(p *point) bool { return p.Is == is && p.Of == of && !p.shut })
}

// has reports whether the table has a point of a sort for an energy.
func (r *run) has(is Is, of Energy) bool {
	return slices.ContainsFunc(r.points, func(p *point) bool { return p.Is == is && p.Of == of })
}

// loose lists the points that do not hold their energy back.
func (r *run) loose() []*point { return r.where(func(p *point) bool { return !p.held() }) }

// hanging lists the points with a lock.
func (r *run) hanging() []*point { return r.where(func(p *point) bool { return p.locked }) }

// untagged lists the locks without a tag, and the open ways out without one.
func (r *run) untagged() []*point {
	return r.where(func(p *point) bool { return !p.tagged && (p.locked || (p.Is == Vent || p.Is == Drain) && !p.shut) })
}

// driveHeld reports whether the drive is locked and tried; why says what it lacks.
func (r *run) driveHeld() (why string, held bool) {
	drives := r.where(func(p *point) bool { return p.Is == Drive })
	for _, p := range drives {
		if !p.locked {
			return p.named() + " is not locked", false
		}
	}
	if len(drives) > 0 && !r.tried {
		return say(drives) + " is locked and not tried", false
	}
	return "", true
}

// end holds what is left behind when the last step is done.
func (r *run) end() {
	r.at = r.last
	left := func(points []*point, what, would string) {
		if len(points) > 0 {
			r.fail(nothingStays, say(points)+" "+what, would)
		}
	}
	left(r.hanging(), "still locked", "add a step that takes the lock off (does: unlock)")
	left(r.where(func(p *point) bool { return (p.Is == Vent || p.Is == Drain) && !p.shut }), "still open", "add a step that shuts it (does: close)")
	if r.open {
		r.fail(nothingStays, "the machine is still open", "add the step that closes its last joint (does: make unit)")
	}
	if r.guardsOff {
		r.fail(nothingStays, "the guards are off", "add a step that fits them (does: guards on)")
	}
	if r.started && !r.looked {
		r.fail(watchStart, "it was started and not watched", "add a step that reads it while it runs (does: run)")
	}
}
