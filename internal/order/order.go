// Package order runs the steps of a job as a small state machine over the points of
// its unit, and reports an order that could hurt someone: a lock before its valve is
// shut, a joint opened before zero energy is proved, a start with a lock still on.
//
// Entry points: Parse, which reads what a step does, and Run. It belongs here if it is
// a rule about the order of work that holds for any machine: the room knows points by
// what they are (drive, block, vent, drain, stored) and by the energy behind them, no
// parts. It is not for whether a step applies (compute), nor for how a step is
// worded (check).
package order

import (
	"maps"
	"slices"

	"jobsheaf/internal/diag"
)

// Is says what an isolation point is to the work.
type Is string

const (
	Drive     Is = "drive"     // what moves the machine: its lock comes off last
	Block     Is = "block"     // a valve that is shut and locked
	Vent      Is = "vent"      // opened to the air, and tagged
	Drain     Is = "drain"     // opened below, and tagged
	Stored    Is = "stored"    // a spring, a raised load, an accumulator: let off, or held and locked (see Point.Tagged)
	Elsewhere Is = "elsewhere" // locked as its record says
)

// Energy is what stands behind a point, as far as a rule asks.
type Energy string

const (
	Liquid Energy = "liquid" // or a gas under pressure
	Heat   Energy = "heat"
	Other  Energy = ""
)

// Point is an isolation point of the unit.
type Point struct {
	Name  string // such as V1, for messages
	Place string // such as jacket supply
	Is    Is
	Of    Energy
	// Inlet and Outlet say that the machine takes its liquid in, or gives it out, through
	// this block.
	Inlet, Outlet bool
	Apart         bool     // it shuts off nothing of the machine itself, as the tracing of its pipes
	Tagged        bool     // of stored energy: let off and tagged, never locked
	At            diag.Pos // where the record has it
}

// Facts lists what the rules ask of a unit beside its points, by name, sorted.
func Facts() []string { return slices.Sorted(maps.Keys(facts)) }

var facts = map[string]string{
	"flammable":  "its liquid is flammable, as hot as it is handled",
	"gas":        "there is a gas to test for before work begins",
	"hot-liquid": "its liquid is too close to boiling, or to its flash point, to be opened to the air",
	"hot-metal":  "its metal is above what skin stands",
	"flush":      "it is flushed before hands go in",
	"solid":      "its liquid is solid, or nearly, in the cold",
	"cold-start": "started cold it binds",
}

// Fact is something that the records say of a unit. What they do not say is Open: it is
// run both ways.
type Fact uint8

const (
	No Fact = iota
	Yes
	Open
)

// Machine is the unit as the rules see it.
type Machine struct {
	Points []Point
	// Known lists the places that a unit may have, for a misspelt one.
	Known []string
	// Unlisted says that the record has no isolation table: its points are then taken from
	// the steps, and the page says that the table is not on record.
	Unlisted bool
	// StandsFor makes the point of a place, where Unlisted.
	StandsFor func(place string) Point

	Displacement bool // it builds pressure against a shut outlet until something gives
	Liquid       bool // it holds one
	Facts        map[string]Fact
}

// Condition is what is left of a condition that the records do not decide.
type Condition interface {
	Atoms() []string
	Holds(yes map[string]bool) bool
}

// Step is a step that applies, or may.
type Step struct {
	If   []Condition // all must hold; nil: it applies
	Does []Action
}

// Action is one thing that a step does to the machine.
type Action struct {
	verb   verb
	object string // a place, or one of the words that the verb takes; may be ""
	at     diag.Pos
	If     Condition // nil: it is done
}

// String writes an action as a template has it.
func (a Action) String() string {
	if a.object == "" {
		return string(a.verb)
	}
	return string(a.verb) + " " + a.object
}

// Run runs the steps in their order and reports what breaks a rule, each at the line
// of the action. What is not on record is run both ways, and a breach in any of them is
// an error: whether a step applies is never taken for granted. It is a warning where it
// hangs on what the unit may hold (the page says that this is not on record), or on a
// point of a step that may not apply.
func Run(m Machine, steps []Step) diag.List {
	found := map[string]*breach{}
	var keys []string
	ways := waysOf(m, steps)
	for _, way := range ways {
		seen := map[string]bool{}
		for _, b := range runWay(m, steps, way) {
			key := b.at.String() + "\x00" + b.rule.name + "\x00" + b.found
			if seen[key] {
				continue
			}
			seen[key] = true
			if found[key] == nil {
				found[key] = &b
				keys = append(keys, key)
			}
			found[key].ways++
			found[key].sure = found[key].sure || b.rule != onTable && !supposes(way)
		}
	}
	var out diag.List
	for _, key := range keys {
		b := found[key]
		message := b.rule.what + " (" + b.rule.source + "): " + b.found
		problem := diag.Problem{Pos: b.at, Severity: diag.Error, Rule: b.rule.name, Message: message, Hint: b.hint, Related: b.points}
		if !b.sure && b.ways < len(ways) {
			problem.Severity, problem.Message, problem.Open = diag.Warning, "what is not on record decides whether "+message, true
		}
		out.Add(problem)
	}
	return out
}

// breach is a rule that is broken.
type breach struct {
	at     diag.Pos
	rule   *rule
	found  string // the state that was found
	hint   string
	points []diag.Pos // of the points that are named, where the record has them: the step may be in a fragment that knows none
	ways   int        // in how many ways it is broken
	sure   bool       // in one that supposes nothing of the unit
}

// runWay runs the steps in one way.
func runWay(m Machine, steps []Step, way map[string]bool) []breach {
	actions := applying(steps, way)
	r := newRun(m, actions, way)
	for _, a := range actions {
		r.at = a.at
		r.last = a.at
		r.do(a)
	}
	r.end()
	return r.breaches
}

// applying lists what is done in one way, in order.
func applying(steps []Step, way map[string]bool) []Action {
	var out []Action
	for _, s := range steps {
		if slices.ContainsFunc(s.If, func(c Condition) bool { return !c.Holds(way) }) {
			continue
		}
		for _, a := range s.Does {
			if a.If == nil || a.If.Holds(way) {
				out = append(out, a)
			}
		}
	}
	return out
}
