package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// An archive that is unpacked on a machine with nothing on it prints the demo: no Go,
// no home, no path, no variable set.
func TestUnpackedArchivePrintsTheDemo(t *testing.T) {
	t.Setenv("SOURCE_DATE_EPOCH", "1700000000")
	root, dir := filepath.Join("..", ".."), t.TempDir()
	host := runtime.GOOS + "/" + runtime.GOARCH
	for _, out := range []string{"one", "two"} {
		if err := release(root, filepath.Join(dir, out), []string{host, "windows/amd64"}); err != nil {
			t.Fatal(err)
		}
	}
	made, err := filepath.Glob(filepath.Join(dir, "one", "*"))
	if err != nil || len(made) != 3 {
		t.Fatalf("made %q, %v", made, err)
	}
	for _, name := range made {
		one, err1 := os.ReadFile(name)
		two, err2 := os.ReadFile(filepath.Join(dir, "two", filepath.Base(name)))
		if err1 != nil || err2 != nil || !bytes.Equal(one, two) {
			t.Errorf("%s is not the same when it is made again (%v, %v)", filepath.Base(name), err1, err2)
		}
	}
	sums := exec.Command("sha256sum", "--check", "--strict", "SHA256SUMS")
	sums.Dir = filepath.Join(dir, "one")
	if out, err := sums.CombinedOutput(); err != nil || bytes.Count(out, []byte(": OK")) != 2 {
		t.Errorf("sha256sum: %v\n%s", err, out)
	}

	there := unpack(t, dir, made)
	for _, name := range []string{"LICENSE", "README.md", "licences/go/LICENSE", "licences/fonts/IBMPlex.txt", "licences/fonts/DejaVu.txt", "licences/gopkg.in/yaml.v3/LICENSE",
		"man/man1/jobsheaf.1", "man/man1/jobsheaf-week.1", "completions/jobsheaf.bash", "completions/_jobsheaf", "completions/jobsheaf.fish", "completions/jobsheaf.ps1"} {
		if _, err := os.Stat(filepath.Join(there, filepath.FromSlash(name))); err != nil {
			t.Error(err)
		}
	}
	program := filepath.Join(there, "jobsheaf")
	run := func(args ...string) string {
		cmd := exec.Command(program, args...)
		cmd.Dir, cmd.Env = there, []string{}
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%q: %v\n%s", args, err, out)
		}
		return string(out)
	}
	run("start", "demo")
	if said := run("week", "week-49", "--site", "demo", "--out", "paper", "--today", "2026-11-28"); !strings.Contains(said, " packets of ") || !strings.Contains(said, "0 errors, 0 warnings") {
		t.Errorf("the demo week says:\n%s", said)
	}
	packets, err := filepath.Glob(filepath.Join(there, "paper", "K-*.pdf"))
	if err != nil || len(packets) == 0 {
		t.Fatalf("no packets: %v", err)
	}
	if said := run("prove", packets[0]); !strings.Contains(said, "same bytes") {
		t.Errorf("prove says:\n%s", said)
	}
}

// unpack writes what the host's archive holds, looks into that for Windows, and gives
// the folder.
func unpack(t *testing.T, dir string, made []string) string {
	t.Helper()
	there := ""
	for _, name := range made {
		switch filepath.Ext(name) {
		case ".zip":
			z, err := zip.OpenReader(name)
			if err != nil {
				t.Fatal(err)
			}
			folder := strings.TrimSuffix(filepath.Base(name), ".zip")
			if _, err := z.Open(folder + "/jobsheaf.exe"); err != nil {
				t.Error(err)
			}
			z.Close()
		case ".gz":
			f, err := os.Open(name)
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			z, err := gzip.NewReader(f)
			if err != nil {
				t.Fatal(err)
			}
			for r := tar.NewReader(z); ; {
				h, err := r.Next()
				if errors.Is(err, io.EOF) {
					break
				} else if err != nil {
					t.Fatal(err)
				}
				to := filepath.Join(dir, filepath.FromSlash(h.Name))
				data, err := io.ReadAll(r)
				if err == nil {
					err = os.MkdirAll(filepath.Dir(to), 0o755)
				}
				if err == nil {
					err = os.WriteFile(to, data, h.FileInfo().Mode())
				}
				if err != nil {
					t.Fatal(err)
				}
			}
			there = filepath.Join(dir, strings.TrimSuffix(filepath.Base(name), ".tar.gz"))
		}
	}
	return there
}
