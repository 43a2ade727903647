package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What make and week print is in the register, once, and can be taken to another site.
func TestRegister(t *testing.T) {
	site, out := t.TempDir(), t.TempDir()
	demo(t, "soapworks").write(t, site)
	done := func(want int, args ...string) outcome {
		t.Helper()
		got := jobsheaf(append(args, "--site", site)...)
		if got.code != want {
			t.Fatalf("%v: exit code %d, want %d\n%s%s", args, got.code, want, got.out, got.err)
		}
		return got
	}
	if got := done(exitWrong, "register", "jobs"); !strings.Contains(got.err, "there is no register yet") {
		t.Errorf("without a register: %s", got.err)
	}
	done(exitDone, "make", "K-24818", "--out", out, "--no-register=false", "--who", "planner 1")
	done(exitDone, "make", "--blank", "--procedure", "reset-end-clearance", "--out", out, "--no-register=false")
	first := done(exitDone, "register", "verify").out
	if !strings.HasPrefix(first, "1:") {
		t.Errorf("a packet and a form give %s", first)
	}
	done(exitDone, "week", "week-49", "--out", out, "--no-register=false", "--quiet")
	jobs := done(exitDone, "register", "jobs").out
	week := strings.Count(jobs, "\n")
	if want := len(readList(t, site)); week != want {
		t.Errorf("%d jobs are in the register, want %d:\n%s", week, want, jobs)
	}
	done(exitDone, "week", "week-49", "--out", out, "--no-register=false", "--quiet")
	if again := done(exitDone, "register", "jobs").out; again != jobs {
		t.Errorf("a run that was repeated changed it:\n%s", again)
	}
	if got := done(exitDone, "register", "jobs", "--unit", "P-214", "--from", "2026-11-30", "--to", "2026-11-30", "--json").out; strings.Count(got, "\n") != 1 || !strings.Contains(got, `"K-24817"`) {
		t.Errorf("jobs of a unit on a day: %s", got)
	}
	if got := done(exitDone, "register", "jobs", "k-24818").out; !strings.Contains(got, "K-24818") || !strings.HasSuffix(got, "by planner 1\n") {
		t.Errorf("one job: %s", got)
	}
	done(exitWrong, "register", "jobs", "K-1")
	done(exitDone, "register", "verify", "--known", strings.TrimSpace(first))
	done(exitRefused, "register", "verify", "--known", "999:"+strings.Repeat("0", 64))
	done(exitWrong, "register", "verify", "--known", "12")
	done(exitWrong, "register", "jobs", "--from", "30.11.2026")
	end := done(exitDone, "register", "verify").out

	for _, form := range [][]string{nil, {"--csv"}} {
		copied, other := t.TempDir(), t.TempDir()
		done(exitDone, append([]string{"register", "export", copied}, form...)...)
		for _, added := range []string{end[:strings.Index(end, ":")] + " events added\n", "0 events added\n"} {
			if got := jobsheaf("register", "import", copied, "--site", other); got.code != exitDone || got.out != added {
				t.Errorf("%v: import gives %d, %q, want %q\n%s", form, got.code, got.out, added, got.err)
			}
		}
		if got := jobsheaf("register", "verify", "--site", other); got.out != end {
			t.Errorf("%v: the register of the export ends with %s, want %s", form, got.out, end)
		}
	}
	if got := jobsheaf("register", "import", out, "--site", site); got.code != exitWrong || !strings.Contains(got.err, "of an exported register") {
		t.Errorf("a folder without an export: %s", got.err)
	}
}

// readList gives the lines of the demo week's jobs.
func readList(t *testing.T, site string) []string {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(site, "lists", "week-49.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	var jobs []string
	for line := range strings.Lines(string(raw)) {
		if strings.Contains(line, "{job: ") {
			jobs = append(jobs, line)
		}
	}
	return jobs
}

// With a register that cannot be read nothing is printed, unless it is to be left alone.
func TestRegisterThatIsBroken(t *testing.T) {
	site, out := t.TempDir(), t.TempDir()
	demo(t, "soapworks").write(t, site)
	if err := os.WriteFile(filepath.Join(site, "register.db"), []byte(strings.Repeat("no database\n", 500)), 0o644); err != nil {
		t.Fatal(err)
	}
	// What it knows of the unit is to be printed: nothing is, where that cannot be read.
	got := jobsheaf("make", "K-24818", "--site", site, "--out", out, "--no-register=false")
	if got.code != exitWrong || !strings.Contains(got.err, "what was read on earlier packets is not known") || !strings.Contains(got.err, "register.db") {
		t.Errorf("exit code %d: %s", got.code, got.err)
	}
	if _, err := os.Stat(filepath.Join(out, "K-24818.pdf")); err == nil {
		t.Error("a packet was printed")
	}
	// Nothing of it concerns those who do not want it.
	if got := jobsheaf("make", "K-24818", "--site", site, "--out", out, "--no-register"); got.code != exitDone {
		t.Errorf("exit code %d: %s", got.code, got.err)
	}
}
