package pdf

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/page"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

func init() { api.DisableConfigDir() }

// parsed is a written document as pdfcpu reads it, after its own validation.
func parsed(t *testing.T, b []byte) *model.Context {
	t.Helper()
	ctx, err := api.ReadAndValidate(bytes.NewReader(b), model.NewDefaultConfiguration())
	if err != nil {
		t.Fatal(err)
	}
	return ctx
}

// at follows keys and indices from the catalog.
func at(t *testing.T, ctx *model.Context, keys ...any) types.Object {
	t.Helper()
	catalog, err := ctx.Catalog()
	if err != nil {
		t.Fatal(err)
	}
	var o types.Object = catalog
	for _, k := range keys {
		switch k := k.(type) {
		case string:
			switch d := o.(type) {
			case types.Dict:
				o, _ = d.Find(k)
			case types.StreamDict:
				o, _ = d.Find(k)
			default:
				t.Fatalf("%v: no dictionary at %q but %v", keys, k, o)
			}
		case int:
			a, ok := o.(types.Array)
			if !ok || k >= len(a) {
				t.Fatalf("%v: no element %d in %v", keys, k, o)
			}
			o = a[k]
		}
		if o, err = ctx.Dereference(o); err != nil || o == nil {
			t.Fatalf("%v: nothing at %v (%v)", keys, k, err)
		}
	}
	return o
}

// What ISO 19005-1 and -3 ask for, where no validator for part 3 can be had: the
// clause stands beside each check.
func TestArchiveParts(t *testing.T) {
	for _, c := range []struct {
		doc     page.Doc
		version string
		part    string
	}{{sample(t, 3), "1.4", "1"}, {attached(t, 3), "1.7", "3"}} {
		b := written(t, c.doc)
		ctx := parsed(t, b)

		// 6.1.2 header: version, then a comment with four bytes above 127.
		if !regexp.MustCompile(`^%PDF-` + regexp.QuoteMeta(c.version) + `\n%[\x80-\xFF]{4}\n`).Match(latin1(b[:20])) {
			t.Errorf("header %q", b[:20])
		}
		// 6.1.3 trailer: a file identifier, no encryption.
		if len(ctx.ID) != 2 || ctx.ID[0] != ctx.ID[1] || len(ctx.ID[0].String()) != 34 {
			t.Errorf("file identifier %v", ctx.ID)
		}
		if ctx.Encrypt != nil {
			t.Error("encrypted")
		}
		// 6.2.2, 6.2.3 output intent with a profile of three colours.
		if s := at(t, ctx, "OutputIntents", 0, "S"); s != types.Name("GTS_PDFA1") {
			t.Errorf("output intent %v", s)
		}
		if n := at(t, ctx, "OutputIntents", 0, "DestOutputProfile", "N"); n != types.Integer(3) {
			t.Errorf("profile of %v colours", n)
		}
		// 6.7.2 metadata: not filtered, says the part and level.
		meta := at(t, ctx, "Metadata").(types.StreamDict)
		if _, filtered := meta.Find("Filter"); filtered {
			t.Error("the metadata are compressed")
		}
		x := string(meta.Raw)
		if want := "<pdfaid:part>" + c.part + "</pdfaid:part><pdfaid:conformance>B</pdfaid:conformance>"; !strings.Contains(x, want) {
			t.Errorf("metadata lack %s", want)
		}
		// 6.7.3: what is in the information dictionary is in the metadata too.
		for _, want := range []string{
			`<rdf:li xml:lang="x-default">K-24817 (P-214) – Wellendichtung</rdf:li>`,
			`<rdf:li xml:lang="x-default">Job packet</rdf:li>`,
			`<xmp:CreateDate>2025-03-04T06:00:00+01:00</xmp:CreateDate>`, `<xmp:ModifyDate>2025-03-04T06:00:00+01:00</xmp:ModifyDate>`,
			`<xmp:CreatorTool>jobsheaf</xmp:CreatorTool>`, `<pdf:Producer>jobsheaf</pdf:Producer>`,
		} {
			if !strings.Contains(x, want) {
				t.Errorf("metadata lack %s", want)
			}
		}
		if !bytes.Contains(b, []byte("/CreationDate(D:20250304060000+01'00')/ModDate(D:20250304060000+01'00')")) {
			t.Error("information dictionary lacks the dates")
		}
		for d := xml.NewDecoder(strings.NewReader(x)); ; {
			if _, err := d.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Fatalf("metadata: %v", err)
			}
		}
		// 6.3.5: part 1 asks for the set of a subset's glyphs.
		if got, want := bytes.Contains(b, []byte("/CIDSet")), c.part == "1"; got != want {
			t.Errorf("part %s: CIDSet is %v", c.part, got)
		}
		if l := at(t, ctx, "Lang"); l != types.StringLiteral("en") {
			t.Errorf("language %v", l)
		}
		if v := at(t, ctx, "ViewerPreferences", "DisplayDocTitle"); v != types.Boolean(true) {
			t.Errorf("title is not shown: %v", v)
		}
		// 6.4, 6.6: nothing transparent, no script, no action.
		for _, not := range []string{"/Transparency", "/SMask", "/ca ", "/JavaScript", "/OpenAction", "/AA", "LZWDecode"} {
			if bytes.Contains(b, []byte(not)) {
				t.Errorf("has %s", not)
			}
		}
	}
	if bytes.Contains(written(t, sample(t, 1)), []byte("/EmbeddedFiles")) {
		t.Error("part 1 forbids /EmbeddedFiles (6.1.11)")
	}
}

