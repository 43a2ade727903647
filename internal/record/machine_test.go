package record

import (
	"slices"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/figure"
	"jobsheaf/templates"
)

// Each figure that a built-in kind names can be drawn, and has what the records give it.
func TestFiguresOfKinds(t *testing.T) {
	book, _ := Load(fstest.MapFS{}, templates.FS, Options{})
	if len(book.Machines) < 5 || book.DefaultMachine == nil || book.DefaultMachine.ID != "gear-pump" {
		t.Fatalf("%d kinds, the default is %v", len(book.Machines), book.DefaultMachine)
	}
	for _, k := range book.Machines {
		for _, d := range k.figures {
			needs, err := figure.Needs(d.figure.S)
			if err != nil {
				t.Errorf("%s: %v", k.ID, err)
			}
			for _, taken := range d.takes {
				if !slices.ContainsFunc(needs, func(n figure.Need) bool { return n.Name == taken.Key }) {
					t.Errorf("%s: the figure %s takes no %s", k.ID, d.figure, taken.Key)
				}
			}
		}
	}
}

// Locks come off away from the drive first, drains not at all, the drive's last.
func TestLocksOff(t *testing.T) {
	u := &Unit{}
	text := func(s string) (out Text) {
		if out.S = s; s != "" {
			out.At.File, out.At.Line = "u", 1
		}
		return out
	}
	places := map[string]*Place{"drain": {Is: IsDrain}, "suction": {Is: isBlock}, "drive": {Is: IsDrive}}
	for _, p := range [][3]string{{"E1", "electrical", ""}, {"V1", "liquid", ""}, {"D1", "liquid", "drain"}, {"M1", "mechanical", ""}, {"V2", "liquid", "suction"}, {"A1", "air", "drive"}, {"E2", "electrical", "suction"}} {
		u.Isolate = append(u.Isolate, IsolationPoint{Point: text(p[0]), Energy: text(p[1]), Spot: text(p[2]), place: places[p[2]]})
	}
	first, last := u.LocksOff()
	if !slices.Equal(first, []string{"E2", "V2", "V1"}) || !slices.Equal(last, []string{"A1", "M1", "E1"}) {
		t.Errorf("first %v, last %v", first, last)
	}
}
