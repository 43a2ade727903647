// Command bench makes sites of any size and measures the program on them; see
// `make bench`.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"

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
		return fmt.Errorf("wanted is `bench make ...` or `bench run ...`")
	}
	f := flag.NewFlagSet(args[0], flag.ContinueOnError)
	dir := f.String("dir", "bench-site", "the folder to write or to measure")
	units := f.Int("units", 100, "how many units")
	jobs := f.Int("jobs", 300, "how many jobs")
	long := f.Bool("long", false, "use the demo's procedures instead of a short one")
	seed := f.Uint64("seed", 1, "another seed gives other jobs")
	if err := f.Parse(args[1:]); err != nil {
		return err
	}
	switch args[0] {
	case "make":
		return write(*dir, *seed, *units, *jobs, *long)
	}
	return fmt.Errorf("%q is neither make nor run", args[0])
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
