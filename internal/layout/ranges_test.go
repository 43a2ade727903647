package layout

import (
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
	"jobsheaf/internal/source"
	"jobsheaf/templates"
)

// What a record may say can be drawn: with a value at the lower end of its term's range
// (on metric pages) or at the upper (on US pages), a packet that is composed can be laid out as well.
func TestRangesCanBeDrawn(t *testing.T) {
	var entries []source.Entry
	for _, file := range []string{"terms.yaml", "machines/gear-pump.yaml"} {
		docs, problems := source.ReadFile(templates.FS, file, source.Options{})
		if len(docs) != 1 || len(problems) > 0 {
			t.Fatalf("%s: %d records of terms, %v", file, len(docs), problems)
		}
		entries = append(entries, docs[0].Root.Map("terms").Entries()...)
	}
	for part, units := range map[float64]string{0: "metric", 1: "us"} {
		book, composer := composerOf(t, units, "en", func(*record.Book) {})
		u := book.Units["P-214"]
		drawn := 0
		for _, e := range entries {
			name, term := e.Key.S, book.Terms[e.Key.S]
			from, to := e.Value.Map().Amount("from", term.Kind, quantity.Band{}), e.Value.Map().Amount("to", term.Kind, quantity.Band{})
			if term.Form != record.FormAmount || !from.Known() || !to.Known() {
				continue
			}
			low, high := from.Value.SI(), to.Value.SI()
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
