package typeface

import (
	"math"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"jobsheaf/fonts"
	"jobsheaf/internal/page"

	"pgregory.net/rapid"
)

// signs are what packets print, in every face.
const signs = "±≤≥µΩ°½¼¾←↑→↓⌀√π×·−–—…“”‘’•Δ²³≈≠∞♂☐✓⚠€\u00a0\u2011" +
	"ÁÉÍÑÓÚÜ¿¡áéíñóúüåäöøßæœłőűşžšćçğıđþ" +
	"ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩαβγδεζηθικλμνξοπρστυφχψωάέήίόύώ" +
	"АБВГДЕЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯабвгдежзийклмнопрстуфхцчшщъыьэюяёЇїЄєІіҐґ"

func TestEveryFaceHasTheSigns(t *testing.T) {
	for face := range page.FaceCount {
		for r := rune(0x20); r < 0x7F; r++ {
			if Lookup(face, r).ID == 0 {
				t.Errorf("face %d lacks %q", face, r)
			}
		}
		if m := Missing(face, signs); m != nil {
			t.Errorf("face %d lacks %q", face, string(m))
		}
	}
}

func TestMissing(t *testing.T) {
	for _, c := range []struct {
		s    string
		want []rune
	}{
		{"", nil},
		{"plain", nil},
		{"a\tb\tc\n", []rune{'\t', '\n'}},
		{"soft\u00adhyphen, zero\u200bwidth, \u202eturned", []rune{0xad, 0x200b, 0x202e}},
		{"e\u0301", []rune{0x301}},
		{"\xffbroken", []rune{utf8.RuneError}},
		{"😀 مضخة ポンプ", []rune("😀مضخةポンプ")},
	} {
		if got := Missing(page.Regular, c.s); !slices.Equal(got, c.want) {
			t.Errorf("Missing(%q) = %q, want %q", c.s, string(got), string(c.want))
		}
	}
}

// Signs that are mistaken for one another must differ in outline.
func TestLookalikesDiffer(t *testing.T) {
	for face := range page.FaceCount {
		for _, pair := range []string{"1l", "1I", "lI", "0O", "5S", "8B", "2Z", "μΩ", "−±"} {
			r := []rune(pair)
			a, b := Lookup(face, r[0]), Lookup(face, r[1])
			if FontAt(a.Font).Outline(int(a.ID)) == FontAt(b.Font).Outline(int(b.ID)) {
				t.Errorf("face %d: %q look the same", face, pair)
			}
		}
	}
}

// The expected advances were read from the files' hmtx tables with fontTools
// 4.38, divided by the units per em.
func TestWidthAgainstFontTools(t *testing.T) {
	for _, c := range []struct {
		face page.Face
		s    string
		em   float64
	}{
		{page.Regular, "Back off 12.5 mm", 7.951000},
		{page.Regular, "Łódź ñandú Ωμέγα Жук", 10.623000},
		{page.Regular, "⌀ 65 ±0.05 ≤ ½", 6.890051},
		{page.Bold, "Back off 12.5 mm", 8.222000},
		{page.Bold, "Łódź ñandú Ωμέγα Жук", 11.109000},
		{page.Bold, "⌀ 65 ±0.05 ≤ ½", 6.915051},
		{page.Condensed, "Back off 12.5 mm", 7.173000},
		{page.Condensed, "Łódź ñandú Ωμέγα Жук", 9.598000},
		{page.Condensed, "⌀ 65 ±0.05 ≤ ½", 6.238051},
		{page.BoldCondensed, "Back off 12.5 mm", 7.456000},
		{page.BoldCondensed, "Łódź ñandú Ωμέγα Жук", 10.044000},
		{page.BoldCondensed, "⌀ 65 ±0.05 ≤ ½", 6.274051},
		{page.Mono, "Back off 12.5 mm", 9.632812},
		{page.Mono, "Łódź ñandú Ωμέγα Жук", 12.041016},
		{page.Mono, "⌀ 65 ±0.05 ≤ ½", 8.428711},
	} {
		want := c.em * 12 * 25.4 / 72
		if got := Width(c.face, 12, c.s); math.Abs(got-want) > 1e-4 {
			t.Errorf("Width(%d, 12, %q) = %.5f mm, want %.5f", c.face, c.s, got, want)
		}
	}
}

