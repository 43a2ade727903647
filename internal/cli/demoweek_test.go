package cli

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"jobsheaf/internal/manifest"
)

// packetFile is a packet of the demo week as it was printed.
type packetFile struct {
	madeJob
	link string
	text []string // of each page, as poppler reads it
	m    manifest.Manifest
}

// printWeek prints the week of both demo sites.
func printWeek(t *testing.T) []*packetFile {
	t.Helper()
	var all []*packetFile
	for _, site := range []struct{ name, link string }{{"soapworks", "HTTPS://JOBS.EXAMPLE.ORG/J/"}, {"candleworks-us", ""}} {
		dir := t.TempDir()
		demo(t, site.name).write(t, filepath.Join(dir, "site"))
		out, errs, err := outside(filepath.Join(shipped(t), "jobsheaf"), "make", "--site", filepath.Join(dir, "site"), "--list", "week-49", "--out", filepath.Join(dir, "out"), "--json")
		if err != nil {
			t.Fatalf("%s: %v\n%s%s", site.name, err, out, errs)
		}
		var report madeReport
		if err := json.Unmarshal([]byte(out), &struct {
			Made  *[]madeJob `json:"made"`
			Pages *int       `json:"pages"`
		}{&report.Made, &report.Pages}); err != nil {
			t.Fatal(err)
		}
		for _, j := range report.Made {
			raw, err := os.ReadFile(strings.TrimSuffix(j.File, ".pdf") + ".json")
			if err != nil {
				t.Fatal(err)
			}
			m, err := manifest.Decode(raw) // holds that boxes have unique names and lie on the paper
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, &packetFile{madeJob: j, link: site.link, m: m})
		}
	}
	return all
}

// TestDemoWeek prints the week of both demo sites and lets other programs judge it.
func TestDemoWeek(t *testing.T) {
	packets := printWeek(t)
	if len(packets) < 10 {
		t.Fatalf("%d packets", len(packets))
	}
	var wait sync.WaitGroup // readers are programs of their own: two at a time
	turn := make(chan bool, 2)
	for _, p := range packets {
		wait.Go(func() {
			turn <- true
			defer func() { <-turn }()
			p.accepted(t)
		})
	}
	wait.Wait()
	if t.Failed() {
		return
	}
	for _, p := range packets {
		t.Run(p.Job, func(t *testing.T) { p.readable(t) })
	}
	metric := slices.DeleteFunc(slices.Clone(packets), func(p *packetFile) bool { return p.link == "" })
	letter := slices.DeleteFunc(slices.Clone(packets), func(p *packetFile) bool { return p.link != "" })
	size := func(a, b *packetFile) int { return a.Pages - b.Pages }
	for _, p := range []*packetFile{slices.MinFunc(metric, size), slices.MaxFunc(metric, size), slices.MinFunc(letter, size)} {
		t.Run("codes of "+p.Job, func(t *testing.T) { p.codes(t) })
	}
}

// accepted holds that qpdf, poppler and mupdf find no fault with the file.
func (p *packetFile) accepted(t *testing.T) {
	out, errs, err := outside("qpdf", "--check", p.File)
	if err != nil || !strings.Contains(out, "No syntax or stream encoding errors found") || strings.Contains(out+errs, "WARNING") {
		t.Errorf("%s: qpdf: %v\n%s%s", p.Job, err, out, errs)
	}
	out, errs, err = outside("mutool", "draw", "-q", "-F", "stext", p.File)
	errs = strings.ReplaceAll(errs, "warning: ICC support is not available\n", "")
	if n := strings.Count(out, "<page "); err != nil || errs != "" || n != p.Pages {
		t.Errorf("%s: mutool: %v, %d pages, want %d\n%s", p.Job, err, n, p.Pages, errs)
	}
	out, errs, err = outside("pdffonts", p.File)
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if err != nil || errs != "" || len(lines) < 3 {
		t.Errorf("%s: pdffonts: %v\n%s%s", p.Job, err, out, errs)
		return
	}
	for _, l := range lines[2:] {
		if !strings.Contains(l, "yes yes yes") {
			t.Errorf("%s: a font is not embedded, subset and mapped to Unicode: %s", p.Job, l)
		}
	}
	out, errs, err = outside("pdftotext", "-layout", p.File, "-")
	if err != nil || errs != "" {
		t.Errorf("%s: pdftotext: %v\n%s", p.Job, err, errs)
	}
	p.text = strings.Split(strings.TrimSuffix(out, "\f"), "\f")
}

