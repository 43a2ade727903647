package pagecode

import (
	"fmt"
	"strings"

	"github.com/skip2/go-qrcode"
)

const (
	// MaxVersion is the largest symbol that reads reliably at 16 mm on an office
	// scan: 29 modules of 0.55 mm, three pixels at 150 dpi. Source: this project's
	// trials with pages, skewed, blurred, greased, photographed.
	MaxVersion = 3
	// maxFit is how many characters fit in MaxVersion at level M.
	// Source: ISO/IEC 18004:2015, table 7, version 3-M, alphanumeric.
	maxFit = 61
)

// Code is a QR symbol. Modules[row][col] is true where dark; the quiet zone is
// not part of it.
type Code struct {
	Modules [][]bool
	Level   string // error correction: "Q" or "M"
	Version int    // 1 to 40; above MaxVersion the caller should warn
}

// LinkRoom is the most characters that a site's link in upper case, without a slash at
// its end, may have so that every page of the job gets a code no larger than
// MaxVersion; 0 where none fits.
func LinkRoom(job string, pages int, fingerprint string) int {
	rest := fmt.Sprintf("/%s/%d/%d/%s", job, pages, pages, fingerprint)
	return max(0, maxFit-len(rest))
}

// Encode makes the symbol of a page code's text: level Q, which reads under grease,
// while that fits MaxVersion, else level M.
func Encode(text string) (Code, error) {
	if text == "" || len(text) > maxText {
		return Code{}, fmt.Errorf("a page's code holds 1 to %d characters, not %d", maxText, len(text))
	}
	for i := range len(text) {
		if !alphanumeric(text[i]) && !lower(text[i]) {
			return Code{}, fmt.Errorf("%q has %q as character %d: a page's code has letters, digits and $%%*+-./: only", clip(text), text[i], i+1)
		}
	}
	q, err := qrcode.New(text, qrcode.High) // the library's name for level Q
	level := "Q"
	if err == nil && q.VersionNumber > MaxVersion {
		q, err = qrcode.New(text, qrcode.Medium)
		level = "M"
	}
	if err != nil {
		return Code{}, fmt.Errorf("code for %q: %w", text, err)
	}
	q.DisableBorder = true
	return Code{Modules: q.Bitmap(), Level: level, Version: q.VersionNumber}, nil
}

func lower(c byte) bool { return c >= 'a' && c <= 'z' }

// alphanumeric reports whether c is in QR's alphanumeric mode. The space, which
// the mode has too, is left out: it does not survive in links.
func alphanumeric(c byte) bool {
	return c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || strings.IndexByte("$%*+-./:", c) >= 0
}
