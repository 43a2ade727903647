package cli

import (
	"bytes"
	"crypto/sha256"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"jobsheaf/testdata/bench/made"
)

// week300 writes a site with a list of 300 jobs and builds the program as it ships,
// which the race detector of a test binary would slow tenfold.
func week300(t *testing.T) (binary string, args func(out string) []string) {
	t.Helper()
	dir := t.TempDir()
	files, csv, err := made.Site(3, 40, 300, false)
	if err != nil {
		t.Fatal(err)
	}
	site := plant{"list.csv": string(csv)}
	for name, data := range files {
		site[name] = string(data)
	}
	site.write(t, filepath.Join(dir, "site"))
	binary = filepath.Join(dir, "jobsheaf")
	if out, err := exec.Command("go", "build", "-o", binary, "jobsheaf/cmd/jobsheaf").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return binary, func(out string) []string {
		return []string{"week", filepath.Join(dir, "site", "list.csv"), "--site", filepath.Join(dir, "site"), "--out", out, "--today", "2027-01-01", "--quiet"}
	}
}

// sums gives the digest of every file of a folder that has its final name.
func sums(t *testing.T, dir string) map[string][32]byte {
	t.Helper()
	all := map[string][32]byte{}
	for name, text := range tree(t, dir) {
		if text != "/" && !strings.HasPrefix(filepath.Base(name), ".") {
			all[name] = sha256.Sum256([]byte(text))
		}
	}
	return all
}

// A run of 300 jobs that is killed, at any moment, leaves whole files only: each is
// what the uninterrupted run writes. The next run finishes the rest.
func TestKilledWeek(t *testing.T) {
	binary, args := week300(t)
	base := t.TempDir()
	if out, err := exec.Command(binary, args(filepath.Join(base, "whole"))...).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	want := sums(t, filepath.Join(base, "whole"))
	if len(want) < 600 {
		t.Fatalf("the run wrote %d files", len(want))
	}
	rnd := rand.New(rand.NewPCG(20, 26))
	// A run may be through before it can be told, and one that is told to end before
	// it listens says nothing: then there is one more.
	killed, said := 0, 0
	for i := 0; killed < 20 || said == 0; i++ {
		if i == 100 {
			t.Fatalf("of %d runs %d could be ended, and %d of them said so", i, killed, said)
		}
		out := filepath.Join(base, "killed")
		if err := os.RemoveAll(out); err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command(binary, args(out)...)
		var text bytes.Buffer
		cmd.Stdout, cmd.Stderr = &text, &text
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		sig, name := syscall.SIGKILL, "kill"
		if i%5 == 4 {
			sig, name = syscall.SIGTERM, "terminate"
		}
		// The moment is told by what the run has written, so that it does not hang
		// on how busy the machine is.
		ended := make(chan error, 1)
		go func() { ended <- cmd.Wait() }()
		var err error
		for far, over := rnd.IntN(500), false; !over; {
			select {
			case err = <-ended:
				over = true
			case <-time.After(time.Millisecond):
				if there, _ := os.ReadDir(out); len(there) >= far {
					cmd.Process.Signal(sig)
					err, over = <-ended, true
				}
			}
		}
		if err == nil {
			continue // it was through before it could be told
		}
		killed++
		if strings.Contains(text.String(), "interrupted; every file that was written is whole") {
			said++
		}
		left := map[string][32]byte{}
		if _, err := os.Stat(out); err == nil {
			left = sums(t, out)
		}
		for file, sum := range left {
			if want[file] != sum {
				t.Errorf("%s %d: %s is not what a whole run writes", name, i, file)
			}
		}
		if i%4 != 0 {
			continue
		}
		if out, err := exec.Command(binary, args(out)...).CombinedOutput(); err != nil {
			t.Fatalf("the run after: %v\n%s", err, out)
		}
		after := sums(t, out)
		for file, sum := range want {
			if after[file] != sum {
				t.Errorf("%s %d: after the next run %s is not what a whole run writes", name, i, file)
			}
		}
		if len(after) != len(want) {
			t.Errorf("%s %d: %d files, not %d", name, i, len(after), len(want))
		}
	}
}

// A place that cannot be written to ends the run with what is wrong, and leaves what
// is whole. A folder in the place of a file does for that, also where the test is
// run by somebody who may write anywhere.
func TestWeekCannotWrite(t *testing.T) {
	dir := t.TempDir()
	demo(t, "soapworks").write(t, filepath.Join(dir, "site"))
	out := filepath.Join(dir, "out")
	if err := os.MkdirAll(filepath.Join(out, "print", "2026-11-30-late.pdf", "x"), 0o755); err != nil {
		t.Fatal(err)
	}
	got := jobsheaf("week", "week-49", "--site", filepath.Join(dir, "site"), "--out", out, "--today", "2026-11-01")
	if got.code != exitWrong || !strings.Contains(got.err, "2026-11-30-late.pdf") {
		t.Errorf("exit code %d\n%s", got.code, got.err)
	}
	for name := range tree(t, out) {
		if strings.Contains(name, ".jobsheaf-") {
			t.Errorf("%s is left", name)
		}
	}
}
