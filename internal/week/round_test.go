package week

import "testing"

// Shares are whole rounds, each in one share, about alike, the same at every time.
func TestShare(t *testing.T) {
	p := factory(t, 230, nil)
	rounds := Rounds(p.book, p.jobs)
	for _, n := range []int{1, 2, 5, 12, 40} {
		seen := map[string]int{}
		for k := 1; k <= n; k++ {
			jobs := 0
			for _, r := range Share(rounds, k, n) {
				seen[r.Name()]++
				jobs += len(r.jobs)
			}
			if n <= 5 && (jobs < 230/n-20 || jobs > 230/n+20) {
				t.Errorf("share %d/%d has %d jobs", k, n, jobs)
			}
		}
		if len(seen) != len(rounds) {
			t.Errorf("%d shares have %d of %d rounds", n, len(seen), len(rounds))
		}
		for name, times := range seen {
			if times != 1 {
				t.Errorf("%s is in %d shares", name, times)
			}
		}
	}
	for _, bad := range []string{"", "2", "0/5", "6/5", "a/b", "-1/2", "1/0", "1/20000", "1/2/3", "+1/2"} {
		if k, n, err := ParsePart(bad); err == nil {
			t.Errorf("%q is part %d of %d", bad, k, n)
		}
	}
}
