package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// point is a number in a row of like ones: y is the logarithm of its value, x that
// of how large its size is against the middle one of its table.
type point struct {
	x, y float64
	n    *number
}

// How far a number may leave its row before it is doubted, whatever the others do.
// A real row of pumps is not drawn to a formula, and a slip of ten is far outside
// any of these. Common practice, no source.
const (
	factorSize  = 2.5 // a quantity in a size table
	factorCount = 3   // a whole number, which cannot go smoothly
	factorDuty  = 3   // units of one design, and jobs of one procedure

	fewest   = 4     // sizes that make a row
	fewPeers = 6     // units or jobs that do: their duties differ more than sizes do
	robust   = 12    // numbers of which one that is wrong does not move the line
	scatters = 5     // standard deviations of the others
	toSigma  = 1.150 // of which three quarters of a normal row lie within
)

// sisters holds each size of a design against the others: over a table each
// quantity goes as a power of the size.
func (r *run) sisters() {
	for _, id := range inOrder(r.Designs) {
		d := r.Designs[id]
		large := r.howLarge(d)
		rows := map[string][]point{}
		for _, name := range inOrder(d.Sizes) {
			s := d.Sizes[name]
			for key, e := range r.numbers.sizes[s].names {
				rows[key] = r.enter(rows[key], large[s], e)
			}
		}
		for _, key := range inOrder(rows) {
			factor := factorSize
			if !slices.ContainsFunc(rows[key], func(p point) bool { return !isCount(p.n) }) {
				factor = factorCount
			}
			r.row(rows[key], fewest, factor, "the other sizes of the design suggest")
		}
	}
}

// peers holds each unit against the others of its design, and each job against
// the others of its procedure.
func (r *run) peers() {
	for _, id := range inOrder(r.Designs) {
		large := r.howLarge(r.Designs[id])
		rows := map[string][]point{}
		for _, u := range r.units() {
			if u.Design != r.Designs[id] || u.Size == nil {
				continue
			}
			for key, e := range r.numbers.units[u].names {
				rows[key] = r.enter(rows[key], large[u.Size], e)
			}
		}
		for _, key := range inOrder(rows) {
			r.row(rows[key], fewPeers, factorDuty, "the other units of the design suggest")
		}
	}
	for _, name := range inOrder(r.numbers.hours) {
		jobs := r.numbers.hours[name]
		if r.row(jobs, fewPeers, factorDuty, "the other jobs of the procedure suggest"); len(jobs) < fewPeers {
			r.asPlanned(jobs, name)
		}
	}
}

// asPlanned holds the hours of jobs, too few to make a row, to those that their
// procedure takes as a rule.
func (r *run) asPlanned(jobs []point, name string) {
	if r.library == nil {
		return
	}
	p, _ := r.library.Procedure(name)
	if p == nil || p.Hours == nil {
		return
	}
	hours := p.Hours.SI()
	for _, j := range jobs {
		r.claim([]*number{j.n}, math.Abs(j.y-math.Log(hours)) <= math.Log(factorDuty), false, func() string {
			return "the procedure takes " + p.Hours.Plain() + " as a rule"
		})
	}
}

// enter adds a number to a row. A point on a scale, such as a temperature, and what
// is not above zero have no logarithm that means anything.
func (r *run) enter(row []point, x float64, e entry) []point {
	if e.number == nil || e.value.SI <= 0 || e.number.value.Type().Datum != quantity.Difference {
		return row
	}
	return append(row, point{x, math.Log(e.value.SI), e.number})
}

func isCount(n *number) bool {
	return n.value.Type() == quantity.Type{} && n.value.SI() == math.Trunc(n.value.SI())
}

