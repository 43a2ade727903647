package pdfread

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"jobsheaf/internal/page"
	"jobsheaf/internal/pdf"
)

// attached is a document of n pages with text, codes, bookmarks and attachments.
func attached(n int) page.Doc {
	d := page.Doc{
		Title: "K-24817 (P-214) – Wellendichtung", Subject: "Job packet", Language: "en", Created: "2025-03-04T06:00:00+01:00", ID: "7f3a91c2",
		Attachments: []page.Attachment{
			{Name: "packet.json", MIME: "application/json", Description: "What the packet says", Relationship: "Data", Data: []byte(`{"job":"K-24817"}`)},
			{Name: "Größe (neu).yaml", MIME: "application/yaml", Description: "Maße", Relationship: "Source", Data: []byte("unit: P-214\n")},
			{Name: "inputs.yaml", MIME: "application/yaml", Relationship: "Source", Data: []byte(strings.Repeat("unit: P-214\n", 500))},
			{Name: "empty.csv", MIME: "text/csv", Relationship: "Supplement"},
		},
	}
	for i := range n {
		pg := page.Page{W: 210, H: 297, Sheet: "steps", Title: "Steps"}
		pg.Texts = append(pg.Texts, page.Text{X: 20, Y: 20, Size: 14, Face: page.BoldCondensed, S: fmt.Sprintf("DANGER: sheet %d of %d", i+1, n)})
		for row := range 40 {
			pg.Texts = append(pg.Texts, page.Text{X: 20, Y: 30 + 5*float64(row), Size: 9.5, S: fmt.Sprintf("Łódź ≤ %d.%02d mm: write down what was measured", i, row)})
			pg.Boxes = append(pg.Boxes, page.Box{ID: fmt.Sprint(i, row), Kind: page.Tick, X: 180, Y: 26 + 5*float64(row), W: 4.5, H: 4.5})
		}
		d.Pages = append(d.Pages, pg)
		d.Outline = append(d.Outline, page.Mark{Title: fmt.Sprintf("Sheet %d – Größe", i+1), Page: i, Level: i % 3})
	}
	return d
}

func written(t testing.TB, d page.Doc) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := pdf.Write(&b, d); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func reread(t testing.TB, b []byte) File {
	t.Helper()
	f, err := Read(b)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// differ reports the parts in which two files differ.
func differ(a, b File) (out []string) {
	if len(a.Pages) != len(b.Pages) || len(a.Attachments) != len(b.Attachments) {
		return []string{"count"}
	}
	for i := range a.Pages {
		if a.Pages[i] != b.Pages[i] {
			out = append(out, fmt.Sprintf("page %d %s", i+1, a.Pages[i].Fault))
		}
	}
	for i, x := range a.Attachments {
		y := b.Attachments[i]
		if x.Name != y.Name || x.MIME != y.MIME || x.Relationship != y.Relationship || x.Description != y.Description || !bytes.Equal(x.Data, y.Data) || x.Fault != y.Fault {
			out = append(out, x.Name+" "+x.Fault)
		}
	}
	for k, x := range a.Parts {
		if x != b.Parts[k] {
			out = append(out, k+" "+x.Fault)
		}
	}
	return out
}

// What was written is read back: pages, attachments, and nothing at fault.
func TestReadWhatWasWritten(t *testing.T) {
	for _, n := range []int{1, 10, 70} {
		d := attached(n)
		f := reread(t, written(t, d))
		if len(f.Pages) != n || !f.Whole {
			t.Fatalf("%d pages, want %d; whole: %v", len(f.Pages), n, f.Whole)
		}
		seen := map[Sum]bool{}
		for i, p := range f.Pages {
			if p.Fault != "" || seen[p] {
				t.Errorf("page %d: %q, seen before: %v", i+1, p.Fault, seen[p])
			}
			seen[p] = true
		}
		if len(f.Attachments) != len(d.Attachments) {
			t.Fatalf("%d attachments", len(f.Attachments))
		}
		for _, want := range d.Attachments {
			found := false
			for _, got := range f.Attachments {
				if got.Name == want.Name {
					found = got.Fault == "" && got.MIME == want.MIME && got.Description == want.Description && got.Relationship == want.Relationship && bytes.Equal(got.Data, want.Data)
				}
			}
			if !found {
				t.Errorf("attachment %q is not what was attached", want.Name)
			}
		}
		for k, s := range f.Parts {
			if s.Fault != "" {
				t.Errorf("%s: %s", k, s.Fault)
			}
		}
	}
}

// A file that other programs rewrote says the same.
func TestReadRewritten(t *testing.T) {
	d := attached(40)
	want := reread(t, written(t, d))
	name := filepath.Join(t.TempDir(), "doc.pdf")
	if err := os.WriteFile(name, written(t, d), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"--object-streams=generate", "--recompress-flate"}, {"--object-streams=disable", "--stream-data=uncompress"}, {"--qdf", "--normalize-content=n"}, {"--linearize"},
	} {
		out := filepath.Join(t.TempDir(), "again.pdf")
		if said, err := exec.Command("qpdf", append(args, name, out)...).CombinedOutput(); err != nil {
			t.Fatalf("qpdf: %v\n%s", err, said)
		}
		b, err := os.ReadFile(out)
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Equal(b, written(t, d)) {
			t.Fatal("not rewritten")
		}
		if got := differ(reread(t, b), want); len(got) > 0 {
			t.Errorf("after qpdf %v these differ: %v", args, got)
		}
	}
}

