package figure

import (
	"reflect"
	"slices"
	"testing"

	"jobsheaf/internal/page"
)

// A drawing that is kept is the one that would be drawn, whatever differs between two of
// the same figure: the parameters, the words or the width.
func TestWhatIsKeptIsWhatWouldBeDrawn(t *testing.T) {
	english, spanish := english(t), catalogue(t, "es")
	for i := range specs {
		s := &specs[i]
		for range 2 { // the second time all are kept
			for seed := range 40 {
				p := good(t, s, seed)
				if p.Words = english; seed%2 == 1 {
					p.Words = spanish
				}
				for _, width := range []float64{s.least, s.least + 0.5} {
					asDrawn(t, s, p, width)
				}
				for name := range p.Series { // as many numbers, and others
					slices.Reverse(p.Series[name])
				}
				asDrawn(t, s, p, s.least)
			}
		}
	}
}

func asDrawn(t *testing.T, s *spec, p Params, width float64) {
	t.Helper()
	got, err := Draw(s.name, p, width)
	if err != nil {
		t.Fatal(err)
	}
	g := &pen{in: p, d: Drawing{W: width, Paths: []page.Path{}, Texts: []page.Text{}}}
	if err := s.draw(g); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, g.d) {
		t.Fatalf("%s of %v is not as it would be drawn", s.name, p)
	}
}
