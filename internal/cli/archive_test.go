package cli

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// PDFBox's preflight validates PDF/A-1b, which a packet is when it is printed
// without what it carries. It needs Java (testdata/install-tools).
func TestPacketsPassPreflight(t *testing.T) {
	var path []string
	for _, jar := range []string{"preflight", "pdfbox2", "xmpbox", "fontbox2", "commons-logging", "javax.activation", "jaxb-api"} {
		path = append(path, filepath.Join("/usr/share/java", jar+".jar"))
	}
	validate := func(name string) string {
		out, _ := exec.Command("java", "-cp", strings.Join(path, ":"), "org.apache.pdfbox.preflight.Validator_A1b", name).CombinedOutput()
		return string(out)
	}
	for _, c := range []struct{ site, job string }{{"soapworks", "K-24817"}, {"candleworks-us", firstJob(t, "candleworks-us")}} {
		whole, doc := packetOf(t, c.site, c.job)
		name := filepath.Join(t.TempDir(), "packet.pdf")
		doc.Attachments = nil
		if err := os.WriteFile(name, pdfOf(t, doc), 0o600); err != nil {
			t.Fatal(err)
		}
		if out := validate(name); !strings.Contains(out, "is a valid PDF/A-1b file") {
			t.Errorf("%s: %s", c.job, out)
		}
		if c.site != "soapworks" {
			continue
		}
		// The validator has an eye for what part 1 forbids.
		if err := os.WriteFile(name, whole, 0o600); err != nil {
			t.Fatal(err)
		}
		if out := validate(name); !strings.Contains(out, "is not a valid PDF/A-1b file") || !strings.Contains(out, "EmbeddedFile") {
			t.Errorf("with attachments: %s", out)
		}
	}
}

func firstJob(t *testing.T, dir string) string {
	t.Helper()
	for _, j := range readSite(os.DirFS("../../samples/" + dir)).jobs() {
		return j.ID.S
	}
	t.Fatal("no jobs")
	return ""
}

// object is an object of a file as qpdf tells it.
type object struct {
	Value  any `json:"value"`
	Stream *struct {
		Dict map[string]any `json:"dict"`
	} `json:"stream"`
}

