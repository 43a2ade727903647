package main

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
)

// measureDesk opens a desk on a register of many jobs, has many people ask for its pages at
// a time, and prints how long they waited and how much memory it took.
func measureDesk(binary string, seed uint64, jobs, people int) error {
	dir, err := os.MkdirTemp("", "jobsheaf-bench-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	site, out := filepath.Join(dir, "site"), filepath.Join(dir, "out")
	if err := write(site, seed, 200, 40, true); err != nil {
		return err
	}
	binary, err = filepath.Abs(binary)
	if err != nil {
		return err
	}
	if said, err := exec.Command(binary, "week", filepath.Join(site, "list.csv"), "--site", site, "--out", out, "--today", "2027-01-01", "--quiet").CombinedOutput(); err != nil {
		return fmt.Errorf("%w\n%s", err, said)
	}
	began := time.Now()
	units, err := fillRegister(filepath.Join(site, register.FileName), jobs)
	if err != nil {
		return err
	}
	fmt.Printf("%d jobs entered in %.0f s\n", jobs, time.Since(began).Seconds())

	cmd := exec.Command(binary, "desk", "--site", site, "--out", out, "--port", "0", "--no-browser")
	says, err := cmd.StdoutPipe()
	if err != nil {
		return err
	}
	began = time.Now()
	if err := cmd.Start(); err != nil {
		return err
	}
	defer cmd.Wait()
	defer cmd.Process.Signal(os.Interrupt)
	at, err := bufio.NewReader(says).ReadString('\n')
	if err != nil {
		return err
	}
	at = strings.TrimSuffix(strings.TrimSpace(at), "/")
	fmt.Printf("open after %.2f s\n", time.Since(began).Seconds())
	if err := settle(at); err != nil {
		return err
	}
	job := func(r *rand.Rand) string { return fmt.Sprintf("B-%06d", r.IntN(jobs)) }
	unit := func(r *rand.Rand) string { return units[r.IntN(len(units))] }
	for _, p := range []struct {
		name string
		path func(*rand.Rand) string
	}{
		{"the answer to a code", func(r *rand.Rand) string { return "/J/" + job(r) + "/1/16/7F3A91C2" }},
		{"first page", func(*rand.Rand) string { return "/" }},
		{"jobs, newest", func(*rand.Rand) string { return "/jobs" }},
		{"jobs by number", func(r *rand.Rand) string { return "/jobs?number=" + job(r)[:6] }},
		{"jobs of a unit", func(r *rand.Rand) string { return "/jobs?unit=" + unit(r) }},
		{"jobs by state and day", func(r *rand.Rand) string { return fmt.Sprintf("/jobs?state=closed&from=2026-%02d-01", 1+r.IntN(12)) }},
		{"jobs out for a week", func(*rand.Rand) string { return "/jobs?out=1" }},
		{"jobs, a later page", func(r *rand.Rand) string { return "/jobs?day=2024-06-01&after=" + job(r) }},
		{"a job that came back", func(r *rand.Rand) string { return fmt.Sprintf("/job/B-%06d", r.IntN(jobs/share)*share) }},
		{"a job", func(r *rand.Rand) string { return "/job/" + job(r) }},
		{"units", func(*rand.Rand) string { return "/units" }},
		{"a unit", func(r *rand.Rand) string { return "/unit/" + unit(r) }},
		{"numbers of a unit", func(r *rand.Rand) string { return "/number/" + unit(r) + "?procedure=reset-end-clearance" }},
		{"a number", func(r *rand.Rand) string {
			return "/number/" + units[r.IntN(20)] + "?procedure=reset-end-clearance&value=travel"
		}},
		{"what wears out next", func(*rand.Rand) string { return "/worn" }},
		{"records", func(*rand.Rand) string { return "/records" }},
		{"lists", func(*rand.Rand) string { return "/week" }},
	} {
		busy := busyOf(cmd.Process.Pid)
		waits, bytes, err := ask(at, people, 100, p.path)
		if err != nil {
			return fmt.Errorf("%s: %w", p.name, err)
		}
		ms := func(share float64) float64 {
			return float64(waits[min(len(waits)-1, int(share*float64(len(waits))))].Microseconds()) / 1000
		}
		cpu := float64((busyOf(cmd.Process.Pid) - busy).Microseconds()) / 1000 / float64(len(waits))
		fmt.Printf("%-24s %6.1f ms in the middle, %6.1f ms at 99 %%, %5.2f ms of processor, %5.1f kB\n", p.name, ms(0.5), ms(0.99), cpu, float64(bytes)/1000)
	}
	fmt.Printf("%d people at a time on %d processors; memory at the peak: %s\n", people, runtime.NumCPU(), peakOf(cmd.Process.Pid))
	return nil
}

// share is of how many jobs one came back.
const share = 101

// fillRegister enters jobs of ten years, each with a manifest as one was printed; one of a
// hundred came back and has readings, and of these a third is closed.
func fillRegister(path string, jobs int) (units []string, err error) {
	ctx := context.Background()
	r, err := register.Open(ctx, path)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	var like []register.Print
	err = r.Jobs(ctx, register.Query{}, func(j register.Job) error {
		like = append(like, register.Print{Unit: j.Unit, Procedure: j.Procedure, Pages: j.Pages})
		if !slices.Contains(units, j.Unit) {
			units = append(units, j.Unit)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	// Most manifests are put without their boxes: to compress 100,000 whole ones takes minutes.
	bare := make([][]byte, len(like))
	i := 0
	err = r.Jobs(ctx, register.Query{}, func(j register.Job) error {
		prints, err := r.Prints(ctx, j.ID)
		if err == nil {
			like[i].Manifest, err = r.Manifest(ctx, prints[0])
		}
		var m manifest.Manifest
		if err == nil {
			m, err = manifest.Decode(like[i].Manifest)
		}
		if err == nil {
			for k := range m.Pages {
				m.Pages[k].Boxes = []manifest.Box{}
			}
			bare[i], err = m.Encode()
		}
		i++
		return err
	})
	if err != nil {
		return nil, err
	}
	first := time.Date(2017, 1, 2, 6, 0, 0, 0, time.UTC)
	_, err = r.Enter(ctx, register.By{Who: "Planning", At: first}, func(yield func(register.Print, error) bool) {
		for i := range jobs {
			p := like[i%len(like)]
			if i%share != 0 {
				p.Manifest = bare[i%len(like)]
			}
			p.Job, p.Day, p.Fingerprint = fmt.Sprintf("B-%06d", i), first.AddDate(0, 0, i*3650/jobs).Format(time.DateOnly), fmt.Sprintf("%08X", i*2654435761%(1<<32))
			if !yield(p, nil) {
				return
			}
		}
	})
	if err != nil {
		return nil, err
	}
	low := 1.0
	by := register.By{Who: "Front office", At: first.AddDate(9, 0, 0)}
	for i := 0; i < jobs; i += share {
		prints, err := r.Prints(ctx, fmt.Sprintf("B-%06d", i))
		if err != nil {
			return nil, err
		}
		of := prints[0].Event
		sum := sha256.Sum256([]byte(prints[0].Job))
		var readings []register.Reading
		for k := range 20 {
			readings = append(readings, register.Reading{Print: of, Box: fmt.Sprintf("s%d.x", k), Text: "1.2", Value: "1.2", Unit: "mm", Low: &low, Page: 1 + k%5, Keep: "as_found end_clearance"})
		}
		if _, _, err := r.See(ctx, by, register.Paper{State: register.Placed, Scan: hex.EncodeToString(sum[:]), File: "tray.pdf", At: 1, Print: of, Page: 1, Picture: hex.EncodeToString(sum[:])}); err != nil {
			return nil, err
		}
		if _, err := r.Type(ctx, by, readings...); err != nil {
			return nil, err
		}
		if i%(3*share) == 0 {
			if err := r.Decide(ctx, by, register.Decision{Kind: register.Close, Print: of}); err != nil {
				return nil, err
			}
		}
	}
	return units, nil
}

// settle waits until the desk has looked through the records.
func settle(at string) error {
	for range 600 {
		done := true
		for _, p := range []string{"/records", "/worn"} {
			_, body, err := fetch(http.DefaultClient, at+p)
			if err != nil {
				return err
			}
			done = done && !strings.Contains(body, "still being looked through")
		}
		if done {
			return nil
		}
		time.Sleep(100 * time.Millisecond)
	}
	return fmt.Errorf("the desk is never done with the records")
}

func fetch(c *http.Client, url string) (time.Duration, string, error) {
	began := time.Now()
	res, err := c.Get(url)
	if err != nil {
		return 0, "", err
	}
	defer res.Body.Close()
	raw, err := io.ReadAll(res.Body)
	if err == nil && res.StatusCode != http.StatusOK {
		err = fmt.Errorf("%s: %s", url, res.Status)
	}
	return time.Since(began), string(raw), err
}

// ask has people ask for pages, each for so many one after the other, and gives how long
// each waited, the shortest first, and how long a page is.
func ask(at string, people, each int, path func(*rand.Rand) string) (waits []time.Duration, bytes int, err error) {
	var mu sync.Mutex
	var wg sync.WaitGroup
	for i := range people {
		wg.Go(func() {
			c := &http.Client{Transport: &http.Transport{}}
			defer c.CloseIdleConnections()
			r := rand.New(rand.NewPCG(uint64(i), 1))
			for range each {
				took, body, e := fetch(c, at+path(r))
				mu.Lock()
				waits, bytes = append(waits, took), max(bytes, len(body))
				if e != nil {
					err = e
				}
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	slices.Sort(waits)
	return waits, bytes, err
}

// busyOf gives how long a process has had a processor, where the system says so. Linux
// counts in hundredths of a second.
func busyOf(pid int) time.Duration {
	raw, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		return 0
	}
	_, behind, _ := strings.Cut(string(raw), ") ")
	f := strings.Fields(behind)
	if len(f) < 13 {
		return 0
	}
	var user, system int64
	fmt.Sscan(f[11], &user)
	fmt.Sscan(f[12], &system)
	return time.Duration(user+system) * 10 * time.Millisecond
}

// peakOf gives the most memory that a process had, where the system says so.
func peakOf(pid int) string {
	raw, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return "not known"
	}
	for line := range strings.Lines(string(raw)) {
		if kB, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			var n float64
			fmt.Sscan(kB, &n)
			return fmt.Sprintf("%.0f MB", n/1024)
		}
	}
	return "not known"
}
