package order_test

import (
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/order"
)

// pump is a unit that has a point of every sort.
var pump = order.Machine{
	Points: []order.Point{
		{Name: "E1", Place: "drive", Is: order.Drive},
		{Name: "H1", Place: "steam", Is: order.Block, Of: order.Heat},
		{Name: "V1", Place: "discharge", Is: order.Block, Of: order.Liquid, Outlet: true},
		{Name: "V2", Place: "suction", Is: order.Block, Of: order.Liquid, Inlet: true},
		{Name: "V5", Place: "flush", Is: order.Block, Of: order.Liquid},
		{Name: "V3", Place: "vent", Is: order.Vent, Of: order.Liquid},
		{Name: "V4", Place: "drain", Is: order.Drain, Of: order.Liquid},
		{Name: "S1", Place: "spring", Is: order.Stored},
	},
	Known:        []string{"drive", "steam", "discharge", "suction", "flush", "vent", "drain", "spring", "elsewhere"},
	Displacement: true, Liquid: true,
	Facts: map[string]order.Fact{"flammable": order.Yes, "gas": order.Yes, "hot-liquid": order.Yes, "hot-metal": order.Yes, "flush": order.Yes, "solid": order.Yes},
}

// sound is an order in which nothing is wrong, a step a line.
const sound = `gas-test
tell
stop, lock drive, tag drive, try drive
close steam, lock steam
close flush, lock flush
close discharge, lock discharge, close suction, lock suction
tag locks
bond
cool liquid
open vent, tag vent, relieve
relieve spring
open drain, tag drain, drain
flush
gas-test
cool metal
prove
guards off
break unit
make unit
close drain
unlock steam, open steam, heat
turn, guards on
inspect
clear, gas-test, unlock blocks
open flush
open suction, prime, close vent
tell, open discharge
unlock drive, bump
start
run`

// undecided is a condition that the records leave open.
type undecided string

func (u undecided) Atoms() []string                { return []string{string(u)} }
func (u undecided) Holds(yes map[string]bool) bool { return yes[string(u)] }

// stepsOf reads an order, a step a line. A line that begins with "X? " may not apply.
func stepsOf(t *testing.T, text string) []order.Step {
	t.Helper()
	var out []order.Step
	for i, line := range strings.Split(text, "\n") {
		var s order.Step
		if cond, rest, found := strings.Cut(line, "? "); found {
			s.If, line = []order.Condition{undecided(cond)}, rest
		}
		for _, w := range strings.Split(line, ", ") {
			a, fault, _ := order.Parse(w, diag.Pos{File: "t", Line: i + 1, Col: 1})
			if fault != "" {
				t.Fatalf("%s: %s", w, fault)
			}
			s.Does = append(s.Does, a)
		}
		out = append(out, s)
	}
	return out
}

func rules(list diag.List, weight diag.Severity) []string {
	var out []string
	for _, p := range list {
		if p.Severity == weight {
			out = append(out, p.Rule)
		}
	}
	return out
}

func TestSoundOrder(t *testing.T) {
	if list := order.Run(pump, stepsOf(t, sound)); len(list) > 0 {
		t.Errorf("a sound order is refused: %v", list)
	}
}

