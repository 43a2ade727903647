package compose_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
)

// What a job needs says the same as the sheets that ask for it, as data.
func TestNeeds(t *testing.T) {
	p := made(t, demo(t, "soapworks"), "week-49")[0]
	n := p.Needs
	if p.Job.ID != "K-24817" {
		t.Fatalf("the first job is %s", p.Job.ID)
	}
	if len(n.Kits) != 2 || n.Kits[0].Number != "RB65-SK1" || n.Kits[0].Ask || len(n.Kits[0].Items) != 6 || n.KitsUnknown {
		t.Errorf("kits %+v", n.Kits)
	}
	oil := packet.Amount{}
	for _, s := range n.Supplies {
		if s.Item == "Clean machine oil" && s.Amount != nil {
			oil = *s.Amount
		}
		if s.Item == "Bearing grease" && s.Amount != nil {
			t.Errorf("of grease the steps say how much, not %+v", *s.Amount)
		}
	}
	if math.Abs(oil.SI-50e-6) > 1e-15 || oil.Kind != "volume" || oil.Unit != "mL" || oil.Written != "50 mL" {
		t.Errorf("oil %+v", oil)
	}
	// What is to be caught in the container is a computed volume: its entry has it.
	if len(n.Containers) != 1 || len(n.Containers[0].Asks) != 2 {
		t.Fatalf("containers %+v", n.Containers)
	}
	asks := n.Containers[0].Asks[0]
	found := false
	for _, e := range p.Working {
		if e.Kind == "volume" && e.SI != nil && *e.SI == asks.SI && e.Printed == asks.Written {
			found = true
		}
	}
	if !found || !strings.Contains(n.Containers[0].Item, "metal containers of ") {
		t.Errorf("container %+v", n.Containers[0])
	}
	for _, tool := range n.Tools {
		if strings.Contains(tool.Item, "ontainers") {
			t.Errorf("%s is among the tools as well", tool.Item)
		}
	}
	if len(n.Locks) < 3 || n.Locks[0].Point != "E1" || n.Locks[0].Energy != "electrical" || n.Locks[0].Prove == "" || !n.Locks[0].Last || n.Locks[1].Last {
		t.Errorf("locks %+v", n.Locks)
	}
	if n.Liquid == nil || n.Liquid.Liquid == "" || len(n.Liquid.Statements) == 0 {
		t.Errorf("liquid %+v", n.Liquid)
	}
	for _, danger := range []string{"Burns skin and eyes: pH ", "The drive can start from another station"} { // of the cover, and of a step
		if !slices.ContainsFunc(n.Dangers, func(d string) bool { return strings.HasPrefix(d, danger) }) {
			t.Errorf("%q is not among the dangers %q", danger, n.Dangers)
		}
	}
	for _, in := range n.Instruments {
		if in.Name == "bore gauge" && (len(in.Resolution) != 1 || math.Abs(in.Resolution[0].SI-1e-5) > 1e-15 || in.Resolution[0].Unit != "mm" || in.Uncertainty == nil) {
			t.Errorf("bore gauge %+v", in)
		}
		if len(in.Resolution) == 0 {
			t.Errorf("%s has no resolution", in.Name)
		}
	}
}

// Where the serial number is not on record, which kit it is has to be asked.
func TestNeedsNotOnRecord(t *testing.T) {
	file, serial := "units/saponification.yaml", "serial: RB65-0381\n"
	p, problems := attempt(t, edit{file, serial, ""})
	if p == nil {
		t.Fatal(problems)
	}
	if k := p.Needs.Kits; len(k) == 0 || !k[0].Ask {
		t.Errorf("kits %+v", k)
	}
}
