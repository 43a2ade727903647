package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"syscall"
	"time"
)

// measureRun runs the program on a list and prints how fast it was and how much
// memory it took at its peak.
func measureRun(binary string, seed uint64, jobs int, long bool) error {
	dir, err := os.MkdirTemp("", "jobsheaf-bench-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	if err := write(filepath.Join(dir, "site"), seed, 200, jobs, long); err != nil {
		return err
	}
	binary, err = filepath.Abs(binary)
	if err != nil {
		return err
	}
	cmd := exec.Command(binary, "week", filepath.Join(dir, "site", "list.csv"), "--site", filepath.Join(dir, "site"), "--out", filepath.Join(dir, "out"), "--today", "2027-01-01", "--quiet")
	began := time.Now()
	out, err := cmd.CombinedOutput()
	took := time.Since(began)
	if err != nil {
		return fmt.Errorf("%w\n%s", err, out)
	}
	u := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	busy := time.Duration(u.Utime.Nano() + u.Stime.Nano())
	var bytes int64
	err = filepath.Walk(filepath.Join(dir, "out"), func(_ string, info os.FileInfo, err error) error {
		if err == nil && info.Mode().IsRegular() {
			bytes += info.Size()
		}
		return err
	})
	if err != nil {
		return err
	}
	fmt.Printf("A list of %d jobs (packets, print files, front matter, manifests) on %d processors: %.1f s, %.0f packets a second, %.2f ms CPU a packet, %.0f MB at the peak, %.0f MB written\n",
		jobs, runtime.NumCPU(), took.Seconds(), float64(jobs)/took.Seconds(), float64(busy.Microseconds())/1000/float64(jobs), float64(u.Maxrss)/1024, float64(bytes)/(1<<20))
	return nil
}
