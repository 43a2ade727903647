package compose_test

import (
	"os"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/order"
)

// does says what a step does, as a template has it.
func does(s order.Step) string {
	var out []string
	for _, a := range s.Does {
		out = append(out, a.String())
	}
	return strings.Join(out, ", ")
}

// Every built-in procedure on every unit that it fits: no step may be left out, and no
// two neighbours change places, without a rule that says so. What may is listed with its
// reason; nothing else, and no more than one in twenty.
func TestOrderIsHeld(t *testing.T) {
	tried, let, used := 0, 0, map[string]bool{}
	for _, dir := range []string{"../../samples/soapworks", "../../samples/candleworks-us", "../../testdata/plants/pressing", "../../testdata/worked/metric", "../../testdata/worked/inch"} {
		s := open(t, os.DirFS(dir))
		for id, u := range s.book.Units {
			for _, name := range []string{"rebuild-component-seal", "rebuild-bracket-bushing", "reset-end-clearance", "repack-stuffing-box", "replace-cartridge-seal", "rebuild-centrifugal", "clean-strainer", "remake-flanged-joint", "bench-set-relief-valve", "gearbox-oil-and-backlash", "regrease-bearing", "replace-thrust-bearing", "align-coupling", "replace-belts", "change-motor"} {
				if !s.composer.Fits(u, name) {
					continue
				}
				m, steps, ok := s.composer.Order(formJob(id, name))
				if !ok {
					t.Fatalf("%s, %s: no job", id, name)
				}
				if problems := order.Run(m, steps); len(problems) > 0 {
					t.Errorf("%s, %s: %v", id, name, problems)
				}
				least := 11 // of a job that stops its unit
				if !slices.ContainsFunc(steps, func(s order.Step) bool { return strings.Contains(does(s), "stop") }) {
					least = 2 // told before, and read after: it runs on
				}
				if len(steps) < least {
					t.Errorf("%s, %s: %d steps do something", id, name, len(steps))
				}
				hold := func(what string, changed []order.Step) {
					tried++
					if order.Run(m, changed).HasErrors() {
						return
					}
					let++
					if mayChange[what] == "" {
						t.Errorf("%s, %s: nothing is said against: %s", id, name, what)
					}
					used[what] = true
				}
				for i := range steps {
					hold("without: "+does(steps[i]), slices.Delete(slices.Clone(steps), i, i+1))
					if i > 0 {
						swapped := slices.Clone(steps)
						swapped[i-1], swapped[i] = swapped[i], swapped[i-1]
						hold("swapped: "+does(steps[i-1])+" | "+does(steps[i]), swapped)
					}
				}
			}
		}
	}
	for what := range mayChange {
		if !used[what] {
			t.Errorf("the list has what a rule forbids, or no procedure does: %s", what)
		}
	}
	if let*20 > tried {
		t.Errorf("%d of %d changes are let pass, more than one in twenty", let, tried)
	}
	t.Logf("%d changes, %d let pass, %.1f %% refused", tried, let, 100-100*float64(let)/float64(tried))
}

// mayChange lists the changes that no rule forbids, each with the reason.
var mayChange = map[string]string{
	"swapped: tell | gas-test":                                   "the operator is told, or the place tested, first: neither touches the machine",
	"swapped: tag locks, tag drain | bond":                       "leads and tags are hung in either order, all before the vent is opened",
	"swapped: bond | cool liquid":                                "it may cool with its leads on or off; they are on before the vent is opened",
	"swapped: prove | cool metal":                                "a pump that stays full is proved hot or cool, both before the guard comes off",
	"swapped: open drain, drain | cool metal":                    "a liquid that stays liquid drains cold as well",
	"swapped: gas-test | cool metal":                             "both come between the drain and the proof, and neither undoes the other",
	"swapped: guards off | break unit":                           "both rest on the same proof, and neither frees what the other holds",
	"swapped: guards off, turn | heat":                           "a shaft turned warm is turned again before the start",
	"swapped: close drain | turn, guards on":                     "the drain lets nothing in while its valves are locked, and is shut before the locks come off",
	"swapped: open seal flush | open suction, prime, close vent": "flush and suction may fill it in either order: the drive is still locked",
	"swapped: inspect | close drains":                            "the locks still hang as the drain is shut, before or after it is shown",
	"swapped: close drains | clear, unlock blocks":               "the drain is shut before a valve is opened, which is what lets liquid in",
	"swapped: inspect | prime, close vent":                       "a casing is filled by funnel before a second person looks or after, both before a lock comes off",
	"swapped: break unit | guards off":                           "both rest on the same proof, and neither frees what the other holds",
	"without: turn":                                              "a turn for a reading: left out, the reading is missing, and the turn before the start is held by itself",
	"swapped: turn | turn":                                       "two readings of an open drive, each with its drive locked and its guard off",
	"swapped: break unit | turn":                                 "a sheave is read with its slack belts off or on; the drive is locked and the guard off for both",
	"swapped: turn | make unit":                                  "what is read by hand is read open or closed; the turn before the start comes after both",
	"swapped: turn | make unit, turn":                            "the same, of belts that are laid on",
	"without: run":                                               "of a job that stops nothing: what is read at its end protects the bearing, and watchStart is for a start",
}
