package check

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
)

// doubt: a number that contradicts what it is held against. Each relation of
// relations.yaml, each table of sizes, each row of like units makes claims, and a
// claim that is not true casts doubt on all the numbers that have a part in it.
// The one that explains most of the doubts is named, with the others beside it:
// a diameter ten times too large breaks twenty relations, and is one slip.
var doubted = rule{
	name: "doubt",
	what: "each number agrees with those that it is checked against: by the relations in relations.yaml and of its kind of machine, by the other sizes in the table, by other units of its design, by other jobs of its procedure and the procedure itself; the resolution of an instrument agrees with its uncertainty; a number that its record calls confirmed is not doubted",
	run: func(r *run) {
		r.relate()
		r.sisters()
		r.peers()
		r.instruments()
		r.blame()
		r.unneeded()
	},
}

// doubt is one claim that was found untrue.
type doubt struct {
	of   []*number // that have a part in it
	says string
	must bool // the records contradict themselves
}

// claim notes whether a claim on some numbers is true; says is asked only where
// it is not.
func (r *run) claim(of []*number, holds, must bool, says func() string) {
	for _, n := range of {
		if holds {
			n.held++
		} else {
			n.doubts++
		}
	}
	if !holds && len(of) > 0 {
		r.doubts = append(r.doubts, doubt{of, says(), must})
	}
}

// blame explains the doubts. Those that have no number in common are looked at by
// themselves.
func (r *run) blame() {
	root := map[*number]*number{}
	find := func(n *number) *number {
		if root[n] == nil {
			root[n] = n
		}
		for root[n] != n {
			root[n] = root[root[n]]
			n = root[n]
		}
		return n
	}
	for _, d := range r.doubts {
		for _, n := range d.of {
			root[find(n)] = find(d.of[0])
		}
	}
	groups := map[*number][]doubt{}
	for _, d := range r.doubts {
		n := find(d.of[0])
		groups[n] = append(groups[n], d)
	}
	for _, g := range groups { // in any order: the problems are sorted
		r.explain(g)
	}
}

// explain reports the number that has a part in most doubts, then the one that has
// in most of those that are left, until all are explained. Of two with as many
// doubts it takes the one that a relation names first, then the one of which less
// was found true.
func (r *run) explain(left []doubt) {
	for len(left) > 0 {
		count, first := map[*number]int{}, map[*number]int{}
		for _, d := range left {
			for i, n := range d.of {
				if had, ok := first[n]; !ok || i < had {
					first[n] = i
				}
				count[n]++
			}
		}
		var worst *number
		for n, c := range count {
			if worst == nil || cmp.Or(cmp.Compare(count[worst], c), cmp.Compare(first[n], first[worst]), cmp.Compare(n.held, worst.held), n.at.Compare(worst.at)) < 0 {
				worst = n
			}
		}
		var its []doubt
		left = slices.DeleteFunc(slices.Clone(left), func(d doubt) bool {
			if !slices.Contains(d.of, worst) {
				return false
			}
			its = append(its, d)
			return true
		})
		r.report(worst, its)
	}
}

// mostReasons is how many reasons a doubt gives, and mostBeside how many places
// it names beside its own: more is not read.
const mostReasons, mostBeside = 2, 3

// report says what speaks against a number.
func (r *run) report(n *number, its []doubt) {
	// The claim with the fewest parts says most about this one.
	slices.SortStableFunc(its, func(a, b doubt) int { return cmp.Compare(len(a.of), len(b.of)) })
	must := slices.ContainsFunc(its, func(d doubt) bool { return d.must })
	var reasons []string
	var beside []diag.Pos
	for _, d := range its {
		if len(reasons) < mostReasons && !slices.Contains(reasons, d.says) {
			reasons = append(reasons, d.says)
		}
		for _, m := range d.of {
			if m != n && len(beside) < mostBeside && !slices.Contains(beside, m.at) {
				beside = append(beside, m.at)
			}
		}
	}
	message := fmt.Sprintf("%s of %s is %s: %s", n.key, n.of.name, n.text, strings.Join(reasons, "; "))
	if more := len(its) - len(reasons); more > 0 {
		message += fmt.Sprintf(" (and %d more like it)", more)
	}
	if must {
		r.errorf(n.at, beside, "look at both", "%s", message)
		return
	}
	r.unlikely(n, beside, "look for a slip of the decimal point or the unit", message)
}

// unlikely warns of a number, unless its record says that it is confirmed.
func (r *run) unlikely(n *number, beside []diag.Pos, hint, message string) {
	if slices.ContainsFunc(n.of.confirmed, func(c record.Confirmed) bool { return c.Key.S == n.key }) {
		if n.of.used == nil {
			n.of.used = map[string]bool{}
		}
		n.of.used[n.key] = true
		return
	}
	r.warnf(n.at, beside, hint+"; where it is right, say so in its record: confirmed: {"+n.key+": how it is known}", "%s", message)
}

// unneeded reports what is confirmed without need: a reason that outlived the
// number it was given for would quiet the next slip.
func (r *run) unneeded() {
	for _, o := range r.numbers.owners {
		for _, c := range o.confirmed {
			switch {
			case !o.keys[c.Key.S]:
				hint := cmp.Or(diag.DidYouMean(c.Key.S, inOrder(o.keys)), "name a number of the record, such as drive.power or joints.head.circle")
				r.warnf(c.Key.At, nil, hint, "%s has no number %s to confirm", o.name, c.Key)
			case !o.used[c.Key.S]:
				r.warnf(c.Key.At, nil, "delete it: it would keep the next slip quiet", "nothing speaks against %s of %s, which is confirmed", c.Key, o.name)
			}
		}
	}
}