func TestWidthDoesNotAllocate(t *testing.T) {
	if n := testing.AllocsPerRun(100, func() { Width(page.Bold, 9.5, signs) }); n != 0 {
		t.Errorf("Width allocates %v times", n)
	}
}

func TestHeights(t *testing.T) {
	for face := range page.FaceCount {
		c, a, d := CapHeight(face, 72), Ascent(face, 72), Descent(face, 72)
		if c < 25.4*0.65 || c > 25.4*0.75 || a < c || d < 25.4*0.15 || d > 25.4*0.35 {
			t.Errorf("face %d: capital %.2f, ascent %.2f, descent %.2f mm for an em of 25.4 mm", face, c, a, d)
		}
	}
}

// Every glyph of every font can be read.
func TestOutlines(t *testing.T) {
	for i := range uint8(fonts.Count) {
		f := FontAt(i)
		for g := range f.glyphs {
			if s := f.Outline(g); s != "" && len(s) < 10 {
				t.Fatalf("%s glyph %d has %d bytes", f.Name, g, len(s))
			}
			f.Advance(g)
		}
	}
}

// The fonts say of themselves that they may be embedded.
// Source: OpenType 1.9, OS/2 table, fsType: 0 is installable embedding.
func TestFontsMayBeEmbedded(t *testing.T) {
	for i := range uint8(fonts.Count) {
		if v := be16(FontAt(i).Table("OS/2"), 8); v != 0 {
			t.Errorf("%s restricts embedding: %04X", FontAt(i).Name, v)
		}
	}
	if !strings.Contains(fonts.PlexLicence, "SIL Open Font License") || !strings.Contains(fonts.DejaVuLicence, "Bitstream Vera") {
		t.Error("a licence is missing")
	}
}

func TestWrap(t *testing.T) {
	em := Width(page.Mono, 10, "0") // every glyph of Mono is as wide
	for _, c := range []struct {
		width int
		s     string
		want  []string
	}{
		{10, "", nil},
		{10, "short", []string{"short"}},
		{10, "one two three", []string{"one two", "three"}},
		{7, "one two three", []string{"one two", "three"}},
		{6, "one two three", []string{"one", "two", "three"}},
		{7, "one two   three ", []string{"one two", "three"}},
		{3, "a   b", []string{"a", "b"}},
		{10, "a\n\nb c", []string{"a", "", "b c"}},
		{10, "about 12\u00a0mm deep", []string{"about", "12\u00a0mm deep"}},
		{8, "half-rings", []string{"half-", "rings"}},
		{8, "suction/discharge", []string{"suction/", "discharg", "e"}},
		{8, "set to -5 P-214", []string{"set to", "-5 P-214"}},
		{8, "torque 1/2 of it", []string{"torque", "1/2 of", "it"}},
		{7, "at 9 rev/min", []string{"at 9", "rev/min"}},
		{4, "abcdefghij", []string{"abcd", "efgh", "ij"}},
		{4, "a bcdefghij", []string{"a", "bcde", "fghi", "j"}},
		{0, "ab", []string{"a", "b"}},
	} {
		if got := Wrap(page.Mono, 10, float64(c.width)*em, c.s); !slices.Equal(got, c.want) {
			t.Errorf("Wrap(%d, %q) = %q, want %q", c.width, c.s, got, c.want)
		}
	}
}

func TestWrapProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOf(rapid.RuneFrom([]rune("ab  -/—5é\u00a0⌀\nW"))).Draw(t, "text")
		width := rapid.Float64Range(1, 60).Draw(t, "width")
		lines := Wrap(page.Condensed, 9.5, width, s)
		for _, l := range lines {
			if w := Width(page.Condensed, 9.5, l); w > width+1e-6 && utf8.RuneCountInString(l) > 1 {
				t.Fatalf("line %q is %.3f mm wide, limit %.3f", l, w, width)
			}
		}
		bare := strings.NewReplacer(" ", "", "\n", "")
		if a, b := bare.Replace(strings.Join(lines, "")), bare.Replace(s); a != b {
			t.Fatalf("lines hold %q, text %q", a, b)
		}
	})
}

func BenchmarkWidth(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		Width(page.Regular, 9.5, "Back the bearing housing off until its mark meets the second mark.")
	}
}

func BenchmarkWrap(b *testing.B) {
	s := strings.Repeat("Back the bearing housing off until its mark meets the second mark. ", 5)
	b.ReportAllocs()
	for b.Loop() {
		Wrap(page.Regular, 9.5, 120, s)
	}
}
