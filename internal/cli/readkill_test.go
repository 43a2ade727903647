package cli

import (
	"bufio"
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"jobsheaf/internal/register"
	"jobsheaf/testdata/scribble"
)

// scanned is a site with a scan of a packet that came back.
func scanned(t *testing.T) (b backs, scan string, pages int) {
	t.Helper()
	b = printedSite(t, "K-24818")
	p := b.packet("K-24818")
	var shots []scribble.Shot
	for n := range p.Manifest.Pages {
		shots = append(shots, b.shot(p, n+1, "clean 150", 1))
	}
	return b, b.pdf("scan.pdf", scribble.DCT, shots...), len(shots)
}

// A read that is killed at any moment has lost nothing that it said: each page that it told
// of is in the register with its picture, and the register is whole. The next goes on.
func TestKilledReads(t *testing.T) {
	b, scan, pages := scanned(t)
	binary := filepath.Join(shipped(t), "jobsheaf")
	db := filepath.Join(b.site, register.FileName)
	before, err := os.ReadFile(db)
	if err != nil {
		t.Fatal(err)
	}
	rnd := rand.New(rand.NewPCG(12, 26))
	const kills = 50
	for killed, runs := 0, 0; killed < kills; runs++ {
		if runs == 4*kills {
			t.Fatalf("of %d runs %d could be killed", runs, killed)
		}
		cmd := exec.Command(binary, "read", "--site", b.site, scan)
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		told, lines := []string{}, bufio.NewScanner(out)
		for most := rnd.IntN(4); len(told) < most && lines.Scan(); {
			told = append(told, lines.Text())
		}
		if len(told) == 0 {
			time.Sleep(time.Duration(rnd.IntN(300)) * time.Millisecond)
		} else {
			time.Sleep(time.Duration(rnd.IntN(20)) * time.Millisecond)
		}
		cmd.Process.Signal(syscall.SIGKILL)
		for lines.Scan() {
			told = append(told, lines.Text())
		}
		if cmd.Wait() != nil {
			killed++
		}
		b.does(exitDone, "register", "verify", "--pictures")
		r, err := register.Open(t.Context(), db)
		if err != nil {
			t.Fatal(err)
		}
		job, err := r.Job(t.Context(), "K-24818")
		if err != nil {
			t.Fatal(err)
		}
		papers, err := r.Papers(t.Context(), job.Print)
		if err != nil {
			t.Fatal(err)
		}
		r.Close()
		kept := map[int]bool{}
		for _, p := range papers {
			kept[p.At] = true
		}
		for _, line := range told {
			var at int
			if _, err := fmt.Sscanf(line, scan+" %d: K-24818", &at); err == nil && !kept[at] {
				t.Errorf("run %d told of page %d, which is not in the register", runs, at)
			}
		}
		if len(papers) == pages { // from the beginning again
			for _, tail := range []string{"-wal", "-shm"} {
				os.Remove(db + tail)
			}
			if err := os.WriteFile(db, before, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	if left, _ := filepath.Glob(filepath.Join(b.site, "scans", "*", ours+"*")); len(left) > 3*kills {
		t.Errorf("%d temporary files are left", len(left))
	}
	if out := b.does(exitDone, "read", scan).out; !strings.Contains(out, "K-24818: all 6 pages") {
		t.Errorf("the last read says\n%s", out)
	}
}

// Where the disk is full, nothing is told as kept that is not, and it goes on later.
func TestReadOnAFullDisk(t *testing.T) {
	b, scan, _ := scanned(t)
	binary := filepath.Join(shipped(t), "jobsheaf")
	head := b.does(exitDone, "register", "verify").out
	for _, kilobytes := range []int{1, 60, 190, 400} { // no picture; a part of one; pictures, and no register
		cmd := exec.Command("sh", "-c", fmt.Sprintf("ulimit -f %d; exec \"$@\"", kilobytes*2), "sh", binary, "read", "--site", b.site, scan) // in blocks of 512 bytes
		var out, said bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &said
		err := cmd.Run()
		if kilobytes < 100 && (err == nil || !strings.Contains(said.String(), "jobsheaf: ")) {
			t.Errorf("with %d kB to a file it ends with %v: %s%s", kilobytes, err, out.String(), said.String())
		}
		if kilobytes == 1 && strings.Contains(out.String(), "K-24818") {
			t.Errorf("pages were told:\n%s", out.String())
		}
	}
	b.does(exitDone, "register", "verify", "--known", strings.TrimSpace(head), "--pictures")
	if out := b.does(exitDone, "read", scan).out; !strings.Contains(out, "K-24818: all 6 pages") {
		t.Errorf("afterwards it says\n%s", out)
	}
}

// Two read the same scan at once: each page is entered once.
func TestTwoReadAtOnce(t *testing.T) {
	b, scan, pages := scanned(t)
	got := make(chan outcome, 3)
	for range cap(got) {
		go func() { got <- jobsheaf("read", scan, "--site", b.site) }()
	}
	for range cap(got) {
		if o := <-got; o.code != exitDone || !strings.Contains(o.out, "K-24818: all 6 pages") {
			t.Errorf("exit code %d\n%s%s", o.code, o.out, o.err)
		}
	}
	if head := b.does(exitDone, "register", "verify", "--pictures").out; !strings.HasPrefix(head, fmt.Sprint(1+pages, ":")) {
		t.Errorf("the register ends with %s, want %d events", head, 1+pages)
	}
}
