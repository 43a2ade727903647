package prove

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"jobsheaf/internal/page"
	"jobsheaf/internal/pdf"
	"jobsheaf/internal/pdfread"

	"pgregory.net/rapid"
)

// letters is what is read of a document that has a page for each byte.
var letters = sync.OnceValue(func() []pdfread.Sum {
	d := page.Doc{Created: "2025-03-04T06:00:00Z"}
	for c := range 256 {
		d.Pages = append(d.Pages, page.Page{W: 210, H: 297, Texts: []page.Text{{X: 20, Y: 20, Size: 10, S: fmt.Sprint(c)}}})
	}
	var b bytes.Buffer
	if err := pdf.Write(&b, d); err != nil {
		panic(err)
	}
	f, err := pdfread.Read(b.Bytes())
	if err != nil {
		panic(err)
	}
	return f.Pages
})

// sum is the digest of a page of that name.
func sum(name byte) pdfread.Sum { return letters()[name] }

func sums(names string) []pdfread.Sum {
	var out []pdfread.Sum
	for i := range len(names) {
		out = append(out, sum(names[i]))
	}
	return out
}

func TestPages(t *testing.T) {
	for _, c := range []struct{ got, want, say string }{
		{"abcd", "abcd", ""},
		{"abxd", "abcd", "page 3 (steps) was altered"},
		{"axyd", "abcd", "page 2 (steps) to page 3 (steps) were altered"},
		{"acbd", "abcd", "pages 2 and 3 are swapped"},
		{"dbca", "abcd", "pages 1 and 4 are swapped"},
		{"bcad", "abcd", "pages are in another order: in the places of 1 to 3 are pages 2, 3, 1"},
		{"abd", "abcd", "page 3 (steps) was taken out"},
		{"a", "abcd", "page 2 (steps) to page 4 (steps) were taken out"},
		{"", "ab", "page 1 (cover) to page 2 (steps) were taken out"},
		{"abcdx", "abcd", "the page that is now page 5 was added"},
		{"abbcd", "abcd", "page 2 (steps) is there 2 times"},
		{"abcdb", "abcd", "page 2 (steps) is there 2 times"},
		{"xbcda", "abcd", "the page that is now page 1 was added; pages are in another order: in the places of 1 to 4 are pages 2, 3, 4, 1"},
		{"acbx", "abcd", "page 4 (steps) was altered; pages 2 and 3 are swapped"},
	} {
		var r Report
		r.pages(sums(c.got), sums(c.want), []string{"cover", "steps", "steps", "steps"})
		var said []string
		for _, f := range r.Findings {
			said = append(said, f.Message)
		}
		if got := strings.Join(said, "; "); got != c.say {
			t.Errorf("%s for %s: %q, want %q", c.got, c.want, got, c.say)
		}
	}
}

// Any two rows of pages that differ are told apart, and every page that is named
// is one that there is.
func TestPagesDiffer(t *testing.T) {
	page := rapid.SampledFrom([]byte("abcdefgh"))
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SliceOfNDistinct(page, 1, 8, rapid.ID[byte]).Draw(t, "want")
		got := rapid.SliceOfN(rapid.OneOf(page, rapid.ByteRange('x', 'z')), 0, 10).Draw(t, "got")
		var r Report
		r.pages(sums(string(got)), sums(string(want)), nil)
		if same := slices.Equal(got, want); same != (len(r.Findings) == 0) {
			t.Fatalf("%s for %s: %v", got, want, r.Findings)
		}
		for _, f := range r.Findings {
			if f.Message == "" || len(f.Pages) == 0 {
				t.Fatal(fmt.Sprintf("says %+v", f))
			}
			for _, p := range f.Pages {
				if p < 1 || p > max(len(got), len(want)) {
					t.Fatalf("names page %d of %d", p, len(want))
				}
			}
		}
	})
}

// A file that is not a packet is reported as such, and no packet is made from it.
func TestFileThatIsNoPacket(t *testing.T) {
	never := Again{Program: "x", Make: nil} // would panic
	for name, c := range map[string]struct {
		b    string
		want Kind
	}{
		"nothing": {"", kindNotOurs}, "text": {"dear sir", kindNotOurs}, "a head": {"%PDF-1.7\n", kindTruncated},
		"an empty document": {"%PDF-1.7\n1 0 obj<</Type/Catalog>>endobj trailer<</Root 1 0 R>>\n%%EOF", kindNotOurs},
	} {
		r := File([]byte(c.b), never)
		if r.Same || len(r.Findings) == 0 || r.Findings[0].Kind != c.want {
			t.Errorf("%s: %+v", name, r)
		}
	}
}
