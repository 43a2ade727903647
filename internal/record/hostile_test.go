package record_test

import (
	"bytes"
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/check"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"

	"github.com/rogpeppe/go-internal/txtar"
)

var update = flag.Bool("update", false, "write what hostile records give into their files; read the diff")

// base gives the sound site that each case spoils.
func base(t testing.TB) map[string]string {
	t.Helper()
	a, err := txtar.ParseFile(filepath.Join("testdata", "base.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{}
	for _, f := range a.Files {
		files[f.Name] = string(f.Data)
	}
	return files
}

// split gives the two file systems of a set of files.
func split(files map[string]string) (site, builtin fstest.MapFS) {
	site, builtin = fstest.MapFS{}, fstest.MapFS{}
	for name, text := range files {
		mode := fs.FileMode(0o644)
		if strings.HasSuffix(name, "@") {
			name, mode = strings.TrimSuffix(name, "@"), 0o777|fs.ModeSymlink
		}
		if in, ok := strings.CutPrefix(name, "builtin/"); ok {
			builtin[in] = &fstest.MapFile{Data: []byte(text), Mode: mode}
		} else {
			site[name] = &fstest.MapFile{Data: []byte(text), Mode: mode}
		}
	}
	return site, builtin
}

// noRunes stands for the pages' typeface, which has no such characters.
func noRunes(text string) (missing []rune) {
	for _, r := range text {
		if r > 0xFFFF || r >= 0x4E00 && r < 0xA000 {
			missing = append(missing, r)
		}
	}
	return missing
}

// load reads a site and gives all its problems and the jobs that may be printed.
func load(files map[string]string) (*record.Book, diag.List, []string) {
	site, builtin := split(files)
	book, problems := record.Load(site, builtin, record.Options{Missing: noRunes})
	found := check.Run(book, nil, check.Known{})
	book.Attach(found)
	problems = append(problems, found...)
	var printed []string
	for _, name := range slices.Sorted(maps.Keys(book.Lists)) {
		for _, j := range book.Lists[name].Jobs {
			if p := book.Refusal(j); p != nil {
				problems.Add(*p)
			} else {
				printed = append(printed, j.ID.S)
			}
		}
	}
	return book, problems.Sorted(), printed
}

// spoil does what the lines of a case's comment say:
//
//	replace FILE "old" "new"       one place of a file
//	repeat FILE "old" "new" TIMES  the same with new many times over
//	write FILE "text" [TIMES]      a whole file
//	link FILE                      FILE is a symbolic link
//	remove FILE
//	all stop                       no job is printed after this
func spoil(files map[string]string, comment string) (allStop bool, err error) {
	for _, line := range strings.Split(comment, "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		words, err := unquote(line)
		if err != nil {
			return false, fmt.Errorf("%s: %w", line, err)
		}
		times := 1
		if n, err := strconv.Atoi(words[len(words)-1]); err == nil && (words[0] == "repeat" || words[0] == "write") {
			times = n
		}
		switch words[0] {
		case "replace", "repeat":
			if strings.Count(files[words[1]], words[2]) != 1 {
				return false, fmt.Errorf("%s: %q is not there exactly once", line, words[2])
			}
			files[words[1]] = strings.Replace(files[words[1]], words[2], strings.Repeat(words[3], times), 1)
		case "write":
			files[words[1]] = strings.Repeat(words[2], times)
		case "link":
			files[words[1]+"@"] = files[words[1]]
			delete(files, words[1])
		case "remove":
			delete(files, words[1])
		case "all":
			allStop = true
		default:
			return false, fmt.Errorf("%s: unknown", line)
		}
	}
	return allStop, nil
}

// unquote parts a line into words, some of which are Go strings.
func unquote(line string) (words []string, err error) {
	for line = strings.TrimSpace(line); line != ""; line = strings.TrimSpace(line) {
		if line[0] == '"' {
			q, err := strconv.QuotedPrefix(line)
			if err != nil {
				return nil, err
			}
			w, err := strconv.Unquote(q)
			if err != nil {
				return nil, err
			}
			words, line = append(words, w), line[len(q):]
			continue
		}
		w, rest, _ := strings.Cut(line, " ")
		words, line = append(words, w), rest
	}
	return words, nil
}

func TestBaseIsSound(t *testing.T) {
	_, problems, printed := load(base(t))
	for _, p := range problems {
		t.Error(p)
	}
	if got := strings.Join(printed, " "); got != "K-1 K-2" {
		t.Errorf("printed %q", got)
	}
}

// TestHostile spoils the sound site in one way a case: each ends in an error with
// its place, and what does not lean on the spoilt record is still printed.
func TestHostile(t *testing.T) {
	cases, err := filepath.Glob(filepath.Join("testdata", "hostile", "*.txtar"))
	if err != nil || len(cases) < 40 {
		t.Fatalf("found %d cases, want 40 at least (%v)", len(cases), err)
	}
	for _, name := range cases {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(name)
			if err != nil {
				t.Fatal(err)
			}
			files := base(t)
			allStop, err := spoil(files, string(a.Comment))
			if err != nil {
				t.Fatal(err)
			}
			_, problems, printed := load(files)
			var got bytes.Buffer
			for _, p := range problems {
				fmt.Fprintln(&got, p)
			}
			if !problems.HasErrors() {
				t.Error("no error")
			}
			if slices.Contains(printed, "K-2") == allStop || slices.Contains(printed, "K-1") {
				t.Errorf("printed %v", printed)
			}
			for _, p := range problems {
				if p.Pos.File == "" {
					t.Errorf("without a place: %s", p)
				}
			}
			if *update {
				a.Files = []txtar.File{{Name: "want", Data: got.Bytes()}}
				if err := os.WriteFile(name, txtar.Format(a), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if len(a.Files) != 1 || a.Files[0].Name != "want" || string(a.Files[0].Data) != got.String() {
				t.Errorf("got:\n%s", got.String())
			}
		})
	}
}
