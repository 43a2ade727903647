//go:build unix

package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// printed prints the demo week and gives what it says and how to print it again.
func printed(t *testing.T) (out string, again func(args ...string) outcome) {
	t.Helper()
	dir := t.TempDir()
	demo(t, "soapworks").write(t, filepath.Join(dir, "site"))
	out = filepath.Join(dir, "out")
	again = func(args ...string) outcome {
		return jobsheaf(append([]string{"week", "week-49", "--site", filepath.Join(dir, "site"), "--out", out, "--today", "2026-11-01"}, args...)...)
	}
	if got := again(); got.code != exitDone {
		t.Fatalf("exit code %d\n%s", got.code, got.err)
	}
	return out, again
}

// A file that is not as the run before left it is made again, and named.
func TestDamagedOutput(t *testing.T) {
	out, again := printed(t)
	want := tree(t, out)
	change := func(name string, with func([]byte) []byte) {
		raw, err := os.ReadFile(filepath.Join(out, name))
		must(t, err)
		must(t, os.WriteFile(filepath.Join(out, name), with(raw), 0o644))
	}
	flip := func(b []byte) []byte { b[len(b)/2] ^= 1; return b }
	hurt := map[string]func([]byte) []byte{
		"K-24817.pdf":              func(b []byte) []byte { return b[:len(b)-9] },
		"K-24820.pdf":              func([]byte) []byte { return nil },
		"K-24818.json":             flip,
		"K-24833.pdf":              flip,
		"print/2026-12-02-day.pdf": flip,
		"front/pull.csv":           func(b []byte) []byte { return append(b, "=1\n"...) },
		"front/2026-W49.pdf":       flip,
	}
	for name, how := range hurt {
		change(name, how)
	}
	must(t, os.Remove(filepath.Join(out, "K-24824.json")))
	hurt["K-24824.json"] = nil
	must(t, os.Remove(filepath.Join(out, "print/2026-12-04-day.pdf")))
	hurt["print/2026-12-04-day.pdf"] = nil
	got := again()
	if got.code != exitDone {
		t.Errorf("exit code %d", got.code)
	}
	for name := range hurt {
		if !strings.Contains(got.err, name+": warning: it was not as the previous run left it, and was made again") {
			t.Errorf("%s is not named: %s", name, got.err)
		}
	}
	if n := strings.Count(got.err, "made again"); n != len(hurt) {
		t.Errorf("%d files are named, not %d", n, len(hurt))
	}
	after := tree(t, out)
	for name := range want {
		if after[name] != want[name] {
			t.Errorf("%s is not made again", name)
		}
	}
	for what, ledger := range map[string]string{"empty": "", "cut": want["week.json"][:5000], "of another": "[]", "of another version": `{"format":1}`} {
		must(t, os.WriteFile(filepath.Join(out, "week.json"), []byte(ledger), 0o644))
		got := again()
		if got.code != exitDone || !strings.Contains(got.err, "week.json: warning: what the previous run printed is not known") || !strings.Contains(got.err, fmt.Sprintf("(%d were there already)", demoJobs(t, "week-49"))) {
			t.Errorf("%s ledger: exit code %d\n%s", what, got.code, got.err)
		}
		if after := tree(t, out); after["week.json"] != want["week.json"] {
			t.Errorf("%s ledger is not made again", what)
		}
	}
}