// Each alteration is seen where it is.
func TestReadAltered(t *testing.T) {
	d := attached(3)
	whole := written(t, d)
	want := reread(t, whole)
	for _, c := range []struct {
		name string
		do   func() []byte
		say  string
	}{
		{"another text on page 2", func() []byte {
			e := attached(3)
			e.Pages[1].Texts[0].S = "DANGER: sheet 2 of 4"
			return written(t, e)
		}, "page 2"},
		{"another bookmark", func() []byte {
			e := attached(3)
			e.Outline[1].Title += "x"
			return written(t, e)
		}, "bookmarks"},
		{"a bookmark to another page", func() []byte {
			e := attached(3)
			e.Outline[1].Page = 2
			return written(t, e)
		}, "bookmarks"},
		{"another language", func() []byte {
			e := attached(3)
			e.Language = "es"
			return written(t, e)
		}, "catalog"},
		{"another attachment", func() []byte {
			e := attached(3)
			e.Attachments[0].Data = []byte("{}")
			return written(t, e)
		}, "packet.json"},
		{"an annotation", func() []byte {
			return bytes.Replace(whole, []byte("/Type /Page\n"), []byte("/Type /Page/Annots[<</Subtype/Text>>]\n"), 1)
		}, "page 1"},
	} {
		got := differ(reread(t, c.do()), want)
		hit := false
		for _, g := range got {
			hit = hit || strings.HasPrefix(g, c.say)
		}
		if !hit || len(got) > 3 { // the language is in the metadata too
			t.Errorf("%s: these differ: %v", c.name, got)
		}
	}
}

// A turned byte or a missing end stops nothing.
func TestReadTurnedBytes(t *testing.T) {
	whole := written(t, attached(1))
	for i := 0; i < len(whole); i += 1499 {
		b := bytes.Clone(whole)
		b[i] ^= 0x55
		_, _ = Read(b)
	}
	for n := 0; n < len(whole); n += 3989 {
		f, err := Read(whole[:n])
		if err == nil && n < len(whole)-1024 && f.Whole {
			t.Fatalf("cut off at %d, the file is taken for whole", n)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(written(f, attached(1))[:2000])
	f.Add([]byte("%PDF-1.7\n1 0 obj<</Pages 2 0 R/Names<</EmbeddedFiles<</Names[(a)3 0 R]>>>>>>endobj 2 0 obj<</Kids[4 0 R]>>endobj 3 0 obj<</UF(a)/EF<</F 5 0 R>>>>endobj 4 0 obj<</Contents 5 0 R>>endobj 5 0 obj<</Length 3>>stream\nabc\nendstream endobj trailer<</Root 1 0 R>>\n%%EOF"))
	f.Fuzz(func(t *testing.T, b []byte) {
		if d, err := Read(b); err == nil && d.Parts == nil {
			t.Fatal("no error and nothing read")
		}
	})
}
