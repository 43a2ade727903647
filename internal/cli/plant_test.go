package cli

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"jobsheaf/samples"
)

// update renews what the tests compare with; the diff is to be read.
var update = flag.Bool("update", false, "renew testdata/script and testdata/pages; read the diff")

// built is the program as it ships, in a folder of its own: for what has to run in
// another process, and for what would take long with the race detector.
var built = sync.OnceValues(func() (dir string, err error) {
	if dir, err = os.MkdirTemp("", "jobsheaf-built"); err != nil {
		return "", err
	}
	builtIn = dir
	if _, errs, err := outside("go", "build", "-trimpath", "-o", filepath.Join(dir, "jobsheaf"), "jobsheaf/cmd/jobsheaf"); err != nil {
		return dir, fmt.Errorf("%w: %s", err, errs)
	}
	return dir, nil
})

var builtIn string // the folder, once it is there

// shipped gives the folder of the program as it ships.
func shipped(t testing.TB) string {
	t.Helper()
	dir, err := built()
	if err != nil {
		t.Fatal(err)
	}
	return dir
}

func TestMain(m *testing.M) {
	registers = false // tests print the demo sites where they stand
	code := m.Run()
	if builtIn != "" {
		os.RemoveAll(builtIn)
	}
	os.Exit(code)
}

// plant is a site in the making: the text of each file, by its path.
type plant map[string]string

// demo gives a copy of a demo site.
func demo(t testing.TB, name string) plant {
	t.Helper()
	p := plant{}
	err := fs.WalkDir(samples.FS, name, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := fs.ReadFile(samples.FS, file)
		p[strings.TrimPrefix(file, name+"/")] = string(text)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// demoJobs is how many jobs a list of the demo site has.
func demoJobs(t testing.TB, list string) int {
	t.Helper()
	l := readSite(demo(t, "soapworks").files()).book.Lists[list]
	if l == nil || len(l.Jobs) == 0 {
		t.Fatalf("the demo has no list %s", list)
	}
	return len(l.Jobs)
}

// replace changes a place of a file that is there exactly once.
func (p plant) replace(t testing.TB, file, old, with string) {
	t.Helper()
	if n := strings.Count(p[file], old); n != 1 {
		t.Fatalf("%s: %q is there %d times, want once", file, old, n)
	}
	p[file] = strings.Replace(p[file], old, with, 1)
}

// list makes the site's only list of these jobs.
func (p plant) list(jobs ...string) plant {
	maps.DeleteFunc(p, func(file, _ string) bool { return strings.HasPrefix(file, "lists/") })
	p["lists/week.yaml"] = "list: week\njobs:\n  - {" + strings.Join(jobs, "}\n  - {") + "}\n"
	return p
}

// files gives the site as a file system.
func (p plant) files() fstest.MapFS {
	fsys := fstest.MapFS{}
	for file, text := range p {
		fsys[file] = &fstest.MapFile{Data: []byte(text), Mode: 0o644}
	}
	return fsys
}

// write writes the site's files into a folder.
func (p plant) write(t testing.TB, dir string) {
	t.Helper()
	for file, text := range p {
		to := filepath.Join(dir, filepath.FromSlash(file))
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(to, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// outcome is what a command did.
type outcome struct {
	code     int
	out, err string
}

// jobsheaf runs a command in this process.
func jobsheaf(args ...string) outcome {
	var out, errs bytes.Buffer
	code := Main(args, Streams{In: strings.NewReader(""), Out: &out, Err: &errs})
	return outcome{code, out.String(), errs.String()}
}

// outside runs another program and gives what it prints.
func outside(name string, args ...string) (out, errs string, err error) {
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Minute)
	defer cancel()
	var o, e bytes.Buffer
	cmd := exec.CommandContext(ctx, name, args...)
	cmd.Stdout, cmd.Stderr = &o, &e
	err = cmd.Run()
	return o.String(), e.String(), err
}

// tree gives every path below a folder with its content; a folder's is "/".
func tree(t testing.TB, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(dir, file)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		switch {
		case d.IsDir():
			all[rel] = "/"
		case d.Type().IsRegular():
			text, err := os.ReadFile(file)
			all[rel] = string(text)
			return err
		default:
			all[rel] = d.Type().String()
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// pdfs gives the names of the packets in a folder, sorted, without their ending.
func pdfs(t testing.TB, dir string) []string {
	t.Helper()
	var names []string
	for file := range tree(t, dir) {
		if name, ok := strings.CutSuffix(file, ".pdf"); ok {
			names = append(names, path.Base(name))
		}
	}
	slices.Sort(names)
	return names
}
