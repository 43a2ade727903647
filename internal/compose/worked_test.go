package compose_test

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/record"
)

// worked is one case as testdata/worked/cases.py works it out, apart from the
// program: from published formulas, in Python, with GNU Units for the conversions.
type worked struct {
	name, site, unit string
	records          [][2]string       // name and text of each recorded value that was used
	values           map[string]string // by name, with .low, .high and .target of a band; PROCEDURE/NAME where it differs there
}

const workedDir = "../../testdata/worked/"

// workOut runs the outside programs.
func workOut(t *testing.T) []*worked {
	t.Helper()
	cmd := exec.Command("python3", "cases.py")
	cmd.Dir, cmd.Stderr = workedDir, os.Stderr
	cmd.Env = append(os.Environ(), "PYTHONDONTWRITEBYTECODE=1")
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("testdata/worked/cases.py: %v (make tools installs python3 and units)", err)
	}
	var cases []*worked
	for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		f := strings.Split(line, "\t")
		if len(f) != 4 {
			t.Fatalf("cases.py says %q", line)
		}
		switch f[1] {
		case "unit":
			cases = append(cases, &worked{name: f[0], site: f[2], unit: f[3], values: map[string]string{}})
		case "record":
			cases[len(cases)-1].records = append(cases[len(cases)-1].records, [2]string{f[2], f[3]})
		case "value":
			cases[len(cases)-1].values[f[2]] = f[3]
		}
	}
	return cases
}

// disagreements compares every computed number of a packet with those worked out
// apart, and counts them.
func (w *worked) disagreements(p *packet.Packet) (faults []string, compared int) {
	say := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	check := func(name string, got *float64) {
		if got == nil {
			return
		}
		text, ok := w.values[p.Job.Procedure+"/"+name]
		if !ok {
			text, ok = w.values[name]
		}
		want, err := strconv.ParseFloat(text, 64)
		switch {
		case !ok:
			say("%s = %g is not worked out apart", name, *got)
		case err != nil || math.Abs(*got-want) > 1e-9*math.Max(math.Abs(want), 1e-12):
			say("%s is %.12g, worked out apart %s", name, *got, text)
		}
		compared++
	}
	for _, e := range p.Working {
		switch {
		case e.Recorded:
		case e.Name == "locks.in_all": // a lock for each of two people at each point
			if want := float64(2 * len(e.Inputs)); *e.SI != want {
				say("%s is %g, want %g", e.Name, *e.SI, want)
			}
			compared++
		case strings.HasPrefix(e.Name, "instruments."): // an end of a wrench's range
			if want := w.extreme(p, e); !(math.Abs(*e.SI-want) <= 1e-9*want) {
				say("%s is %.12g, worked out apart %.12g", e.Name, *e.SI, want)
			}
			compared++
		case e.Low != nil || e.High != nil:
			check(e.Name+".low", e.Low)
			check(e.Name+".high", e.High)
			check(e.Name+".target", e.SI)
		case e.SI != nil:
			check(e.Name, e.SI)
		default:
			if text, ok := w.values[e.Name]; !ok || text != e.Exactly {
				say("%s is %q, worked out apart %q", e.Name, e.Exactly, text)
			}
			compared++
		}
	}
	return faults, compared
}

// extreme is the least or the greatest of the torques that a wrench sets, as they are
// worked out apart.
func (w worked) extreme(p *packet.Packet, e packet.Entry) float64 {
	var all []float64
	for _, in := range e.Inputs {
		for _, end := range []string{"", ".low", ".high"} {
			text, ok := w.values[p.Job.Procedure+"/"+in.Name+end]
			if !ok {
				text = w.values[in.Name+end]
			}
			if v, err := strconv.ParseFloat(text, 64); err == nil {
				all = append(all, v)
			}
		}
	}
	switch {
	case len(all) == 0:
		return math.NaN()
	case strings.HasSuffix(e.Name, ".low"):
		return slices.Min(all)
	}
	return slices.Max(all)
}

// TestWorkedCases compares whole packets, number by number, with cases worked out
// apart from the program. There is no number that is left out.
func TestWorkedCases(t *testing.T) {
	cases := workOut(t)
	if len(cases) < 3 {
		t.Fatalf("%d cases", len(cases))
	}
	for _, w := range cases {
		s := open(t, os.DirFS(workedDir+w.site))
		for _, r := range w.records {
			if on := s.onRecord(w.unit, r[0]); on != r[1] {
				t.Errorf("%s: cases.py has %s as %q, the record %q", w.name, r[0], r[1], on)
			}
		}
		for procedure, least := range map[string]int{"rebuild-component-seal": 100, "rebuild-bracket-bushing": 120, "reset-end-clearance": 40} {
			p := s.packet(t, w.unit, procedure)
			faults, compared := w.disagreements(p)
			for _, f := range faults {
				t.Errorf("%s, %s: %s", w.name, procedure, f)
			}
			if compared < least {
				t.Errorf("%s, %s: %d numbers compared, want %d at least", w.name, procedure, compared, least)
			}
			t.Logf("%s, %s: %d numbers compared", w.name, procedure, compared)
		}
	}
}

// The comparison finds a number that is off by a millionth, and one that is not
// worked out.
func TestWorkedCasesCanDisagree(t *testing.T) {
	w := workOut(t)[0]
	s := open(t, os.DirFS(workedDir+w.site))
	p := s.packet(t, w.unit, "rebuild-component-seal")
	i := slices.IndexFunc(p.Working, func(e packet.Entry) bool { return !e.Recorded && e.SI != nil })
	right := *p.Working[i].SI
	p.Working[i].SI = new(right * (1 + 1e-6))
	if faults, _ := w.disagreements(p); len(faults) != 1 {
		t.Errorf("a number that is off by a millionth: %q", faults)
	}
	p.Working[i].SI = new(right)
	delete(w.values, p.Working[i].Name)
	delete(w.values, p.Working[i].Name+".target")
	if faults, _ := w.disagreements(p); len(faults) != 1 {
		t.Errorf("a number that is not worked out: %q", faults)
	}
}

// onRecord gives what a record says under a name, as it is written there.
func (s *site) onRecord(unit, name string) string {
	u := s.book.Units[unit]
	if v, ok := s.book.Scalar(u, name); ok {
		return v.Written
	}
	part := strings.SplitN(name, ".", 3)
	if len(part) != 3 {
		return ""
	}
	switch part[0] {
	case "joints":
		if j := u.Size.Joints[part[1]]; j != nil {
			var passes []string
			for _, p := range j.Passes {
				passes = append(passes, p.S)
			}
			return map[string]string{"thread": j.Thread.S, "grade": j.Grade.S, "condition": j.Condition.S, "method": j.Method.S,
				"fraction": j.Fraction.S, "torque": j.Torque.S, "passes": strings.Join(passes, " ")}[part[2]]
		}
	case "features":
		if f := u.Size.Features[part[1]]; f != nil {
			return map[string]record.Amount{"new": f.New, "reject_below": f.RejectBelow, "reject_above": f.RejectAbove}[part[2]].S
		}
	case "assemblies":
		if a := u.Size.Assemblies[part[1]]; a != nil {
			return a.Mass.S
		}
	}
	return ""
}