// What has the name of one file costs that file alone.
func TestInTheWay(t *testing.T) {
	out, again := printed(t)
	at := func(name string) string { return filepath.Join(out, name) }
	for _, name := range []string{"K-24818.pdf", "K-24819.pdf", "front/jobs.csv", "print/2026-12-01-day.pdf", "week.json", "K-24821.json"} {
		must(t, os.Remove(at(name)))
	}
	must(t, os.Mkdir(at("K-24818.pdf"), 0o755))
	must(t, syscall.Mkfifo(at("K-24819.pdf"), 0o644))
	must(t, os.Mkdir(at("front/jobs.csv"), 0o755))
	must(t, syscall.Mkfifo(at("print/2026-12-01-day.pdf"), 0o644))
	for _, name := range []string{"week.json", "K-24821.json"} {
		must(t, os.WriteFile(at(name), nil, 0o644))
		must(t, os.Truncate(at(name), 40<<30))
	}
	var report struct {
		Printed  int
		Problems []struct {
			At   struct{ File string }
			Rule string
		}
	}
	got := again("--json")
	must(t, json.Unmarshal([]byte(got.out), &report))
	if got.code != exitRefused || report.Printed != demoJobs(t, "week-49")-3 {
		t.Errorf("exit code %d, %d packets are printed; a job with one of its two files in the way is not", got.code, report.Printed)
	}
	named := map[string]bool{}
	for _, p := range report.Problems {
		if p.Rule == "in-the-way" {
			name, err := filepath.Rel(out, p.At.File)
			must(t, err)
			named[name] = true
		}
	}
	for _, name := range []string{"K-24818.pdf", "K-24819.pdf", "front/jobs.csv", "print/2026-12-01-day.pdf", "week.json", "K-24821.json"} {
		if !named[name] {
			t.Errorf("%s is not named", name)
		}
		must(t, os.Remove(at(name)))
	}
	if len(named) != 6 {
		t.Errorf("named are %v", named)
	}
	if got := again(); got.code != exitDone || !strings.Contains(got.err, fmt.Sprintf("%[1]d packets of %[1]d printed", demoJobs(t, "week-49"))) {
		t.Errorf("with the way free: exit code %d\n%s", got.code, got.err)
	}
}

// Somebody else's file that may not be read is left alone.
func TestFileOfAnother(t *testing.T) {
	dir := openDir(t)
	demo(t, "soapworks").write(t, filepath.Join(dir, "site"))
	out := filepath.Join(dir, "out")
	must(t, os.Mkdir(out, 0o755))
	must(t, os.Chmod(out, 0o777))
	must(t, os.WriteFile(filepath.Join(out, "K-24818.pdf"), []byte("mine"), 0))
	if os.Geteuid() != 0 {
		t.Skip("only root can leave a file of another owner")
	}
	got := asNobody(t, dir, "week", "week-49", "--site", "site", "--out", "out", "--today", "2026-11-01", "--no-register")
	n := demoJobs(t, "week-49")
	if got.code != exitRefused || !strings.Contains(got.err, fmt.Sprintf("%d packets of %d printed", n-1, n)) || !strings.Contains(got.err, "K-24818.pdf: error: not written: a file of that name cannot be read: permission denied") {
		t.Errorf("exit code %d\n%s", got.code, got.err)
	}
	if raw, err := os.ReadFile(filepath.Join(out, "K-24818.pdf")); err != nil || string(raw) != "mine" {
		t.Errorf("it holds %q, %v", raw, err)
	}
}

// A list that cannot be read says why, with the place, as it does for make.
func TestWeekSaysWhyListIsBroken(t *testing.T) {
	dir := t.TempDir()
	site := demo(t, "soapworks")
	site["lists/week-50.yaml"] = "list: week-50\njobs:\n  - {job: K-1, unit: P-214\n"
	site.write(t, dir)
	got := jobsheaf("week", "week-50", "--site", dir, "--out", filepath.Join(dir, "out"), "--today", "2026-11-01")
	if got.code != exitRefused || !strings.Contains(got.err, "lists/week-50.yaml:") || !strings.Contains(got.err, "nothing is printed: the list week-50 cannot be read") {
		t.Errorf("list: exit code %d\n%s", got.code, got.err)
	}
	for what, text := range map[string]string{"cut": "site: works\nname: [x\n", "of another paper": strings.Replace(site["site.yaml"], "paper: A4", "paper: parchment", 1)} {
		site["site.yaml"] = text
		delete(site, "lists/week-50.yaml")
		dir := t.TempDir()
		site.write(t, dir)
		got = jobsheaf("week", "week-49", "--site", dir, "--out", filepath.Join(dir, "out"), "--today", "2026-11-01")
		if got.code != exitRefused || !strings.Contains(got.err, "site.yaml:") {
			t.Errorf("site %s: exit code %d\n%s", what, got.code, got.err)
		}
	}
}
