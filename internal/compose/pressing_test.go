package compose_test

import (
	"os"
	"testing"
)

// TestPressingSite prints the units that press on the order of making safe, on hot
// service, on suction lift and on the press: each job of its list with nothing missing.
func TestPressingSite(t *testing.T) {
	s := open(t, os.DirFS("../../testdata/plants/pressing"))
	jobs := 0
	for _, l := range s.book.Lists {
		for _, j := range l.Jobs {
			jobs++
			s.packet(t, j.Unit.S, j.Procedure.S)
		}
	}
	if jobs < 4 {
		t.Errorf("%d jobs", jobs)
	}
}
