package compute

import (
	"io/fs"
	"testing"

	"jobsheaf/internal/figure"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/samples"
	"jobsheaf/templates"
)

// BenchmarkNumbers computes every number that a packet can print, those of each
// joint, feature and assembly too: the goal is below a millisecond. BenchmarkMake
// of compose puts them into sheets as well.
func BenchmarkNumbers(b *testing.B) {
	site, err := fs.Sub(samples.FS, "soapworks")
	if err != nil {
		b.Fatal(err)
	}
	book, _ := record.Load(site, templates.FS, record.Options{})
	var instruments []string
	for n := range book.Instruments {
		instruments = append(instruments, n)
	}
	lib, _ := procedure.Load(site, templates.FS, procedure.Options{Instruments: instruments, Figures: figure.Names()})
	catalogue, _ := words.Load(nil, templates.FS, "en", nil)
	c, _ := Compile(book, lib, catalogue)
	job := book.Lists["week-49"].Jobs[0]
	numbers := 0
	b.ReportAllocs()
	for b.Loop() {
		n, problems := c.Job(job)
		if n == nil {
			b.Fatal(problems)
		}
		for g, members := range [][]string{{""}, n.Size.JointOrder, n.Size.FeatureOrder, n.Size.AssemblyOrder} {
			for _, m := range members {
				for _, v := range n.plan.order[g] {
					if res := n.Result(v, m); res.err != nil {
						b.Fatal(res.err)
					}
				}
			}
		}
		numbers = len(n.results)
	}
	b.ReportMetric(float64(numbers), "numbers")
}
