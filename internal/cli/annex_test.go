package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/layout"
	"jobsheaf/internal/page"
	"jobsheaf/internal/pdf"
	"jobsheaf/internal/pdfread"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/record"
)

// An annex that was altered is found out as a packet is, and as what it is.
func TestAlteredAnnexesAreTold(t *testing.T) {
	st := readSite(os.DirFS("../../samples/soapworks"))
	at := slices.IndexFunc(st.jobs(), func(j *record.Job) bool { return j.ID.S == "K-24818" })
	made, err := (&printjob.Maker{Composer: st.composer, Annex: true}).Print(st.jobs()[at])
	if err != nil || made.Packet == nil {
		t.Fatal(err, made.Problems)
	}
	whole := made.Files[2].Data
	doc, _ := layout.Annex(*made.Packet)
	f, err := pdfread.Read(whole)
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range f.Attachments {
		doc.Attachments = append(doc.Attachments, a.Attachment)
	}
	altered := func(do func(*page.Doc)) []byte {
		d := doc
		d.Pages, d.Attachments = slices.Clone(doc.Pages), slices.Clone(doc.Attachments)
		do(&d)
		var b bytes.Buffer
		w, err := pdf.NewWriter(&b, d)
		if err == nil {
			err = w.Add(d.Pages, d.Outline, "K-24818-annex ")
		}
		if err == nil {
			err = w.Close()
		}
		if err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	if !bytes.Equal(altered(func(*page.Doc) {}), whole) {
		t.Fatal("what was read back prints another file")
	}
	all := ""
	for i := range doc.Pages {
		all += fmt.Sprint(" ", i+1)
	}
	for _, c := range []struct {
		name string
		file []byte
		want string // kinds
		say  string
	}{
		{"a number on page 2", altered(func(d *page.Doc) {
			d.Pages[1].Texts = slices.Clone(d.Pages[1].Texts)
			x := &d.Pages[1].Texts[len(d.Pages[1].Texts)/2]
			x.S = "1" + x.S
		}), "page 2", "page 2 was altered"},
		{"pages 1 and 2 swapped", altered(func(d *page.Doc) { d.Pages[0], d.Pages[1] = d.Pages[1], d.Pages[0] }), "order 1 2", "swapped"},
		{"a number on record", altered(func(d *page.Doc) {
			d.Attachments[0].Data = bytes.Replace(d.Attachments[0].Data, []byte("temperature: 45"), []byte("temperature: 46"), 1)
		}), "input, attachment, page" + all, "was altered since"},
		{"no inputs", altered(func(d *page.Doc) { d.Attachments = nil }), "attachment", "it carries no inputs.txt"},
		{"an attachment more", altered(func(d *page.Doc) {
			d.Attachments = append(d.Attachments, page.Attachment{Name: "x.txt", MIME: "text/plain", Relationship: "Data"})
		}), "attachment", "was added"},
		{"cut in half", whole[:len(whole)/2], "truncated", "cut off"},
	} {
		r := proof(c.file)
		if r.Same || kinds(r) != c.want || !strings.Contains(fmt.Sprint(r.Findings), c.say) {
			t.Errorf("%s: same %v, found %s, want %s with %q: %v", c.name, r.Same, kinds(r), c.want, c.say, r.Findings)
		}
	}
	if r := proof(whole); !r.Same || !r.Annex {
		t.Errorf("the annex itself: %+v", r)
	}
}

// In print files the annex stands behind its packet, its pages counted by themselves,
// and is held to the one that the packet carries.
func TestPrintFilesWithAnnexes(t *testing.T) {
	dir := t.TempDir()
	run := func(args ...string) (int, string) {
		var out bytes.Buffer
		code := Main(args, Streams{Out: &out, Err: &out})
		return code, out.String()
	}
	week := []string{"week", "week-49", "--site", "../../samples/soapworks", "--out", dir, "--today", "2026-11-20", "--duplex"}
	if code, said := run(append(week, "--annex")...); code != exitDone {
		t.Fatal(said)
	}
	packet, annex := filepath.Join(dir, "K-24817.pdf"), filepath.Join(dir, "K-24817-annex.pdf")
	name := printFileOf(t, dir, "K-24817")
	if code, said := run("prove", packet, annex, name); code != exitDone || !strings.Contains(said, "K-24817-annex.pdf: same bytes\n") ||
		!strings.Contains(said, "  K-24817, annex, from page ") || strings.Contains(said, "differs") {
		t.Errorf("exit %d: %s", code, said)
	}
	file, err := os.ReadFile(packet)
	if err != nil {
		t.Fatal(err)
	}
	own, err := pdfread.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	carried := slices.IndexFunc(own.Attachments, func(a pdfread.Attached) bool { return a.Name == printjob.AnnexName })
	if beside, err := os.ReadFile(annex); err != nil || !bytes.Equal(beside, own.Attachments[carried].Data) {
		t.Errorf("the file beside the packet is not the one that it carries: %v", err)
	}

	// A page of the annex that is not the annex's any more is found.
	if code, said := run("prove", writeFile(t, dir, "print/altered.pdf", bytes.Replace(readFile(t, name), []byte("(K-24817-annex )"), []byte("(K-24818-annex )"), 1))); code != exitRefused || !strings.Contains(said, "  K-24818, annex, from page ") {
		t.Errorf("an annex under another job's name: exit %d: %s", code, said)
	}

	// Run again, it keeps what is whole; a damaged annex is made again; without the flag
	// an annex that is still true may stay.
	before := readFile(t, annex)
	if code, said := run(append(week, "--annex", "--json")...); code != exitDone || !strings.Contains(said, fmt.Sprintf(`"kept": %d,`, demoJobs(t, "week-49"))) {
		t.Errorf("run again: exit %d: %s", code, said)
	}
	writeFile(t, dir, "K-24817-annex.pdf", before[:len(before)/2])
	if code, _ := run(append(week, "--annex")...); code != exitDone || !bytes.Equal(readFile(t, annex), before) {
		t.Errorf("a damaged annex is not made again: exit %d", code)
	}
	if code, said := run(week...); code != exitDone || strings.Contains(said, "-annex.pdf") {
		t.Errorf("without annexes: exit %d: %s", code, said)
	}
	if code, said := run("prove", name); code != exitDone || strings.Contains(said, ", annex") {
		t.Errorf("without annexes: exit %d: %s", code, said)
	}
	writeFile(t, dir, "K-24817-annex.pdf", readFile(t, filepath.Join(dir, "K-24818-annex.pdf")))
	if _, said := run(week...); !strings.Contains(said, "K-24817-annex.pdf") {
		t.Errorf("an annex of other records is not named: %s", said)
	}
}

func readFile(t *testing.T, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func writeFile(t *testing.T, dir, name string, b []byte) string {
	t.Helper()
	name = filepath.Join(dir, name)
	if err := os.WriteFile(name, b, 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

// printFileOf gives the print file that has a job.
func printFileOf(t *testing.T, dir, job string) string {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(dir, "print", "*.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		f, err := pdfread.Read(readFile(t, name))
		if err != nil {
			t.Fatal(err)
		}
		if slices.ContainsFunc(f.Sections, func(s pdfread.Section) bool { return s.Prefix == job+" " }) {
			return name
		}
	}
	t.Fatalf("no print file has %s", job)
	return ""
}

// A job whose ID ends as the names of annexes do is refused.
func TestAJobNamedAsAnAnnex(t *testing.T) {
	var out bytes.Buffer
	code := Main([]string{"make", "--site", "../../samples/soapworks", "--unit", "P-214", "--procedure", "reset-end-clearance", "--job", "K-1-Annex", "--out", t.TempDir()}, Streams{Out: &out, Err: &out})
	if code != exitWrong || !strings.Contains(out.String(), `--job "K-1-Annex": it ends in -annex`) {
		t.Errorf("exit %d: %s", code, out.String())
	}
}

// An annex that an earlier run printed and that is not the packet's any more is named.
func TestOldAnnexIsNamed(t *testing.T) {
	dir := t.TempDir()
	print := func(more ...string) string {
		var out bytes.Buffer
		args := append([]string{"make", "--site", "../../samples/soapworks", "--out", dir, "K-24818"}, more...)
		if code := Main(args, Streams{Out: &out, Err: &out}); code != exitDone {
			t.Fatalf("exit %d: %s", code, out.String())
		}
		return out.String()
	}
	print("--annex")
	if said := print(); strings.Contains(said, "old-print") {
		t.Errorf("an annex that is the packet's: %s", said)
	}
	name := writeFile(t, dir, "K-24818-annex.pdf", []byte("of other records"))
	if said := print(); !strings.Contains(said, name+" was printed in an earlier run") {
		t.Errorf("an annex that is not: %s", said)
	}
	if said := print("--annex"); strings.Contains(said, "old-print") {
		t.Errorf("printed again: %s", said)
	}
}

// The annex of a rebuild takes eleven pages at most.
func TestAnnexesAreShort(t *testing.T) {
	const most = 11
	for _, language := range []string{"en", "es"} {
		for _, dir := range []string{"soapworks", "candleworks-us"} {
			st, _ := inLanguage(t, dir, language)
			for _, j := range st.jobs() {
				made, err := (&printjob.Maker{Composer: st.composer}).Print(j)
				if err != nil || made.Packet == nil {
					t.Fatal(err, made.Problems)
				}
				if n := made.Annex.Pages; n == 0 || n > most {
					t.Errorf("%s in %s: its annex has %d pages, and %d are the most", j.ID.S, language, n, most)
				}
			}
		}
	}
}
