package main

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"jobsheaf/internal/manifest"
	"jobsheaf/samples"
	"jobsheaf/testdata/scribble"
)

// distinct is how many different pages a pile is made of; what is left of it is these
// again, so that a page is known to the register and is read all the same.
const distinct = 60

// measureBack prints the demo week, has it written on, and measures how the program reads
// piles of so many pages back, as one PDF of grey pictures at 200 dpi, of JPEG.
func measureBack(binary string, seed uint64, piles []int) error {
	dir, err := os.MkdirTemp("", "bench-read")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	site, out := filepath.Join(dir, "site"), filepath.Join(dir, "out")
	works, err := fs.Sub(samples.FS, "soapworks")
	if err != nil {
		return err
	}
	if err := os.CopyFS(site, works); err != nil {
		return err
	}
	if raw, err := exec.Command(binary, "week", "week-49", "--site", site, "--out", out, "--quiet").CombinedOutput(); err != nil {
		return fmt.Errorf("%w: %s", err, raw)
	}
	shots, err := shoot(out, seed)
	if err != nil {
		return err
	}
	register, err := os.ReadFile(filepath.Join(site, "register.db"))
	if err != nil {
		return err
	}
	fmt.Printf("%-8s %10s %14s %12s %10s\n", "pages", "pages/s", "ms of CPU each", "peak memory", "file")
	for _, n := range piles {
		pile := make([]scribble.Shot, n)
		for i := range pile {
			pile[i] = shots[i%len(shots)]
		}
		scan := filepath.Join(dir, "scan.pdf")
		f, err := os.Create(scan)
		if err != nil {
			return err
		}
		if err := scribble.WritePDF(f, pile, scribble.DCT); err != nil {
			return err
		}
		info, err := f.Stat()
		if err != nil {
			return err
		}
		f.Close()
		for _, name := range []string{"register.db-wal", "register.db-shm"} {
			os.Remove(filepath.Join(site, name))
		}
		if err := os.WriteFile(filepath.Join(site, "register.db"), register, 0o644); err != nil {
			return err
		}
		cmd := exec.Command(binary, "read", scan, "--site", site)
		var raw bytes.Buffer
		cmd.Stdout = &raw
		began := time.Now()
		if err := cmd.Start(); err != nil {
			return err
		}
		peak := watch(cmd.Process.Pid)
		err = cmd.Wait()
		took := time.Since(began)
		// A page that comes again is told, and the program ends with 1.
		if err != nil && cmd.ProcessState.ExitCode() != 1 {
			return err
		}
		if got := strings.Count(raw.String(), "scan.pdf "); got != n {
			return fmt.Errorf("%d pages were read of %d", got, n)
		}
		cpu := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
		fmt.Printf("%-8d %10.1f %14.0f %9d MB %7d MB\n", n, float64(n)/took.Seconds(), float64(cpu.Milliseconds())/float64(n), <-peak>>10, info.Size()>>20)
	}
	return nil
}

// watch gives the peak of a process's memory, in kB, once it has ended. It is not that of
// getrusage, in which what this process holds would count.
func watch(pid int) <-chan int {
	peak := make(chan int, 1)
	go func() {
		most := 0
		for {
			raw, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
			_, after, ok := strings.Cut(string(raw), "VmHWM:")
			if err != nil || !ok { // of one that has ended there is no such line
				peak <- most
				return
			}
			fmt.Sscan(after, &most)
			time.Sleep(20 * time.Millisecond)
		}
	}()
	return peak
}

// shoot lets pages of the week be written on and scanned, in the conditions of an office's
// scanner.
func shoot(out string, seed uint64) ([]scribble.Shot, error) {
	files, err := filepath.Glob(filepath.Join(out, "K-*.json"))
	if err != nil {
		return nil, err
	}
	var shots []scribble.Shot
	conditions := []string{"clean 200", "skew 1", "jpeg 40", "turned 180", "grease"}
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		m, err := manifest.Decode(raw)
		if err != nil {
			return nil, err
		}
		p := scribble.Open(strings.TrimSuffix(file, ".json")+".pdf", m)
		for n := 1; n <= len(m.Pages) && len(shots) < distinct; n++ {
			c, ok := scribble.Named(conditions[len(shots)%len(conditions)])
			if !ok {
				return nil, fmt.Errorf("no condition is named %q", conditions[len(shots)%len(conditions)])
			}
			s, err := p.Shoot(context.Background(), n, c, seed, scribble.Rough)
			if err != nil {
				return nil, err
			}
			if s.JPEG == nil { // once for all piles
				var b bytes.Buffer
				if err := scribble.WriteJPEG(&b, s, 75); err != nil {
					return nil, err
				}
				s.JPEG = b.Bytes()
			}
			shots = append(shots, s)
		}
	}
	return shots, nil
}
