package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestHostileCommands gives the commands what nobody means: each says so in one
// line, at once, and writes nothing anywhere.
func TestHostileCommands(t *testing.T) {
	around := t.TempDir()
	site, out := filepath.Join(around, "site"), filepath.Join(around, "out")
	p := demo(t, "soapworks").list(victim)
	p.write(t, site)
	t.Chdir(site)
	huge := filepath.Join(around, "huge.csv")
	f, err := os.Create(huge)
	must(t, err)
	must(t, f.Truncate(mostOfList+1)) // a hole: it takes no room on the disk
	must(t, f.Close())
	written := func() map[string]bool {
		all := map[string]bool{}
		must(t, filepath.WalkDir(around, func(file string, _ os.DirEntry, err error) error { all[file] = true; return err }))
		return all
	}
	before := written()
	for _, c := range []struct {
		says string
		args []string
	}{
		{"the folder has no name", []string{"start", ""}},
		{"the site's folder has no name", []string{"check", ""}},
		{"the site's folder has no name", []string{"make", "--site", "", "--list", "week"}},
		{"the output folder has no name", []string{"make", "--site", site, "--list", "week", "--out", ""}},
		{"the output folder has no name", []string{"week", "week", "--site", site, "--out", ""}},
		{"--workers 1000000 is outside 0 to", []string{"week", "week", "--site", site, "--out", out, "--workers", "1000000"}},
		{"--workers -1 is outside 0 to", []string{"week", "week", "--site", site, "--out", out, "--workers", "-1"}},
		{"is not a plain file", []string{"week", os.DevNull, "--site", site, "--out", out}},
		{"is not a plain file", []string{"week", site, "--site", site, "--out", out}},
		{"more than are read", []string{"week", huge, "--site", site, "--out", out}},
		{"is not a plain file", []string{"prove", os.DevNull}},
	} {
		got := jobsheaf(c.args...)
		if got.code != exitWrong || !strings.Contains(got.err, c.says) || strings.Count(got.err, "\n") != 1 || got.out != "" {
			t.Errorf("%q: %+v", c.args, got)
		}
		for file := range written() {
			if !before[file] {
				t.Fatalf("%q has written %s", c.args, file)
			}
		}
	}

	// A job named twice is printed once.
	if got := jobsheaf("make", "--site", site, "--out", out, "K-1", "K-1"); got.code != 0 || strings.Count(got.out, ".pdf") != 1 {
		t.Errorf("%+v", got)
	}
	// A faulty record that no job depends on lets all be printed, but the run is not a success.
	p["units/more.yaml"] = "unit: Z-1\nname: X\n"
	p.write(t, site)
	if got := jobsheaf("make", "--site", site, "--out", out, "K-1"); got.code != exitRefused || !strings.Contains(got.out, "K-1.pdf") || strings.Contains(got.err, "refused:") {
		t.Errorf("%+v", got)
	}
	// A row of a list without its procedure is reported once.
	list := filepath.Join(around, "short.csv")
	must(t, os.WriteFile(list, []byte("job,unit,procedure,day\nK-5,P-231,,2026-11-30\n"), 0o644))
	if got := jobsheaf("week", list, "--site", site, "--out", filepath.Join(around, "week"), "--quiet"); got.code != exitRefused || strings.Contains(got.err, "-: error") || !strings.Contains(got.err, "the procedure is missing") {
		t.Errorf("%+v", got)
	}
}