// slips are what a program prints where it ought to have failed.
var slips = []*regexp.Regexp{
	regexp.MustCompile(`%!`), regexp.MustCompile(`NaN`), regexp.MustCompile(`[+−-]Inf`), regexp.MustCompile(`<nil>`), regexp.MustCompile("\ufffd"),
	regexp.MustCompile(`\b\d+(\.\d+)?e[+-]?\d+\b`),                                        // a number in the computer's notation
	regexp.MustCompile(`(^|[ (])[−-]0(\.0+)?[ \x{a0}]`),                                   // minus nought
	regexp.MustCompile(`\b(compose|layout|figure|week|check)\.[a-z_]+`),                   // a key of the catalogue of words
	regexp.MustCompile(`\b(joints|features|assemblies)\.[a-z_]+\.(what|low|high)\b.*\?$`), // a name that was not filled in
}

// readable checks the pages' text for what every page has to say.
func (p *packetFile) readable(t *testing.T) {
	if len(p.text) != p.Pages || len(p.m.Pages) != p.Pages {
		t.Fatalf("%d pages, %d read, %d in the manifest", p.Pages, len(p.text), len(p.m.Pages))
	}
	for i, text := range p.text {
		for _, want := range []string{p.Job, p.Unit, fmt.Sprintf("Page %d of %d", i+1, p.Pages), p.Fingerprint, "revision "} {
			if !strings.Contains(text, want) {
				t.Errorf("page %d does not say %q", i+1, want)
			}
		}
		for _, slip := range slips {
			if at := slip.FindString(text); at != "" {
				t.Errorf("page %d says %q", i+1, at)
			}
		}
		if p.m.Pages[i].Sheet != "working" && strings.ContainsAny(text, "{}") { // the working shows what was left out as the template has it
			t.Errorf("page %d has a name in braces that was not filled in", i+1)
		}
		if n := len(strings.Fields(text)); n < 60 {
			t.Errorf("page %d has %d words, header and footer counted", i+1, n)
		}
	}
}

// codes holds that both codes of every page are read at 150 dpi.
func (p *packetFile) codes(t *testing.T) {
	dir := t.TempDir()
	half := (p.Pages + 1) / 2
	var wait sync.WaitGroup
	read := make([]map[string][]string, 2)
	for k, pages := range []string{fmt.Sprintf("1-%d", half), fmt.Sprintf("%d-%d", half+1, p.Pages)} {
		wait.Go(func() { read[k] = readCodes(t, p.File, filepath.Join(dir, fmt.Sprintf("%d-%%d.pgm", k)), pages) })
	}
	wait.Wait()
	for n := 1; n <= p.Pages; n++ {
		k := 0
		if n > half {
			k = 1
		}
		got := read[k][filepath.Join(dir, fmt.Sprintf("%d-%d.pgm", k, n))]
		want := fmt.Sprintf("J1:%s/%d/%d/%s", p.Job, n, p.Pages, p.Fingerprint)
		if p.link != "" {
			want = fmt.Sprintf("%s%s/%d/%d/%s", p.link, p.Job, n, p.Pages, p.Fingerprint)
		}
		if !slices.Equal(got, []string{want, want}) {
			t.Errorf("page %d: read %q, want twice %s", n, got, want)
			continue
		}
		for _, c := range p.m.Pages[n-1].Codes {
			if c.Text != want {
				t.Errorf("page %d: the manifest's code says %s", n, c.Text)
			}
		}
	}
}

// readCodes draws pages at 150 dpi and gives the codes on each, by picture.
func readCodes(t *testing.T, file, pictures, pages string) map[string][]string {
	if out, errs, err := outside("mutool", "draw", "-q", "-c", "gray", "-r", "150", "-o", pictures, file, pages); err != nil {
		t.Errorf("mutool: %v\n%s%s", err, out, errs)
		return nil
	}
	names, err := filepath.Glob(strings.Replace(pictures, "%d", "*", 1))
	if err != nil || len(names) == 0 {
		t.Errorf("%s: %d pictures, %v", pictures, len(names), err)
		return nil
	}
	out, errs, err := outside("zbarimg", append([]string{"-q", "--xml", "-Sdisable", "-Sqrcode.enable"}, names...)...)
	if err != nil {
		t.Errorf("zbarimg: %v\n%s", err, errs)
		return nil
	}
	var found struct {
		Sources []struct {
			Href  string   `xml:"href,attr"`
			Codes []string `xml:"index>symbol>data"`
		} `xml:"source"`
	}
	if err := xml.Unmarshal([]byte(out), &found); err != nil {
		t.Errorf("zbarimg: %v\n%s", err, out)
		return nil
	}
	read := map[string][]string{}
	for _, s := range found.Sources {
		read[s.Href] = s.Codes
	}
	return read
}