// What is stored is let off and loaded again; where its kind says so it is tagged meanwhile
// and never locked. Another is blocked, and its lock comes off. A breach has the lines of the
// points that it names.
func TestStoredEnergy(t *testing.T) {
	tagged := pump
	tagged.Points = slices.Clone(pump.Points)
	spring := &tagged.Points[len(tagged.Points)-1]
	spring.Tagged, spring.At = true, diag.Pos{File: "unit", Line: 7, Col: 5}
	for _, c := range []struct {
		m              order.Machine
		old, new, want string
	}{
		{pump, "make unit\n", "make unit\nload spring\n", ""},
		{pump, "make unit\n", "make unit\nload stored\n", ""},
		{pump, "relieve spring", "lock spring, tag spring", "nothing-left"},
		{pump, "relieve spring", "relieve spring, tag spring", "own-tag"},
		{tagged, "relieve spring", "relieve spring, tag spring, lock stored", ""},
		{tagged, "relieve spring", "relieve stored, lock stored", ""},
		{tagged, "relieve spring", "lock spring, relieve spring", "shut-then-lock"},
		{tagged, "relieve spring\n", "lock stored\n", "prove-all-points"},
		{tagged, "make unit\n", "make unit\nload spring\n", ""},
	} {
		list := order.Run(c.m, stepsOf(t, strings.Replace(sound, c.old, c.new, 1)))
		found := rules(list, diag.Error)
		if c.want == "" && len(found) > 0 || c.want != "" && !slices.Contains(found, c.want) {
			t.Errorf("%q for %q: %v, want %q", c.new, c.old, list, c.want)
		}
		for _, p := range list {
			if c.want != "" && c.m.Points[len(c.m.Points)-1].Tagged && strings.Contains(p.Message, "S1") && !slices.Contains(p.Related, spring.At) {
				t.Errorf("%v does not name the line of the spring", p)
			}
		}
	}
}

// Each rule is broken by one change to the sound order.
func TestEachRule(t *testing.T) {
	for _, c := range []struct{ rule, old, new string }{
		{"make-then-load", "break unit\nmake unit", "break unit\nload spring\nmake unit"},
		{"done-then-undone", "make unit", "make unit\nload spring\nload spring"},
		{"unlock-then-open", "relieve spring\n", "relieve spring\nlock spring\ntag spring\nload spring\n"},
		{"prove-then-open", "prove\n", "prove\nload spring\n"},
		{"tell-first", "tell\nstop", "stop"},
		{"tell-first", "tell, open discharge", "open discharge"},
		{"test-first", "gas-test\ntell", "tell"},
		{"test-first", "flush\ngas-test", "flush"},
		{"stop-first", "stop, lock drive", "lock drive"},
		{"driven-shut", "stop, lock drive, tag drive, try drive\nclose steam, lock steam\nclose flush, lock flush\nclose discharge, lock discharge, close suction, lock suction", "stop\nclose discharge, lock discharge, close suction, lock suction\nlock drive, tag drive, try drive\nclose steam, lock steam\nclose flush, lock flush"},
		{"heat-shut-in", "close steam, lock steam\nclose flush, lock flush", "close flush, lock flush\nclose steam, lock steam"},
		{"heat-shut-in", "open vent, tag vent, relieve\n", ""},
		{"fed-shut-in", "close flush, lock flush\nclose discharge, lock discharge, close suction, lock suction", "close discharge, lock discharge, close suction, lock suction\nclose flush, lock flush"},
		{"shut-then-lock", "close flush, lock flush", "lock flush, close flush"},
		{"lock-then-try", "tag drive, try drive", "tag drive"},
		{"own-tag", "tag locks\n", ""},
		{"own-tag", "tag locks\nbond\ncool liquid\nopen vent, tag vent, relieve\nrelieve spring", "tag steam, tag flush, tag discharge, tag suction\nbond\ncool liquid\nopen vent, tag vent, relieve\nrelieve spring"},
		{"look-then-unlock", "inspect\nclear, gas-test, unlock", "clear, gas-test\ninspect\nunlock"},
		{"look-then-unlock", "turn, guards on", "unlock spring, turn, guards on"},
		{"drive-last", "unlock drive, bump", "unlock drive, bump\nunlock spring"},
		{"tell-first", "gas-test\ntell\n", "gas-test\nrun\ntell\n"},
		{"lock-then-relieve", "close flush, lock flush", "close flush"},
		{"cool-then-vent", "cool liquid\n", ""},
		{"bond-then-vent", "bond\n", ""},
		{"vent-then-drain", "open drain, tag drain, drain\nflush", "flush\nopen drain, tag drain, drain"},
		{"prove-all-points", "relieve spring\n", ""},
		{"prove-then-open", "prove\n", ""},
		{"empty-then-open", "flush\ngas-test", "gas-test"},
		{"stay-open", "make unit\nclose drain", "close drain\nmake unit"},
		{"locked-then-turn", "guards off\n", ""},
		{"close-then-unlock", "make unit\n", ""},
		{"look-then-unlock", "inspect\n", ""},
		{"look-then-unlock", "clear, gas-test", "gas-test"},
		{"drive-last", "tell, open discharge\nunlock drive, bump", "unlock drive, bump\ntell, open discharge"},
		{"unlock-then-open", "clear, gas-test, unlock blocks", "clear, gas-test"},
		{"close-then-fill", "close drain\n", ""},
		{"warm-first", "unlock steam, open steam, heat", "unlock steam, open steam"},
		{"hold-then-fill", "open suction, prime, close vent", "prime, close vent, open suction"},
		{"fill-first", "open suction, prime, close vent", "open suction, close vent"},
		{"ready-to-start", "unlock drive, bump", "bump"},
		{"ready-to-start", "open suction, prime, close vent", "open suction, prime"},
		{"nothing-left", "unlock drive, bump\nstart\nrun", "run"},
		{"watch-after-start", "start\nrun", "start"},
		{"on-the-table", "relieve spring", "relieve spring, close elsewhere"},
		{"known-place", "close flush,", "close flash,"},
		{"done-then-undone", "break unit\n", ""},
	} {
		if !strings.Contains(sound, c.old) {
			t.Fatalf("the sound order has no %q", c.old)
		}
		list := order.Run(pump, stepsOf(t, strings.Replace(sound, c.old, c.new, 1)))
		if !slices.Contains(rules(list, diag.Error), c.rule) {
			t.Errorf("%q for %q does not break %s: %v", c.new, c.old, c.rule, rules(list, diag.Error))
		}
	}
}

