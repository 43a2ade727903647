package pdf

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"jobsheaf/internal/page"
)

// Pages that were drawn before give the document that Write gives, in any number
// of documents.
func TestDrawnOnce(t *testing.T) {
	d := sample(t, 40)
	whole := written(t, d)
	drawn, err := Draw(d.Pages)
	if err != nil {
		t.Fatal(err)
	}
	for range 2 {
		var b bytes.Buffer
		w, err := NewWriter(&b, d)
		if err != nil {
			t.Fatal(err)
		}
		if err := w.AddDrawn(drawn, d.Outline, ""); err != nil {
			t.Fatal(err)
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(b.Bytes(), whole) {
			t.Error("drawn before, the document differs")
		}
	}
	if got := IdentityOf(whole[len(whole)-512:]); got == "" || got != Identity(d) {
		t.Errorf("the file says it is %q, not %q", got, Identity(d))
	}
	if got := IdentityOf(whole[:len(whole)-40]); got != "" {
		t.Errorf("a file without its end says it is %q", got)
	}
	if _, err := Draw([]page.Page{{W: 1, H: 1}}); err == nil {
		t.Error("paper of 1 mm was drawn")
	}
}

// Pages that lead come first, with their bookmarks and labels, though they were
// added last. Poppler and qpdf are asked.
func TestLead(t *testing.T) {
	d := sample(t, 40)
	marks := func(from, to int) (out []page.Mark) {
		for _, m := range d.Outline {
			if m.Page >= from && m.Page < to {
				m.Page -= from
				out = append(out, m)
			}
		}
		return out
	}
	name := filepath.Join(t.TempDir(), "doc.pdf")
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	w, err := NewWriter(f, d)
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Add(d.Pages[36:], marks(36, 40), "B "); err != nil {
		t.Fatal(err)
	}
	if err := w.Lead(d.Pages[:36], marks(0, 36), "A "); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	f.Close()
	if got, want := run(t, "pdftotext", name, "-"), run(t, "pdftotext", file(t, d), "-"); got != want {
		t.Error("the pages are not in their order")
	}
	run(t, "qpdf", "--check", name)
	var b bytes.Buffer
	direct, _ := NewWriter(&b, d)
	direct.Add(d.Pages[:36], marks(0, 36), "A ")
	direct.Add(d.Pages[36:], marks(36, 40), "B ")
	if err := direct.Close(); err != nil {
		t.Fatal(err)
	}
	raw, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	led, straight := parsed(t, raw), parsed(t, b.Bytes())
	if got, want := at(t, led, "PageLabels", "Nums").String(), at(t, straight, "PageLabels", "Nums").String(); got != want {
		t.Errorf("labels %s, not %s", got, want)
	}
	if got, want := run(t, "mutool", "show", name, "outline"), run(t, "mutool", "show", saved(t, b.Bytes()), "outline"); got != want {
		t.Errorf("outline\n%s\nnot\n%s", got, want)
	}
	if err := direct.Lead(nil, nil, ""); err == nil {
		t.Error("pages lead without a prefix")
	}
}

// saved puts a file's bytes where other programs can read them.
func saved(t *testing.T, b []byte) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "saved.pdf")
	if err := os.WriteFile(name, b, 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}
