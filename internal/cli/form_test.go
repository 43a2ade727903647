package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// make --blank prints forms from a procedure alone, and they are proved like any
// packet.
func TestMakeBlank(t *testing.T) {
	const site = "../../samples/soapworks"
	for _, c := range []struct {
		name string
		args []string
		code int
		say  string
		file string
	}{
		{"any unit", []string{"--procedure", "rebuild-component-seal"}, exitDone, "1 packet of 1 printed", "FORM.pdf"},
		{"not on record", []string{"--procedure", "reset-end-clearance", "--unit", "P-999", "--job", "F-2"}, exitDone, "1 packet of 1 printed", "F-2.pdf"},
		{"on record", []string{"--procedure", "reset-end-clearance", "--unit", "P-214"}, exitDone, "1 packet of 1 printed", "FORM.pdf"},
		{"of a list", []string{"K-24817"}, exitDone, "1 packet of 1 printed", "K-24817.pdf"},
		{"no procedure", nil, exitWrong, "--procedure", ""},
		{"no such procedure", []string{"--procedure", "rebuild-component-seel"}, exitRefused, "did you mean rebuild-component-seal?", ""},
		{"no tag", []string{"--procedure", "reset-end-clearance", "--unit", "../x"}, exitWrong, "write a tag", ""},
		{"for other units", []string{"--procedure", "rebuild-component-seal", "--unit", "P-214", "--site", packedSite(t)}, exitRefused, "is for other units", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			var out bytes.Buffer
			args := append([]string{"make", "--site", site, "--out", dir, "--blank", "--day", "2026-11-30"}, c.args...)
			if code := Main(args, Streams{Out: &out, Err: &out}); code != c.code || !strings.Contains(out.String(), c.say) {
				t.Fatalf("exit %d, want %d: %s", code, c.code, out.String())
			}
			if c.file == "" {
				if left, _ := filepath.Glob(filepath.Join(dir, "*.pdf")); len(left) > 0 {
					t.Errorf("refused, and printed %v", left)
				}
				return
			}
			b, err := os.ReadFile(filepath.Join(dir, c.file))
			if err != nil {
				t.Fatal(err)
			}
			if r := proof(b); !r.Same {
				t.Errorf("not the same bytes: %+v", r)
			}
			if strings.Contains(out.String(), "not-on-record") {
				t.Errorf("a form asks for records: %s", out.String())
			}
		})
	}
}

// packedSite is the demo site with unit P-214 built with another seal.
func packedSite(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../samples/soapworks")); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(dir, "units", "saponification.yaml")
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	packed := bytes.Replace(b, []byte("built: {seal: component, seal_type: single spring,"), []byte("built: {seal: packing,"), 1)
	if bytes.Equal(b, packed) {
		t.Fatal("the demo's P-214 has no component seal any more")
	}
	if err := os.WriteFile(name, packed, 0o600); err != nil {
		t.Fatal(err)
	}
	return dir
}
