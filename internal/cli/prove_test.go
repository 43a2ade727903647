package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/layout"
	"jobsheaf/internal/page"
	"jobsheaf/internal/pdf"
	"jobsheaf/internal/pdfread"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/prove"

	"github.com/jung-kurt/gofpdf"
	"pgregory.net/rapid"
)

// packetOf prints one job of a demo site, and gives the file, and the document
// with what it carries.
func packetOf(t testing.TB, dir, job string) ([]byte, page.Doc) {
	t.Helper()
	st := readSite(os.DirFS("../../samples/" + dir))
	for _, j := range st.jobs() {
		if j.ID.S != job {
			continue
		}
		made, err := (&printjob.Maker{Composer: st.composer}).Print(j)
		if err != nil || made.Packet == nil {
			t.Fatal(err, made.Problems)
		}
		doc, _ := layout.Layout(*made.Packet)
		f, err := pdfread.Read(made.Files[0].Data)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range f.Attachments {
			doc.Attachments = append(doc.Attachments, a.Attachment)
		}
		if !bytes.Equal(pdfOf(t, doc), made.Files[0].Data) {
			t.Fatal("what was read back prints another file")
		}
		return made.Files[0].Data, doc
	}
	t.Fatalf("no job %s", job)
	return nil, page.Doc{}
}

func pdfOf(t testing.TB, d page.Doc) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := pdf.Write(&b, d); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func proof(b []byte) prove.Report {
	return prove.File(b, prove.Again{Program: program, Make: remake})
}

// kinds gives what a report found, in short: the kind, then the pages.
func kinds(r prove.Report) string {
	var out []string
	for _, f := range r.Findings {
		s := string(f.Kind)
		for _, p := range f.Pages {
			s += fmt.Sprintf(" %d", p)
		}
		out = append(out, s)
	}
	return strings.Join(slices.Compact(out), ", ")
}

func TestEveryPacketIsProved(t *testing.T) {
	for _, language := range []string{"en", "es"} {
		for _, dir := range []string{"soapworks", "candleworks-us"} {
			st, _ := inLanguage(t, dir, language)
			for _, j := range st.jobs() {
				made, err := (&printjob.Maker{Composer: st.composer, Annex: true}).Print(j)
				if err != nil || made.Packet == nil {
					t.Fatal(err, made.Problems)
				}
				for i, annex := range map[int]bool{0: false, 2: true} {
					r := proof(made.Files[i].Data)
					if !r.Same || r.Job != j.ID.S || r.Fingerprint != made.Packet.Fingerprint || r.Program != program || r.Annex != annex {
						t.Errorf("%s in %s: %+v", made.Files[i].Name, language, r)
					}
				}
			}
		}
	}
}

