package cli

import (
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/source"
	"jobsheaf/templates"
)

// accents stand in for the vowels of the language that the tests make up: what
// comes from its catalogues is known by them on the page.
var accents = strings.NewReplacer("a", "å", "e", "ê", "i", "î", "o", "ø", "u", "ü", "A", "Å", "E", "Ê", "I", "Î", "O", "Ø", "U", "Ü")

// accented puts a text into that language: all of it but the names in braces.
func accented(text string) string {
	var b strings.Builder
	for text != "" {
		before, rest, found := strings.Cut(text, "{")
		b.WriteString(accents.Replace(before))
		if !found {
			break
		}
		name, after, _ := strings.Cut(rest, "}")
		b.WriteString("{" + name + "}")
		text = after
	}
	return b.String()
}

// speakAccented gives a site all the words and texts of a language that is not
// built in, and chooses it.
func (p plant) speakAccented(t testing.TB) plant {
	t.Helper()
	p.replace(t, "site.yaml", "language: en", "language: qaa")
	for _, dir := range []string{"words/en.yaml", "texts/es"} {
		err := fs.WalkDir(templates.FS, dir, func(file string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			docs, problems := source.ReadFile(templates.FS, file, source.Options{})
			if len(docs) != 1 || len(problems) > 0 {
				t.Fatal(file, problems)
			}
			to, keyed := "texts/qaa/"+path.Base(file), false
			if strings.HasPrefix(file, "words/") {
				to, keyed = "words/qaa.yaml", true
			}
			var b strings.Builder
			for _, e := range docs[0].Root.Entries() {
				text := e.Key.S
				if keyed {
					text = e.Value.Text().S
				}
				fmt.Fprintf(&b, "%q: %q\n", e.Key.S, accented(text))
			}
			p[to] = b.String()
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return p
}

// TestSitesOwnLanguage prints a demo week in a language that is in the site's
// folder alone, through the command: nothing of the program's own is left in
// English, each packet proves itself, and parts join to the same front matter.
func TestSitesOwnLanguage(t *testing.T) {
	p := demo(t, "candleworks-us").speakAccented(t)
	dir := t.TempDir()
	site, out := filepath.Join(dir, "site"), filepath.Join(dir, "out")
	p.write(t, site)
	if got := jobsheaf("check", site); got.code != 0 || got.out != "" {
		t.Fatalf("%+v", got)
	}
	st := readSite(os.DirFS(site))
	lists := names(st.book.Lists)
	if got := jobsheaf("week", lists, "--site", site, "--out", out, "--quiet"); got.code != 0 {
		t.Fatalf("%+v", got)
	}
	for _, job := range pdfs(t, out) {
		if _, err := os.Stat(filepath.Join(out, job+".pdf")); err != nil {
			continue // a print file
		}
		if got := jobsheaf("prove", filepath.Join(out, job+".pdf")); got.code != 0 {
			t.Errorf("%+v", got)
		}
	}
	for _, part := range []string{"1/2", "2/2"} {
		if got := jobsheaf("week", lists, "--site", site, "--out", filepath.Join(dir, "parts"), "--part", part, "--quiet"); got.code != 0 {
			t.Fatalf("%+v", got)
		}
	}
	if got := jobsheaf("week", "--join", "--site", site, "--out", filepath.Join(dir, "parts"), "--quiet"); got.code != 0 {
		t.Fatalf("%+v", got)
	}
	whole, parts := tree(t, out), tree(t, filepath.Join(dir, "parts"))
	for file, text := range whole {
		if strings.HasPrefix(file, "front/") && strings.HasSuffix(file, ".pdf") && parts[file] != text {
			t.Errorf("%s is another when joined from parts", file)
		}
	}
	if got := jobsheaf("week", "--join", "--site", dir, "--out", filepath.Join(dir, "parts"), "--quiet"); got.code != exitWrong || !strings.Contains(got.err, "--site") {
		t.Errorf("joined without the site's words: %+v", got)
	}

	// Sentences of the program's own have an accent; a site's own have none.
	own := siteWords(demo(t, "candleworks-us"))
	maker := &printjob.Maker{Composer: st.composer}
	spoken := 0
	for _, job := range st.jobs() {
		made, err := maker.Print(job)
		if err != nil || made.Packet == nil || len(made.Problems) > 0 {
			t.Fatalf("%s: %v %v", job.ID, err, made.Problems)
		}
		printedTexts(made.Packet, func(field, text string, style packet.Style) {
			if style == packet.Strong || style == packet.Key {
				return
			}
			switch {
			case strings.ContainsAny(text, "åêîøüÅÊÎØÜ"):
				spoken++
			case field == "span" && strings.Count(text, " ") > 3 && strings.IndexFunc(text, unicode.IsLetter) >= 0 && !own(strings.TrimSpace(text)):
				if !strings.ContainsAny(text, "=<>") { // a condition stands as its template has it
					t.Errorf("%s prints %q", job.ID, text)
				}
			}
		})
	}
	if spoken < 500 {
		t.Errorf("%d texts are in the site's language", spoken)
	}

	// One word or one text less, and nothing is printed.
	for _, lack := range []struct{ file, line, says string }{
		{"words/qaa.yaml", `"layout.page"`, "words/qaa.yaml: error: the words lack layout.page [missing-word]"},
		{"words/qaa.yaml", `"figure.`, "words/qaa.yaml: error: the words lack figure."},
		{"texts/qaa/ghs.yaml", `"Fatal if swallowed"`, `error: there is no text in qaa for "Fatal if swallowed" [missing-text]`},
	} {
		short := plant{}
		for file, text := range p {
			short[file] = text
		}
		at := strings.Index("\n"+p[lack.file], "\n"+lack.line)
		if at < 0 {
			t.Fatalf("%s has no %s", lack.file, lack.line)
		}
		end := strings.IndexByte(p[lack.file][at:], '\n')
		short[lack.file] = p[lack.file][:at] + p[lack.file][at+end+1:]
		site, out := filepath.Join(t.TempDir(), "site"), filepath.Join(t.TempDir(), "out")
		short.write(t, site)
		for _, args := range [][]string{{"make", "--list", lists}, {"week", lists, "--quiet"}} {
			got := jobsheaf(append(args, "--site", site, "--out", out)...)
			if got.code != exitRefused || !strings.Contains(got.err, lack.says) || !strings.Contains(got.err, "refused") && !strings.Contains(got.err, "nothing is printed") {
				t.Errorf("%s without %s: %d\n%s", lack.file, lack.line, got.code, got.err)
			}
			if files, _ := filepath.Glob(filepath.Join(out, "*.pdf")); len(files) > 0 {
				t.Errorf("%s without %s: %v are printed", lack.file, lack.line, files)
			}
			if len(strings.Split(got.err, "\n")) > 40 {
				t.Errorf("%s without %s: too much to read:\n%s", lack.file, lack.line, got.err)
			}
		}
	}
}

// TestSitesOwnWords lets a site say a built-in word in its own way; the packet
// carries the word, and the fingerprint holds it.
func TestSitesOwnWords(t *testing.T) {
	p := demo(t, "candleworks-us")
	before := readSite(p.files())
	p["words/en.yaml"] = "layout.unit: Tag\n"
	st := readSite(p.files())
	if len(st.problems) > 0 {
		t.Fatal(st.problems)
	}
	job := st.jobs()[0]
	made, err := (&printjob.Maker{Composer: st.composer}).Print(job)
	if err != nil || made.Packet == nil {
		t.Fatal(err, made.Problems)
	}
	if made.Packet.Words.Get("layout.unit") != "Tag" || made.Packet.Words.Get("layout.job") != "Job" {
		t.Errorf("%q %q", made.Packet.Words.Get("layout.unit"), made.Packet.Words.Get("layout.job"))
	}
	if pk, _ := before.composer.Make(before.jobs()[0]); pk == nil || pk.Fingerprint == made.Packet.Fingerprint {
		t.Error("the fingerprint leaves out the site's own words")
	}
	file := filepath.Join(t.TempDir(), "a.pdf")
	must(t, os.WriteFile(file, made.Files[0].Data, 0o644))
	if got := jobsheaf("prove", file); got.code != 0 {
		t.Errorf("%+v", got)
	}
	for text, says := range map[string]string{
		"layout.page: Leaf {n}\n": "words/en.yaml:1:14: error: the words layout.page have {n} where {n}, {N} are wanted [word-placeholder]",
		"layout.pages: x\n":       "words/en.yaml:1:15: error: the program says nothing by the key layout.pages [unknown-word]",
		"layout.unit: 漢\n":        "words/en.yaml:1:14: error: the page's typeface has no",
		"layout.unit: [a]\n":      "words/en.yaml:1:14: error: found a list where one value is wanted [shape]",
	} {
		p["words/en.yaml"] = text
		st := readSite(p.files())
		if len(st.problems) != 1 || !strings.HasPrefix(st.problems[0].String(), says) {
			t.Errorf("%q: %v", text, st.problems)
		}
		if pk, list := st.composer.Make(job); pk != nil || !list.HasErrors() {
			t.Errorf("%q: a packet is made", text)
		}
	}
}
