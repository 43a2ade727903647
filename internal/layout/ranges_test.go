package layout

import (
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// What a record may say can be drawn: with a value at the lower end of its term's range
// (on metric pages) or at the upper (on US pages), a packet that is composed can be laid out as well.
func TestRangesCanBeDrawn(t *testing.T) {
	for part, units := range map[float64]string{0: "metric", 1: "us"} {
		book, composer := composerOf(t, units, "en", func(*record.Book) {})
		u := book.Units["P-214"]
		drawn := 0
		for name, term := range book.Terms {
			if term.Form != record.FormAmount || term.Range.Low == nil || term.Range.High == nil {
				continue
			}
			low, high := term.Range.Low.SI(), term.Range.High.SI()
			for _, scalars := range []map[string]record.Scalar{u.Scalars, u.Liquid.Scalars, u.Size.Scalars, book.Site.Scalars} {
				was, ok := scalars[name]
				if !ok {
					continue
				}
				now := was
				now.Value = quantity.Of(low+part*(high-low), term.Kind)
				scalars[name] = now
				p, _ := composer.Make(&record.Job{ID: on("K-1"), Unit: on("P-214"), Procedure: on("rebuild-component-seal"), Day: on("2026-11-30"), At: diag.Pos{File: "test", Line: 1}})
				if p != nil {
					drawn++
					_, problems := Layout(*p)
					for _, d := range problems {
						if d.Severity == diag.Error {
							t.Errorf("%s = %s: %v", name, now.Value.Plain(), d)
						}
					}
				}
				scalars[name] = was
			}
		}
		if drawn < 40 {
			t.Errorf("only %d packets were drawn", drawn)
		}
	}
}