// latin1 makes each byte a rune, so that a pattern can tell bytes.
func latin1(b []byte) []byte {
	r := make([]rune, len(b))
	for i, c := range b {
		r[i] = rune(c)
	}
	return []byte(string(r))
}

func TestAttachments(t *testing.T) {
	d := attached(t, 1)
	b := written(t, d)
	ctx := parsed(t, b)
	files := at(t, ctx, "AF").(types.Array) // ISO 19005-3, 6.8: each is associated with something
	if len(files) != len(d.Attachments) {
		t.Fatalf("%d associated files, want %d", len(files), len(d.Attachments))
	}
	for i := range files {
		at(t, ctx, "AF", i, "F")
		at(t, ctx, "AF", i, "UF")
		// In the order of their names: empty.csv, inputs.yaml, packet.json, Größe.
		if got, want := at(t, ctx, "AF", i, "AFRelationship"), []types.Name{"Supplement", "Source", "Data", "Source"}[i]; got != want {
			t.Errorf("attachment %d has relationship %v, want %v", i, got, want)
		}
		at(t, ctx, "AF", i, "EF", "F", "Subtype")
		at(t, ctx, "AF", i, "EF", "UF", "Params", "ModDate")
	}
	dir := t.TempDir()
	name := filepath.Join(dir, "doc.pdf")
	if err := os.WriteFile(name, b, 0o600); err != nil {
		t.Fatal(err)
	}
	run(t, "pdfdetach", "-saveall", "-o", dir, name)
	for _, a := range d.Attachments {
		got, err := os.ReadFile(filepath.Join(dir, a.Name))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, a.Data) {
			t.Errorf("%s: %d bytes came out, %d went in", a.Name, len(got), len(a.Data))
		}
	}
}

