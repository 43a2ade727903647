package cli

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"jobsheaf/internal/layout"
	"jobsheaf/internal/page"
	"jobsheaf/internal/record"
	"jobsheaf/samples"
)

// goldenPages are the packets whose pages are kept as text with its places: a
// small pump, a large one and one in inches on Letter. The sheets are those that
// are looked at most; the steps and the working follow from the same blocks.
var goldenPages = []struct{ site, job string }{
	{"soapworks", "K-24817"}, {"soapworks", "K-24818"}, {"candleworks-us", "J-413"},
}

var goldenSheets = map[string]bool{"cover": true, "card": true, "wear": true, "signoff": true}

// TestGoldenPages checks where everything is on the pages, in hundredths of a
// millimetre, to what was looked at last. `make golden` renews the files, and the
// diff is to be read.
func TestGoldenPages(t *testing.T) {
	for _, g := range goldenPages {
		t.Run(g.job, func(t *testing.T) {
			fsys, err := fs.Sub(samples.FS, g.site)
			if err != nil {
				t.Fatal(err)
			}
			st := readSite(fsys)
			var job *record.Job
			for _, j := range st.jobs() {
				if j.ID.S == g.job {
					job = j
				}
			}
			if job == nil {
				t.Fatalf("the demo has no job %s", g.job)
			}
			pk, problems := st.composer.Make(job)
			if pk == nil {
				t.Fatal(problems)
			}
			// The fingerprint changes with every character of a record; what is held
			// here is what a reader sees of it: nothing but its place.
			pk.Fingerprint = "00000000"
			doc, problems := layout.Layout(*pk)
			if problems.HasErrors() {
				t.Fatal(problems)
			}
			got := pagesAsText(doc)
			name := filepath.Join("..", "..", "testdata", "pages", g.job+".txt")
			if *update {
				if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			want, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			a, b := strings.Split(got, "\n"), strings.Split(string(want), "\n")
			for i := range max(len(a), len(b)) {
				if i >= len(a) || i >= len(b) || a[i] != b[i] {
					t.Fatalf("%s:%d: the page has changed (make golden renews the file; read the diff)\n got %q\nwant %q", name, i+1, lineOf(a, i), lineOf(b, i))
				}
			}
		})
	}
}

func lineOf(list []string, i int) string {
	if i < len(list) {
		return list[i]
	}
	return ""
}

// pagesAsText gives the texts and boxes of a document with their places.
func pagesAsText(doc page.Doc) string {
	var b strings.Builder
	for n, p := range doc.Pages {
		if !goldenSheets[p.Sheet] {
			continue
		}
		fmt.Fprintf(&b, "page %d %s %.1f x %.1f mm\n", n+1, p.Sheet, p.W, p.H)
		for _, t := range p.Texts {
			fmt.Fprintf(&b, "text %.2f %.2f %.1f %s\n", t.X, t.Y, t.Size, t.S)
		}
		for _, x := range p.Boxes {
			fmt.Fprintf(&b, "box %.2f %.2f %.2f %.2f %s %s\n", x.X, x.Y, x.W, x.H, x.Kind, x.ID)
		}
	}
	return b.String()
}
