//go:build preflight

package pdf

import (
	"path/filepath"
	"strings"
	"testing"

	"jobsheaf/internal/page"
)

// PDFBox's preflight (Debian packages libpdfbox2-java, libactivation-java and
// libjaxb-api-java) validates PDF/A-1b. It needs Java, hence the build tag:
//
//	go test -tags preflight -run Preflight ./internal/pdf
func TestPreflight(t *testing.T) {
	var path []string
	for _, jar := range []string{"preflight", "pdfbox2", "xmpbox", "fontbox2", "commons-logging", "javax.activation", "jaxb-api"} {
		path = append(path, filepath.Join("/usr/share/java", jar+".jar"))
	}
	plain := sample(t, 1)
	plain.Outline, plain.Subject, plain.Language = nil, "", ""
	for _, d := range []page.Doc{sample(t, 10), sample(t, 40), plain} {
		out := run(t, "java", "-cp", strings.Join(path, ":"), "org.apache.pdfbox.preflight.Validator_A1b", file(t, d))
		if !strings.Contains(out, "is a valid PDF/A-1b file") {
			t.Error(out)
		}
	}
}
