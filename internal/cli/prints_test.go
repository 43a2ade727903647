package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"jobsheaf/internal/page"
	"jobsheaf/internal/pdf"
)

// A print file is proved packet by packet: each against the packet's own file.
func TestProvePrintFile(t *testing.T) {
	out := t.TempDir()
	made, doc := packetOf(t, "soapworks", "K-24818")
	must(t, os.WriteFile(filepath.Join(out, "K-24818.pdf"), made, 0o644))
	must(t, os.Mkdir(filepath.Join(out, "print"), 0o755))
	joined := filepath.Join(out, "print", "joined.pdf")
	join := func(pages []page.Page, more ...page.Page) {
		var b bytes.Buffer
		w, err := pdf.NewWriter(&b, page.Doc{Title: "joined", Created: "2026-11-30T00:00:00Z"})
		must(t, err)
		must(t, w.Add(doc.Pages[:1], nil, "This week "))
		must(t, w.Add(append(append([]page.Page{}, pages...), more...), nil, "K-24818 "))
		must(t, w.Add(doc.Pages, nil, "K-99999 "))
		must(t, w.Close())
		must(t, os.WriteFile(joined, b.Bytes(), 0o644))
	}
	altered := append([]page.Page{}, doc.Pages...)
	altered[2].Texts = append([]page.Text{{X: 30, Y: 30, Size: 10, S: "85 N.m"}}, altered[2].Texts...)
	for _, c := range []struct {
		pages []page.Page
		want  string
	}{
		{doc.Pages, "K-24818, from page 2: same pages"},
		{altered, "page 3 (job) was altered"},
		{doc.Pages[:4], "page 5"},
	} {
		join(c.pages)
		got := jobsheaf("prove", joined)
		if got.code != exitRefused || !strings.Contains(got.out, c.want) || !strings.Contains(got.out, "K-99999, from page") || strings.Contains(got.out, "This week") {
			t.Errorf("want %q: exit code %d\n%s%s", c.want, got.code, got.out, got.err)
		}
	}
	// A packet whose own file was altered proves nothing.
	join(doc.Pages)
	must(t, os.WriteFile(filepath.Join(out, "K-24818.pdf"), bytes.Replace(made, []byte("/Producer(jobsheaf)"), []byte("/Producer(Jobsheaf)"), 1), 0o644))
	if got := jobsheaf("prove", joined); !strings.Contains(got.out, "prove nothing") {
		t.Errorf("%+v", got)
	}
}

// A file that cannot be opened is reported, and the others are proved; the JSON has an
// entry for each.
func TestProveGoesOn(t *testing.T) {
	dir := t.TempDir()
	made, _ := packetOf(t, "soapworks", "K-24818")
	whole, missing := filepath.Join(dir, "K-24818.pdf"), filepath.Join(dir, "none.pdf")
	must(t, os.WriteFile(whole, made, 0o644))
	if got := jobsheaf("prove", missing, dir, whole); got.code != exitWrong || !strings.Contains(got.out, "K-24818.pdf: same bytes") || strings.Count(got.err, "\n") != 2 {
		t.Errorf("%+v", got)
	}
	got := jobsheaf("prove", missing, whole, "--json")
	var list []struct {
		File, Error string
		Same        bool
	}
	if err := json.Unmarshal([]byte(got.out), &list); err != nil || got.code != exitWrong {
		t.Fatalf("exit code %d, %v\n%s", got.code, err, got.out)
	}
	if len(list) != 2 || list[0].Error == "" || list[0].File != missing || list[0].Same || !list[1].Same || list[1].Error != "" {
		t.Errorf("%+v", list)
	}
}
