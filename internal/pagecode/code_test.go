package pagecode

import (
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Capacities: ISO/IEC 18004:2015, table 7, alphanumeric: 1-Q 16, 2-Q 29, 3-Q
// 47, 3-M 61, 4-M 90 characters.
func TestEncodePicksLevelAndVersion(t *testing.T) {
	for _, c := range []struct {
		n       int
		level   string
		version int
	}{
		{1, "Q", 1}, {16, "Q", 1}, {17, "Q", 2}, {29, "Q", 2}, {30, "Q", 3}, {47, "Q", 3},
		{48, "M", 3}, {maxFit, "M", MaxVersion}, {maxFit + 1, "M", 4}, {90, "M", 4}, {91, "M", 5}, {maxText, "M", 8},
	} {
		code, err := Encode(strings.Repeat("A", c.n))
		if err != nil {
			t.Fatal(err)
		}
		if code.Level != c.level || code.Version != c.version {
			t.Errorf("%d characters: %d-%s, want %d-%s", c.n, code.Version, code.Level, c.version, c.level)
		}
		// ISO/IEC 18004: version v has 17 + 4v modules a side.
		if want := 17 + 4*c.version; len(code.Modules) != want || len(code.Modules[0]) != want {
			t.Errorf("%d characters: %d by %d modules, want %d", c.n, len(code.Modules), len(code.Modules[0]), want)
		}
	}
}

func TestEncodeRefuses(t *testing.T) {
	for _, text := range []string{"", "A B", "A?B", "Ä", strings.Repeat("A", maxText+1)} {
		if _, err := Encode(text); err == nil {
			t.Errorf("Encode(%q) gave a code", text)
		}
	}
}

func TestLinkRoom(t *testing.T) {
	const job, fingerprint = "K-24817", "7F3A91C2"
	room := LinkRoom(job, 12, fingerprint)
	version := func(n int) int {
		link := "https://" + strings.Repeat("x", n-len("https://"))
		text, err := Ref{link, job, 12, 12, fingerprint}.Text()
		if err != nil {
			t.Fatal(err)
		}
		code, err := Encode(text)
		if err != nil {
			t.Fatal(err)
		}
		return code.Version
	}
	if v := version(room); v > MaxVersion {
		t.Errorf("a link of %d characters gives version %d", room, v)
	}
	// Runs of digits are coded shorter, so a few more characters may still fit.
	if v := version(room + 8); v <= MaxVersion {
		t.Errorf("a link of %d characters still gives version %d: the room of %d is too careful", room+8, v, room)
	}
	if got := LinkRoom(strings.Repeat("K", maxJob), maxPages, strings.Repeat("F", 16)); got < 0 {
		t.Errorf("room %d", got)
	}
}

// An independent reader (zbar) reads what was encoded, also where the text fills
// its symbol to the last bit.
func TestSymbolReads(t *testing.T) {
	for _, text := range []string{
		"J1:K-24817/3/9/7F3A91C2",
		"HTTPS://JOBS.EXAMPLE.ORG/J/K-24817/10/12/7F3A91C2",
		strings.Repeat("J", 29), strings.Repeat("J", 47), strings.Repeat("J", maxFit), strings.Repeat("J", maxText),
	} {
		code, err := Encode(text)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Join(t.TempDir(), "code.png")
		f, err := os.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := png.Encode(f, picture(code.Modules)); err != nil {
			t.Fatal(err)
		}
		f.Close()
		out, err := exec.Command("zbarimg", "-q", "--raw", "-Sdisable", "-Sqrcode.enable", name).Output()
		if err != nil {
			t.Fatalf("zbarimg: %v", err)
		}
		if got := strings.TrimSpace(string(out)); got != text {
			t.Errorf("read %q, want %q", got, text)
		}
	}
}

func picture(modules [][]bool) image.Image {
	const scale, quiet = 4, 4
	side := (len(modules) + 2*quiet) * scale
	img := image.NewGray(image.Rect(0, 0, side, side))
	for y := range side {
		for x := range side {
			row, col := y/scale-quiet, x/scale-quiet
			img.SetGray(x, y, color.Gray{255})
			if row >= 0 && row < len(modules) && col >= 0 && col < len(modules) && modules[row][col] {
				img.SetGray(x, y, color.Gray{0})
			}
		}
	}
	return img
}

func BenchmarkEncode(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Encode("HTTPS://JOBS.EXAMPLE.ORG/J/K-24817/3/9/7F3A91C2"); err != nil {
			b.Fatal(err)
		}
	}
}
