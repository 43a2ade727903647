package compose_test

import "testing"

// BenchmarkMake computes one packet: the goal is below a millisecond.
func BenchmarkMake(b *testing.B) {
	s := open(b, demo(b, "soapworks"))
	for _, j := range s.jobs() {
		if j.ID.S != "K-24817" {
			continue
		}
		b.ReportAllocs()
		for b.Loop() {
			if p, problems := s.composer.Make(j); p == nil {
				b.Fatal(problems)
			}
		}
		return
	}
	b.Fatal("job K-24817 is not on a list")
}
