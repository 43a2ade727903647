package layout

import (
	"reflect"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
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

func TestExample(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
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

func has(problems diag.List, rule string) bool {
	for _, p := range problems {
		if p.Rule == rule {
			return true
		}
	}
	return false
}
