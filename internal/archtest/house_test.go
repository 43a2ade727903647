package archtest

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// longest is the most lines that a source file may have: one subject fits in that.
const longest = 420

// stillLong lists the files that are longer for now, with their lines. It may only
// shrink.
var stillLong = map[string]int{
	"internal/figure/geometry_test.go": 460, "internal/week/list_test.go": 423, "internal/week/print_test.go": 532,
}

// A package is named after its subject, and a file holds one that a reader can keep in
// mind.
func TestPackagesAndFilesHaveOneSubject(t *testing.T) {
	root, seen := filepath.Join("..", ".."), 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := filepath.ToSlash(strings.TrimPrefix(path, root+string(filepath.Separator)))
		if d.IsDir() {
			if strings.HasPrefix(d.Name(), ".") && path != root || name == "out" || name == "bin" || name == "dist" {
				return filepath.SkipDir
			}
			if slices.Contains([]string{"util", "utils", "common", "helper", "helpers", "misc"}, d.Name()) {
				t.Errorf("%s says nothing about its subject: name it after what it holds", name)
			}
			return nil
		}
		if !strings.HasSuffix(name, ".go") {
			return nil
		}
		seen++
		src, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		lines, allowed := bytes.Count(src, []byte("\n")), max(longest, stillLong[name])
		if lines > allowed {
			t.Errorf("%s has %d lines, more than %d: split it along its subjects", name, lines, allowed)
		}
		if was, listed := stillLong[name]; listed && lines < was {
			t.Errorf("%s has %d lines by now: lower it from %d in stillLong, or take it out", name, lines, was)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if seen < 200 {
		t.Fatalf("looked at %d files only: the walk is wrong", seen)
	}
}