// No validator of PDF/A-3b can be had: what part 3 asks of a packet is looked up in
// its structure, as qpdf reads it. The clauses are of ISO 19005-3.
func TestPacketsHaveThePartsOfAnArchive(t *testing.T) {
	whole, doc := packetOf(t, "soapworks", "K-24817")
	name := filepath.Join(t.TempDir(), "packet.pdf")
	if err := os.WriteFile(name, whole, 0o600); err != nil {
		t.Fatal(err)
	}
	raw, err := exec.Command("qpdf", "--json=2", "--json-key=qpdf", name).Output()
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		QPDF [2]json.RawMessage `json:"qpdf"`
	}
	objects := map[string]object{}
	if err := json.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(file.QPDF[1], &objects); err != nil {
		t.Fatal(err)
	}
	get := func(v any) map[string]any { // a dictionary, behind references
		for {
			ref, ok := v.(string)
			if !ok {
				break
			}
			o := objects["obj:"+ref]
			if v = o.Value; o.Stream != nil {
				v = any(o.Stream.Dict)
			}
		}
		d, _ := v.(map[string]any)
		return d
	}
	str := func(v any) string { s, _ := v.(string); return strings.TrimPrefix(s, "u:") }
	list := func(v any) []any { l, _ := v.([]any); return l }
	trailer := get(objects["trailer"].Value)
	catalog := get(trailer["/Root"])

	if id := list(trailer["/ID"]); len(id) != 2 || len(str(id[0])) < 16 { // 6.1.3
		t.Errorf("file identifier %v", id)
	}
	if trailer["/Encrypt"] != nil {
		t.Error("encrypted")
	}
	intent := list(catalog["/OutputIntents"]) // 6.2.3
	if len(intent) != 1 || get(intent[0])["/S"] != "/GTS_PDFA1" || get(get(intent[0])["/DestOutputProfile"])["/N"] != 3.0 {
		t.Errorf("output intent %v", intent)
	}
	if meta := get(catalog["/Metadata"]); meta == nil || meta["/Filter"] != nil { // 6.6.2
		t.Errorf("metadata %v", meta)
	}
	for _, want := range []string{"<pdfaid:part>3</pdfaid:part><pdfaid:conformance>B</pdfaid:conformance>", "<xmp:CreateDate>2026-11-30T00:00:00+00:00</xmp:CreateDate>", "K-24817"} {
		if !strings.Contains(string(whole), want) {
			t.Errorf("metadata lack %s", want)
		}
	}
	dated := regexp.MustCompile(`^D:\d{14}[-+]\d\d'\d\d'$`) // ISO 32000-1, 7.9.4
	info := get(trailer["/Info"])
	for _, k := range []string{"/CreationDate", "/ModDate"} {
		if !dated.MatchString(str(info[k])) {
			t.Errorf("%s is %q, without its zone", k, str(info[k]))
		}
	}

	// 6.8: each file that is carried is associated with the document, and says how.
	associated := list(catalog["/AF"])
	named := list(get(get(catalog["/Names"])["/EmbeddedFiles"])["/Names"])
	var specs []any
	for i := 1; i < len(named); i += 2 {
		specs = append(specs, named[i])
	}
	if len(associated) != 4 || !slices.Equal(associated, specs) {
		t.Errorf("associated are %v, embedded %v", associated, specs)
	}
	want := map[string][2]string{"inputs.txt": {"/Source", "/text/plain"}, "packet.json": {"/Data", "/application/json"}, "manifest.json": {"/Data", "/application/json"}, "annex.pdf": {"/Supplement", "/application/pdf"}}
	for _, a := range associated {
		spec := get(a)
		stream := get(get(spec["/EF"])["/F"])
		w, ok := want[str(spec["/UF"])]
		if !ok || spec["/F"] != spec["/UF"] || spec["/AFRelationship"] != w[0] || stream["/Subtype"] != w[1] || str(spec["/Desc"]) == "" || !dated.MatchString(str(get(stream["/Params"])["/ModDate"])) {
			t.Errorf("attachment %v, stream %v", spec, stream)
		}
		delete(want, str(spec["/UF"]))
	}

	// 6.2.11: every font is embedded, subset, and mapped to Unicode.
	fonts := 0
	subset := regexp.MustCompile(`^/[A-Z]{6}\+`)
	for n, o := range objects {
		d := get(o.Value)
		if d["/Type"] != "/Font" {
			continue
		}
		switch fonts++; d["/Subtype"] {
		case "/Type0":
			if d["/Encoding"] != "/Identity-H" || get(d["/ToUnicode"]) == nil || !subset.MatchString(str(d["/BaseFont"])) {
				t.Errorf("font %s: %v", n, d)
			}
		case "/CIDFontType2":
			if get(get(d["/FontDescriptor"])["/FontFile2"]) == nil || d["/CIDToGIDMap"] == nil || !subset.MatchString(str(d["/BaseFont"])) {
				t.Errorf("font %s: %v", n, d)
			}
		default:
			t.Errorf("font %s is a %v", n, d["/Subtype"])
		}
	}
	if fonts < 4 {
		t.Errorf("only %d fonts", fonts)
	}
	if str(catalog["/Lang"]) != doc.Language || get(catalog["/Outlines"]) == nil || get(catalog["/PageLabels"]) == nil || get(catalog["/ViewerPreferences"])["/DisplayDocTitle"] != true {
		t.Errorf("language, bookmarks, page labels or title are missing: %v", catalog)
	}
	for n, o := range objects { // 6.5, 6.6: nothing that acts
		for _, not := range []string{"/JavaScript", "/JS", "/AA", "/OpenAction", "/Launch", "/SMask"} {
			if get(o.Value)[not] != nil {
				t.Errorf("object %s has %s", n, not)
			}
		}
	}
}