// A procedure that hangs locks and never takes them off is refused.
func TestLocksLeft(t *testing.T) {
	list := order.Run(pump, stepsOf(t, "gas-test\ntell\nstop, lock drive, tag drive, try drive"))
	if got := rules(list, diag.Error); !slices.Contains(got, "nothing-left") || !strings.Contains(list[0].Message, "E1 (drive) still locked") {
		t.Errorf("locks are left: %v", list)
	}
}

// What is not on record is run both ways: a lock that may not be hung is none, two
// conditions that are the same go the same way, and what the unit may hold is a warning.
func TestBothWays(t *testing.T) {
	list := order.Run(pump, stepsOf(t, strings.Replace(sound, "close steam", "A? close steam", 1)))
	if got := rules(list, diag.Error); !slices.Contains(got, "prove-all-points") {
		t.Errorf("a lock that may not be hung is taken for one: %v", list)
	}
	both := strings.Replace(strings.Replace(sound, "guards off", "A? guards off", 1), "turn, guards on", "A? turn\nguards on", 1)
	if got := rules(order.Run(pump, stepsOf(t, both)), diag.Error); slices.Contains(got, "locked-then-turn") {
		t.Errorf("one condition is run two ways at once: %v", got)
	}
	maybe := pump
	maybe.Facts = map[string]order.Fact{"hot-liquid": order.Open}
	list = order.Run(maybe, stepsOf(t, strings.Replace(sound, "cool liquid\n", "", 1)))
	if len(list) == 0 || list.HasErrors() || list[0].Rule != "cool-then-vent" || !list[0].Open {
		t.Errorf("what may be hot is not warned of: %v", list)
	}
}

func TestParse(t *testing.T) {
	for text, hint := range map[string]string{
		"unlok drive": "unlock", "lock": "write lock and the place of an isolation point", "try suction": "write try and drive", "stop pump": "write stop and nothing else", "guards": "off or on",
	} {
		if _, fault, got := order.Parse(text, diag.Pos{}); fault == "" || !strings.Contains(got, hint) {
			t.Errorf("%s: %q, hint %q", text, fault, got)
		}
	}
}
