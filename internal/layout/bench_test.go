package layout

import "testing"

func BenchmarkLayout(b *testing.B) {
	p := example(b, "A4")
	doc := lay(b, p)
	b.ReportMetric(float64(len(doc.Pages)), "pages")
	b.ReportAllocs()
	for b.Loop() {
		if _, problems := Layout(p); len(problems) > 0 {
			b.Fatal(problems)
		}
	}
}