// qpdf rewrites a file, as somebody with that program would.
func qpdf(t testing.TB, b []byte, args ...string) []byte {
	t.Helper()
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.pdf"), filepath.Join(dir, "out.pdf")
	if err := os.WriteFile(in, b, 0o600); err != nil {
		t.Fatal(err)
	}
	args = slices.Concat([]string{in}, args, []string{out})
	if msg, err := exec.Command("qpdf", args...).CombinedOutput(); err != nil {
		t.Fatalf("qpdf %v: %v\n%s", args, err, msg)
	}
	got, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// Each way of altering a packet is reported by its name and place, and nothing else
// is blamed.
func TestAlteredPacketsAreTold(t *testing.T) {
	whole, doc := packetOf(t, "soapworks", "K-24818")
	_, other := packetOf(t, "soapworks", "K-24819")
	altered := func(do func(*page.Doc)) []byte {
		d := doc
		d.Pages, d.Attachments, d.Outline = slices.Clone(doc.Pages), slices.Clone(doc.Attachments), slices.Clone(doc.Outline)
		do(&d)
		return pdfOf(t, d)
	}
	attachment := func(name, old, new string) []byte {
		return altered(func(d *page.Doc) {
			for i, a := range d.Attachments {
				if a.Name == name {
					if !bytes.Contains(a.Data, []byte(old)) {
						t.Fatalf("%s has no %q", name, old)
					}
					d.Attachments[i].Data = bytes.Replace(a.Data, []byte(old), []byte(new), 1)
				}
			}
		})
	}
	text := func(d *page.Doc, n int) {
		d.Pages[n].Texts = slices.Clone(d.Pages[n].Texts)
		for i, x := range d.Pages[n].Texts {
			if k := strings.IndexAny(x.S, "0123456789"); k >= 0 {
				c := (x.S[k]-'0'+1)%10 + '0'
				d.Pages[n].Texts[i].S = x.S[:k] + string(rune(c)) + x.S[k+1:]
				return
			}
		}
		t.Fatalf("page %d has no digit", n+1)
	}
	last := len(doc.Pages)
	for _, c := range []struct {
		name string
		file []byte
		want string // kinds
		say  string
	}{
		{"a digit on page 6", altered(func(d *page.Doc) { text(d, 5) }), "page 6", "page 6 ("},
		{"a digit on pages 3, 4 and the last", altered(func(d *page.Doc) { text(d, 2); text(d, 3); text(d, last-1) }), fmt.Sprintf("page 3 4, page %d", last), "page 3 (job) to page 4"},
		{"pages 2 and 3 swapped", qpdf(t, whole, "--pages", ".", "1,3,2,4-z", "--"), "order 2 3, document", "pages 2 and 3 are swapped"},
		{"page 5 taken out", qpdf(t, whole, "--pages", ".", "1-4,6-z", "--"), "page 5, document", "was taken out"},
		{"the last page taken out", altered(func(d *page.Doc) {
			d.Pages = d.Pages[:last-1]
			d.Outline = slices.DeleteFunc(d.Outline, func(m page.Mark) bool { return m.Page >= last-1 })
		}), fmt.Sprintf("page %d, document", last), "was taken out"},
		{"a page of another packet for page 2", altered(func(d *page.Doc) { d.Pages[1] = other.Pages[1] }), "page 2", "was altered"},
		{"a page of another packet more", altered(func(d *page.Doc) { d.Pages = append(d.Pages, other.Pages[1]) }), fmt.Sprintf("page %d", last+1), "was added"},
		{"page 2 twice", altered(func(d *page.Doc) { d.Pages = append(d.Pages, d.Pages[1]) }), "page 2", "is there 2 times"},
		{"pages in a circle", altered(func(d *page.Doc) { d.Pages[0], d.Pages[1], d.Pages[2] = d.Pages[1], d.Pages[2], d.Pages[0] }), "order 1 2 3", "are pages 2, 3, 1"},
		{"a note on page 1", bytes.Replace(qpdf(t, whole, "--qdf", "--normalize-content=n"), []byte("  /Type /Page\n"), []byte("  /Annots [ << /Type /Annot /Subtype /Text /Rect [ 0 0 9 9 ] /Contents (x) >> ]\n  /Type /Page\n"), 1), "page 1", "page 1 (cover) was altered"},
		{"what the packet says", attachment(printjob.PacketName, "danger", "Danger"), "attachment", "packet.json was altered, first in line 1"},
		{"where a box lies", attachment(printjob.ManifestName, "\"boxes\": [\n        {\"id\":\"", "\"boxes\": [\n        {\"id\":\"x"), "attachment", "manifest.json was altered, first in line"},
		{"what an attachment is called", altered(func(d *page.Doc) { d.Attachments[0].Description += "!" }), "attachment", "the file's description of its attachment"},
		{"an attachment more", altered(func(d *page.Doc) {
			d.Attachments = append(d.Attachments, page.Attachment{Name: "x.txt", MIME: "text/plain", Relationship: "Data"})
		}), "attachment", `"x.txt" was added`},
		{"an attachment less", altered(func(d *page.Doc) {
			d.Attachments = slices.DeleteFunc(d.Attachments, func(a page.Attachment) bool { return a.Name == printjob.PacketName })
		}), "attachment", "packet.json was taken out"},
		{"a number on record", attachment(printjob.InputsName, "temperature: 45", "temperature: 54"), "input, other-inputs", "units/"},
		{"a record that cannot be read", attachment(printjob.InputsName, "\nunit: ", "\nunit "), "input, not-remade", "no packet can be made"},
		{"the program's version", attachment(printjob.InputsName, "program: "+program, "program: jobsheaf 0.0.9"), "program, attachment", "it was made with jobsheaf 0.0.9"},
		{"the job's day", attachment(printjob.InputsName, "day: 20", "day: 21"), "other-inputs", "the job's entry is not what it was"},
		{"no job", attachment(printjob.InputsName, "-- job.yaml --", "-- jab.yaml --"), "attachment", "do not say"},
		{"no inputs", altered(func(d *page.Doc) { d.Attachments = nil }), "attachment", "from which a packet is made again"},
		{"a byte of the annex", altered(func(d *page.Doc) {
			i := slices.IndexFunc(d.Attachments, func(a page.Attachment) bool { return a.Name == printjob.AnnexName })
			d.Attachments[i].Data = append(bytes.Clone(d.Attachments[i].Data), '\n')
		}), "attachment", "annex.pdf was altered"},
		{"another title", altered(func(d *page.Doc) { d.Title += "!" }), "document", "metadata"},
		{"another bookmark", altered(func(d *page.Doc) { d.Outline[1].Title += "!" }), "document", "bookmarks"},
		{"rewritten", qpdf(t, whole, "--object-streams=generate"), "rewritten", "was rewritten"},
		{"text behind the end", append(slices.Clone(whole), "% more\n"...), "rewritten", "was rewritten"},
		{"encrypted", qpdf(t, whole, "--encrypt", "", "x", "256", "--"), "hurt", "encrypted"},
		{"cut in half", whole[:len(whole)/2], "truncated", "cut off"},
		{"one byte missing", whole[:len(whole)-1], "rewritten", "from byte"},
		{"ten bytes missing", whole[:len(whole)-10], "truncated", "cut off"},
		{"no PDF", []byte("GIF89a"), "not-ours", "not a PDF"},
		{"of another program", foreign(t), "not-ours", "not a packet of this program"},
	} {
		r := proof(c.file)
		if r.Same {
			t.Errorf("%s: said to be the same", c.name)
			continue
		}
		said, _ := json.Marshal(r.Findings)
		if kinds(r) != c.want || !strings.Contains(string(said), strings.ReplaceAll(c.say, `"`, `\"`)) {
			t.Errorf("%s: found %s, want %s with %q: %s", c.name, kinds(r), c.want, c.say, said)
		}
	}
	if r := proof(whole); !r.Same {
		t.Errorf("the packet itself: %+v", r)
	}
}

// foreign is a PDF of another program.
func foreign(t testing.TB) []byte {
	f := gofpdf.New("P", "mm", "A4", "")
	f.AddPage()
	f.SetFont("Helvetica", "", 12)
	f.Cell(10, 10, "a letter")
	var b bytes.Buffer
	if err := f.Output(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The altered line of a record is named by file and line.
func TestAlteredLineIsNamed(t *testing.T) {
	_, doc := packetOf(t, "soapworks", "K-24818")
	for i, a := range doc.Attachments {
		if a.Name == printjob.InputsName {
			doc.Attachments[i].Data = bytes.Replace(a.Data, []byte("temperature: 45"), []byte("temperature: 54"), 1)
		}
	}
	unit, err := os.ReadFile("../../samples/soapworks/units/saponification.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r := proof(pdfOf(t, doc))
	for _, f := range r.Findings {
		if f.Kind != "input" {
			continue
		}
		lines := strings.Split(string(unit), "\n")
		if f.At.Line > len(lines) || !strings.Contains(lines[f.At.Line-1], "temperature: 45") {
			t.Errorf("%s: named is %v", f.Message, f.At)
		}
		return
	}
	t.Errorf("no line is named: %+v", r)
}

// Whichever bytes are turned or taken out, proving ends and never says the same.
func TestTurnedBytesAreFound(t *testing.T) {
	whole, doc := packetOf(t, "soapworks", "K-24818")
	inputs := slices.IndexFunc(doc.Attachments, func(a page.Attachment) bool { return a.Name == printjob.InputsName })
	rapid.Check(t, func(t *rapid.T) {
		turn := func(b []byte) []byte {
			b = bytes.Clone(b)
			for range rapid.IntRange(1, 3).Draw(t, "times") {
				b[rapid.IntRange(0, len(b)-1).Draw(t, "at")] ^= rapid.ByteRange(1, 255).Draw(t, "by")
			}
			return b
		}
		var b []byte
		if rapid.Bool().Draw(t, "in the file") {
			b = turn(whole)
		} else {
			d := doc
			d.Pages = d.Pages[:1]
			d.Outline = nil
			d.Attachments = slices.Clone(doc.Attachments)
			d.Attachments[inputs].Data = turn(doc.Attachments[inputs].Data)
			var buf bytes.Buffer
			if err := pdf.Write(&buf, d); err != nil {
				t.Fatal(err)
			}
			b = buf.Bytes()
		}
		if bytes.Equal(b, whole) {
			return
		}
		if r := proof(b); r.Same || len(r.Findings) == 0 {
			t.Fatalf("said: %+v", r)
		}
	})
}

// The command's words and exit codes.
func TestProveCommand(t *testing.T) {
	whole, _ := packetOf(t, "soapworks", "K-24818")
	dir := t.TempDir()
	good, bad := filepath.Join(dir, "good.pdf"), filepath.Join(dir, "bad.pdf")
	for name, b := range map[string][]byte{good: whole, bad: whole[:1000]} {
		if err := os.WriteFile(name, b, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		args []string
		code int
		say  string
	}{
		{[]string{"prove", good}, exitDone, good + ": same bytes\n"},
		{[]string{"prove", good, bad}, exitRefused, bad + ": differs\n  the file is cut off: after 1000 bytes its end is missing\n"},
		{[]string{"prove", "--json", good}, exitDone, `"same": true`},
		{[]string{"prove"}, exitWrong, "name the files"},
		{[]string{"prove", filepath.Join(dir, "none.pdf")}, exitWrong, "none.pdf"},
		{[]string{"prove", dir}, exitWrong, "not a plain file"},
	} {
		var out bytes.Buffer
		if code := Main(c.args, Streams{Out: &out, Err: &out}); code != c.code || !strings.Contains(out.String(), c.say) {
			t.Errorf("%v: exit %d, want %d: %s", c.args, code, c.code, out.String())
		}
	}
}