// howLarge gives the logarithm of how large each size of a design is. It is the
// middle one of what all the lengths say that every size has, so that one length
// that is wrong does not move its size.
func (r *run) howLarge(d *record.Design) map[*record.Size]float64 {
	rows := map[string][]point{}
	order := make([]*record.Size, 0, len(d.Sizes))
	for i, name := range inOrder(d.Sizes) {
		order = append(order, d.Sizes[name])
		for key, e := range r.numbers.sizes[d.Sizes[name]].names {
			if e.number != nil && e.number.value.Type() == quantity.KindLength.Type() {
				rows[key] = r.enter(rows[key], float64(i), e)
			}
		}
	}
	says := make([][]float64, len(order))
	for _, row := range rows {
		if len(row) < len(order) {
			continue
		}
		var ys []float64
		for _, p := range row {
			ys = append(ys, p.y)
		}
		middle := median(ys)
		for _, p := range row {
			says[int(p.x)] = append(says[int(p.x)], p.y-middle)
		}
	}
	out := make(map[*record.Size]float64, len(order))
	for i, s := range order {
		out[s] = median(says[i])
	}
	return out
}

// row holds each number of a row of least numbers or more against a straight line
// through the others, in logarithms.
func (r *run) row(ps []point, least int, factor float64, who string) {
	seen := map[*number]int{}
	for _, p := range ps {
		seen[p.n]++
	}
	ps = slices.DeleteFunc(ps, func(p point) bool { return seen[p.n] > 1 }) // what all share says nothing of one
	if len(ps) < least {
		return
	}
	l := through(ps)
	for i, p := range ps {
		if len(ps) <= robust {
			l = through(slices.Delete(slices.Clone(ps), i, i+1))
		}
		at, off := l.start+l.slope*p.x, max(math.Log(factor), scatters/toSigma*l.scatter)
		r.claim([]*number{p.n}, math.Abs(p.y-at) <= off, false, func() string {
			typ := p.n.value.Type()
			return fmt.Sprintf("%s %s to %s", who, short(math.Exp(at-off), typ, 2, p.n), short(math.Exp(at+off), typ, 2, p.n))
		})
	}
}

// line is a straight line through points, and how far they scatter about it.
type line struct{ start, slope, scatter float64 }

// through gives the line that has the median of the slopes between any two points,
// so that up to a quarter of the points may be wrong without moving it. It
// scatters by how far three quarters of the points lie from it at most. (Half of
// them would be none in a row of which most are alike.)
//
// Source: Sen, Estimates of the regression coefficient based on Kendall's tau,
// Journal of the American Statistical Association 63 (1968), from memory.
func through(ps []point) (l line) {
	middles := byPlace(ps)
	var slopes []float64
	for i, p := range middles {
		for _, q := range middles[:i] {
			slopes = append(slopes, (p.y-q.y)/(p.x-q.x))
		}
	}
	l.slope = median(slopes)
	var rests []float64
	for _, p := range ps {
		rests = append(rests, p.y-l.slope*p.x)
	}
	l.start = median(rests)
	for i := range rests {
		rests[i] = math.Abs(rests[i] - l.start)
	}
	if len(rests) > 0 {
		slices.Sort(rests)
		l.scatter = rests[int(math.Ceil(0.75*float64(len(rests)-1)))]
	}
	return l
}

// near is how close in size two numbers may be and say nothing of the slope: a
// hundredth.
const near = 0.01

// byPlace gives the median of the points at each place.
func byPlace(ps []point) []point {
	ps = slices.SortedFunc(slices.Values(ps), func(a, b point) int { return cmp.Compare(a.x, b.x) })
	var out []point
	for i := 0; i < len(ps); {
		j := i
		var ys []float64
		for ; j < len(ps) && ps[j].x-ps[i].x < near; j++ {
			ys = append(ys, ps[j].y)
		}
		out = append(out, point{x: ps[i].x, y: median(ys)})
		i = j
	}
	return out
}

// median gives the middle one of some numbers, 0 of none.
func median(of []float64) float64 {
	if len(of) == 0 {
		return 0
	}
	of = slices.Sorted(slices.Values(of))
	return (of[(len(of)-1)/2] + of[len(of)/2]) / 2
}
