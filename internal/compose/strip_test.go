package compose_test

import (
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
)

// stripped reports whether a job's packet has the sheet of the paper strip, and whether
// a step speaks of it.
func stripped(t *testing.T, edits ...edit) (sheet, said bool) {
	t.Helper()
	s := open(t, demo(t, "soapworks", edits...))
	for _, j := range s.jobs() {
		if j.ID.S != "K-24817" {
			continue
		}
		p, problems := s.composer.Make(j)
		if p == nil {
			t.Fatal(problems)
		}
		for _, sh := range p.Sheets {
			sheet = sheet || sh.ID == "strip" && sh.Front
			for _, b := range sh.Blocks {
				if b.Step == nil {
					continue
				}
				for _, line := range b.Step.How {
					said = said || strings.Contains(line.String(), "paper strip")
				}
			}
		}
	}
	return sheet, said
}

// The paper strip is printed where the site says so or the job asks, and the job has the
// last word.
func TestStrip(t *testing.T) {
	site := edit{"site.yaml", "units: metric", "units: metric\nstrip: true"}
	job := func(says string) edit {
		return edit{"lists/week-49.yaml", "day: 2026-11-30, crew: day, people: 2, hours: 9 h}", "day: 2026-11-30, crew: day, people: 2, hours: 9 h, strip: " + says + "}"}
	}
	for _, c := range []struct {
		what  string
		edits []edit
		want  bool
	}{
		{"nobody", nil, false}, {"the site", []edit{site}, true}, {"the job", []edit{job("true")}, true}, {"the site and not the job", []edit{site, job("false")}, false},
	} {
		if sheet, said := stripped(t, c.edits...); sheet != c.want || said != c.want {
			t.Errorf("%s: the sheet is there: %v, a step speaks of it: %v; want %v", c.what, sheet, said, c.want)
		}
	}
}

// The cover has one panel for each signal word, the gravest first, and says in it what
// must never meet the liquid.
func TestCoverPanels(t *testing.T) {
	s, never := open(t, demo(t, "soapworks")), 0
	for _, j := range s.jobs() {
		p, problems := s.composer.Make(j)
		if p == nil {
			t.Fatal(problems)
		}
		var signals []string
		lines := ""
		for _, b := range p.Sheets[0].Blocks {
			if b.Alert != nil {
				signals = append(signals, b.Alert.Signal)
				for _, l := range b.Alert.Lines {
					lines += l.String() + "\n"
				}
			}
		}
		order := []string{"danger", "warning", "caution", "notice"}
		if !slices.IsSortedFunc(signals, func(a, b string) int { return slices.Index(order, a) - slices.Index(order, b) }) || len(slices.Compact(slices.Clone(signals))) != len(signals) {
			t.Errorf("%s: the panels are %q", j.ID, signals)
		}
		if strings.Contains(lines, "Never in it: ") {
			never++
		}
	}
	if never != 10 { // all but that of condensate, which nothing harms
		t.Errorf("%d covers say what must never go in", never)
	}
}

// What is only tagged asks for no lock number, and the locks are counted without it.
func TestLocksInAll(t *testing.T) {
	s := open(t, demo(t, "soapworks"))
	p := s.packet(t, "P-214", "rebuild-component-seal")
	if e := entries(p)["locks.in_all"]; e.SI == nil || *e.SI != 6 {
		t.Errorf("three points and two people come to %v locks", e.Printed)
	}
	numbers := 0
	for _, b := range p.Sheets[0].Blocks {
		if b.Table == nil || b.Table.ID != "isolation" {
			continue
		}
		for _, r := range b.Table.Rows {
			for _, c := range r.Cells {
				numbers += len(slices.DeleteFunc(slices.Clone(c.Blanks), func(b packet.Blank) bool { return !strings.HasSuffix(b.ID, ".lock") }))
			}
		}
	}
	if numbers != 4 { // E1, V1, V2 and the empty row
		t.Errorf("%d lock numbers are asked for", numbers)
	}
}
