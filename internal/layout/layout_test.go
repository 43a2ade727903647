package layout

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/record"
)

// lay lays out a packet and fails on any problem.
func lay(t testing.TB, p packet.Packet) page.Doc {
	t.Helper()
	doc, problems := Layout(p)
	for _, d := range problems {
		t.Errorf("%v", d)
	}
	return doc
}

// paperNames gives the papers that a site may name, as the message about another one
// lists them.
func paperNames(t *testing.T) []string {
	_, problems := record.Load(fstest.MapFS{"site.yaml": {Data: []byte("site: Any\npaper: none of them\n")}}, fstest.MapFS{}, record.Options{})
	for _, p := range problems {
		if _, list, ok := strings.Cut(p.Message, "where one of these is wanted: "); ok && p.Pos.Line == 2 {
			return strings.Split(list, ", ")
		}
	}
	t.Fatalf("papers are not listed: %v", problems)
	return nil
}

// Every paper that a site may name has a size, and no other has.
func TestPapers(t *testing.T) {
	for _, name := range paperNames(t) {
		if w, h, ok := paperSize(name); !ok || w < 200 || h < w {
			t.Errorf("%s is %v by %v mm", name, w, h)
		}
	}
	if n := len(paperNames(t)); len(papers) != n {
		t.Errorf("%d papers have a size, a site may name %d", len(papers), n)
	}
}

func TestExample(t *testing.T) {
	for _, paper := range paperNames(t) {
		t.Run(paper, func(t *testing.T) {
			p := example(t, paper)
			doc := lay(t, p)
			inspect(t, doc)
			complete(t, p, doc)
			if again := lay(t, p); !reflect.DeepEqual(doc, again) {
				t.Error("the same packet gave another document")
			}
		})
	}
}

// The header holds a job ID and a unit's tag of the most characters, and a long
// name and title.
func TestLongNames(t *testing.T) {
	p := blankPacket(t, "A4", sheet("job", "Job sheet", packet.Para{Text: packet.Say("x")}))
	p.Job.ID, p.Job.Unit, p.Job.UnitName = "K-2026-11-30.0000000001A", "P-214-SAPONIFICATION-002", "Lye transfer pump, second"
	p.Job.Title = "Rebuild with a component seal in the stuffing box and reset the end clearance"
	p.Link = ""
	inspect(t, lay(t, p))
}

func has(problems diag.List, rule string) bool {
	for _, p := range problems {
		if p.Rule == rule {
			return true
		}
	}
	return false
}

// The footer says where each stage begins; of a procedure with more stages than it
// has room for it says only where each sheet begins, and nothing is refused.
func TestFinder(t *testing.T) {
	for _, c := range []struct {
		stages int
		want   string
	}{{12, "1\u00a0Wait\u00a01 · 2\u00a0Wait\u00a01"}, {90, "Steps\u00a01"}} {
		var blocks []any
		for i := range c.stages {
			blocks = append(blocks, packet.Heading{Text: "Wait", Level: 1, Index: fmt.Sprintf("%d Wait", i+1)}, packet.Step{ID: fmt.Sprintf("s%d.1", i+1), Number: fmt.Sprintf("%d.1", i+1), Text: packet.Say("Wait.")})
		}
		doc := lay(t, blankPacket(t, "A4", sheet("steps", "Steps", blocks...)))
		inspect(t, doc)
		got := ""
		for _, x := range doc.Pages[0].Texts {
			if strings.HasPrefix(x.S, "Steps\u00a01") || strings.HasPrefix(x.S, "1\u00a0Wait") {
				got = x.S
			}
		}
		if !strings.HasPrefix(got, c.want) || c.stages == 90 && got != c.want {
			t.Errorf("%d stages: the footer says %q", c.stages, got)
		}
	}
}
