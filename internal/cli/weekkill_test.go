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

// weekOf writes a site with a list of so many jobs and builds the program as it
// ships, which the race detector of a test binary would slow tenfold.
func weekOf(t *testing.T, jobs int) (binary string, args func(out string) []string) {
	t.Helper()
	dir := t.TempDir()
	files, csv, err := made.Site(3, 40, jobs, false)
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
	binary, args := weekOf(t, 300)
	base := t.TempDir()
	if out, err := exec.Command(binary, args(filepath.Join(base, "whole"))...).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	want := sums(t, filepath.Join(base, "whole"))
	if len(want) < 600 {
		t.Fatalf("the run wrote %d files", len(want))
	}
	rnd := rand.New(rand.NewPCG(20, 26))
	// A run may be over before it can be stopped, and one that is asked to stop before
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
		// The moment is chosen by what the run has written, so that it does not hang
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
			continue // it was over before it could be stopped
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

// Whatever the moment at which runs are killed, the next one removes what they left
// half made and makes everything whole.
func TestKilledRunsLeaveNothing(t *testing.T) {
	binary, args := weekOf(t, 40)
	base := t.TempDir()
	began := time.Now()
	if out, err := exec.Command(binary, args(filepath.Join(base, "whole"))...).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	took := time.Since(began)
	want := tree(t, filepath.Join(base, "whole"))
	rnd := rand.New(rand.NewPCG(8, 50))
	killed, left := 0, 0
	for i := 0; killed < 50; i++ {
		if i == 200 {
			t.Fatalf("of %d runs only %d could be killed", i, killed)
		}
		out := filepath.Join(base, "killed")
		must(t, os.RemoveAll(out))
		cmd := exec.Command(binary, args(out)...)
		must(t, cmd.Start())
		time.Sleep(time.Duration(rnd.Int64N(int64(took))))
		cmd.Process.Kill()
		if cmd.Wait() == nil {
			continue // it was through before
		}
		killed++
		if _, err := os.Stat(out); err == nil {
			for name := range tree(t, out) {
				if strings.HasPrefix(filepath.Base(name), ours) {
					left++
				}
			}
		}
		if out, err := exec.Command(binary, args(out)...).CombinedOutput(); err != nil {
			t.Fatalf("the run after: %v\n%s", err, out)
		}
		got := tree(t, out)
		for name := range got {
			if got[name] != want[name] {
				t.Errorf("%d: %s is not what a whole run writes", i, name)
			}
		}
		for name := range want {
			if _, there := got[name]; !there {
				t.Errorf("%d: %s is not there", i, name)
			}
		}
	}
	if left < 50 {
		t.Errorf("the killed runs left %d files only: this test shows nothing", left)
	}
}

// What a run that goes on is writing is not removed by another.
func TestLiveRunKeepsItsFiles(t *testing.T) {
	dir := t.TempDir()
	live, err := lockRun(dir)
	must(t, err)
	tmp, err := live.temp(dir)
	must(t, err)
	dead := filepath.Join(dir, ours+"0a1b-123")
	must(t, os.WriteFile(dead, nil, 0o644))
	must(t, os.WriteFile(filepath.Join(dir, ours+"0a1b.lock"), nil, 0o644))
	other, err := lockRun(dir)
	must(t, err)
	if _, err := os.Stat(tmp.Name()); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(dead); err == nil {
		t.Error("what a dead run left is still there")
	}
	tmp.Close()
	live.release()
	other.release()
	next, err := lockRun(dir)
	must(t, err)
	next.release()
	if left := tree(t, dir); len(left) > 1 {
		t.Errorf("left are %v", left)
	}
}
