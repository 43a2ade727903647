// Command bench makes sites of any size and measures the program on them; see
// `make bench`. What it prints are measurements, never tests: they hang on the
// machine and on what else it does.
//
//	bench make -dir DIR -jobs 300     writes a site and its list, list.csv
//	bench run  -bin bin/jobsheaf      measures printing
//	bench read -bin bin/jobsheaf      measures reading scanned pages back
//	bench desk -bin bin/jobsheaf      measures the desk
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"jobsheaf/testdata/bench/made"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) == 0 {
		return fmt.Errorf("wanted is `bench make ...`, `bench run ...`, `bench read ...` or `bench desk ...`")
	}
	f := flag.NewFlagSet(args[0], flag.ContinueOnError)
	dir := f.String("dir", "bench-site", "make: the folder to write")
	units := f.Int("units", 100, "make: how many units")
	jobs := f.Int("jobs", 300, "make: how many jobs")
	long := f.Bool("long", false, "use the demo's procedures, 6 to 16 pages a packet, instead of a short one of four")
	seed := f.Uint64("seed", 1, "another seed gives other jobs")
	binary := f.String("bin", "bin/jobsheaf", "run, read: the program")
	sizes := f.String("sizes", "100,300,1000", "run: how many jobs the program is measured with")
	piles := f.String("piles", "50,500,2000", "read: how many pages a scan has")
	entries := f.Int("entries", 100_000, "desk: how many jobs are in the register")
	people := f.Int("people", 20, "desk: how many ask at a time")
	peers := f.String("peers", "reportlab,typst", "run: what to measure beside it")
	if err := f.Parse(args[1:]); err != nil {
		return err
	}
	switch args[0] {
	case "make":
		return write(*dir, *seed, *units, *jobs, *long)
	case "desk":
		return measureDesk(*binary, *seed, *entries, *people)
	case "run":
		// The whole runs come first: Linux counts a parent's memory at the start of its
		// children, and this process is still small.
		for _, s := range splitWords(*sizes) {
			n, err := strconv.Atoi(s)
			if err != nil {
				return err
			}
			if err := measureRun(*binary, *seed, n, *long); err != nil {
				return err
			}
		}
		return measureParts(*seed, *long, splitWords(*peers))
	case "read":
		var all []int
		for _, s := range splitWords(*piles) {
			n, err := strconv.Atoi(s)
			if err != nil {
				return err
			}
			all = append(all, n)
		}
		return measureBack(*binary, *seed, all)
	}
	return fmt.Errorf("%q is none of make, run, read, desk", args[0])
}

func splitWords(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return r == ',' })
}

// write writes a site with its list, list.csv beside site.yaml.
func write(dir string, seed uint64, units, jobs int, long bool) error {
	files, csv, err := made.Site(seed, units, jobs, long)
	if err != nil {
		return err
	}
	files["list.csv"] = csv
	for name, data := range files {
		to := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(to, data, 0o644); err != nil {
			return err
		}
	}
	return nil
}