func TestOutlineAndLabels(t *testing.T) {
	var b bytes.Buffer
	d := sample(t, 40)
	w, err := NewWriter(&b, d)
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range []struct {
		n      int
		prefix string
	}{{2, ""}, {40, "K-24817 "}, {3, "Ö-1 "}, {1, ""}} {
		marks := []page.Mark{{Title: "Packet " + part.prefix, Page: 0}, {Title: "Last – sheet", Page: part.n - 1, Level: 1}}
		if err := w.Add(d.Pages[:part.n], marks, part.prefix); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	parsed(t, b.Bytes())
	name := filepath.Join(t.TempDir(), "doc.pdf")
	if err := os.WriteFile(name, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	run(t, "qpdf", "--check", name)
	// mupdf follows each entry to its page.
	got := regexp.MustCompile(`[ \t]+`).ReplaceAllString(run(t, "mutool", "show", name, "outline"), " ")
	for _, want := range []string{`"Packet " #page=1`, `"Last – sheet" #page=2`, `"Packet K-24817 " #page=3`, `"Last – sheet" #page=42`, `"Last – sheet" #page=45`, `"Packet " #page=46`} {
		if !strings.Contains(got, want) {
			t.Errorf("outline lacks %q:\n%s", want, got)
		}
	}
	labels := run(t, "qpdf", "--json", "--json-key=pagelabels", name)
	var ranges []string
	for _, m := range regexp.MustCompile(`"index": (\d+)`).FindAllStringSubmatch(labels, -1) {
		ranges = append(ranges, m[1])
	}
	if !slices.Equal(ranges, []string{"0", "2", "42"}) || !strings.Contains(labels, "K-24817 ") || !strings.Contains(labels, "Ö-1 ") {
		t.Errorf("labels begin at %v:\n%s", ranges, labels)
	}
}

func TestPDFDate(t *testing.T) {
	for in, want := range map[string]string{
		"2025-03-04T06:07:08+01:00": "D:20250304060708+01'00'",
		"2025-03-04T06:07:08Z":      "D:20250304060708+00'00'",
		"2025-03-04T06:07:08-03:30": "D:20250304060708-03'30'",
		"2025-03-04T06:07:08+05:45": "D:20250304060708+05'45'",
	} {
		when, err := time.Parse(time.RFC3339, in)
		if err != nil {
			t.Fatal(err)
		}
		if got := pdfDate(when); got != want {
			t.Errorf("%s: %s, want %s", in, got, want)
		}
	}
}

// The curve at known points, and the three primaries at full strength, which
// together are the white of the profile's own illuminant.
// Source of the points: IEC 61966-2-1:1999, 5.2, by its two branches at their
// joint (0.04045 and 0.0031308); half is a widely printed value, 0.21404.
func TestColourProfile(t *testing.T) {
	for v, want := range map[float64]float64{0: 0, 0.04045: 0.0031308, 0.5: 0.21404, 1: 1} {
		if got := linear(v); math.Abs(got-want) > 5e-6 {
			t.Errorf("linear(%v) = %.6f, want %.6f", v, got, want)
		}
	}
	p := sRGBProfile()
	if got := int(binary.BigEndian.Uint32(p)); got != len(p) {
		t.Errorf("the profile says it has %d bytes, and has %d", got, len(p))
	}
	tags := map[string][]byte{}
	for i := range int(binary.BigEndian.Uint32(p[128:])) {
		e := p[132+12*i:]
		from, size := binary.BigEndian.Uint32(e[4:]), binary.BigEndian.Uint32(e[8:])
		tags[string(e[:4])] = p[from : from+size]
	}
	for i, want := range []float64{0.9642, 1, 0.8249} { // D50: ICC.1:2001-04, 6.1.11
		sum := 0.0
		for _, c := range []string{"rXYZ", "gXYZ", "bXYZ"} {
			sum += float64(int32(binary.BigEndian.Uint32(tags[c][8+4*i:]))) / 65536
		}
		if math.Abs(sum-want) > 2e-4 {
			t.Errorf("the primaries' sum %d is %.5f, want %.4f", i, sum, want)
		}
	}
	for _, c := range []string{"rTRC", "gTRC", "bTRC"} {
		if n := binary.BigEndian.Uint32(tags[c][8:]); n != 1024 || len(tags[c]) != 12+2*1024 {
			t.Errorf("%s has %d points in %d bytes", c, n, len(tags[c]))
		}
	}
}
