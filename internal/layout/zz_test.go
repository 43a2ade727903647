package layout

import (
	"jobsheaf/internal/pdf"
	"os"
	"testing"
)

func TestDump(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		doc, problems := Layout(example(t, paper))
		for _, p := range problems {
			t.Log(p)
		}
		f, _ := os.Create("/tmp/layout-" + paper + ".pdf")
		if err := pdf.Write(f, doc); err != nil {
			t.Error(err)
		}
		f.Close()
	}
}
