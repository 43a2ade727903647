package source

import (
	"io/fs"
	"os"
	"slices"
	"testing"
	"testing/fstest"
)

// A folder that is in memory alone stands in a site as any other, and hides what a disk has
// under its name.
func TestOverlay(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{"site.yaml": "site: s\n", "register/old.yaml": "old: 1\n", "units/a.yaml": "unit: A\n"} {
		if err := os.MkdirAll(dir+"/register", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.MkdirAll(dir+"/units", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(dir+"/"+name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink("a.yaml", dir+"/units/b.yaml"); err != nil {
		t.Skip(err)
	}
	files := map[string][]byte{"register/K-1/page-2.yaml": []byte("history: A\n"), "register/K-1/page-10.yaml": []byte("history: A\n"), "register/K-2/page-1.yaml": nil, "units/c.yaml": []byte("unit: C\n"), "registers.yaml": nil}
	fsys := Overlay(os.DirFS(dir), "register", files)
	names, problems := Files(fsys, "register")
	if want := []string{"register/K-1/page-10.yaml", "register/K-1/page-2.yaml", "register/K-2/page-1.yaml"}; len(problems) > 0 || !slices.Equal(names, want) {
		t.Errorf("%v, %v", names, problems)
	}
	if data, err := fs.ReadFile(fsys, "register/K-1/page-2.yaml"); err != nil || string(data) != "history: A\n" {
		t.Errorf("%q, %v", data, err)
	}
	names, problems = Files(fsys, "units") // the link is seen for one
	if want := []string{"units/a.yaml"}; len(problems) != 1 || !slices.Equal(names, want) {
		t.Errorf("%v, %v", names, problems)
	}
	if to, err := fs.ReadLink(fsys, "units/b.yaml"); err != nil || to != "a.yaml" {
		t.Errorf("%q, %v", to, err)
	}
	for _, name := range []string{"register/old.yaml", "register/K-3", "registers.yaml", "units/c.yaml"} {
		if _, err := fs.Lstat(fsys, name); err == nil {
			t.Errorf("%s is there", name)
		}
	}
	if _, err := fs.ReadLink(fsys, "register/K-1"); err == nil {
		t.Error("a folder is a link")
	}
	docs, problems := ReadFile(fsys, "register/K-1/page-2.yaml", Options{})
	if len(docs) != 1 || len(problems) > 0 || docs[0].ID != "A" {
		t.Errorf("%v, %v", docs, problems)
	}
	none := Overlay(os.DirFS(dir), "register", nil)
	if names, problems := Files(none, "register"); names != nil || problems != nil {
		t.Errorf("%v, %v", names, problems)
	}
	// Below the folder it is a file system like any other.
	sub, err := fs.Sub(Overlay(fstest.MapFS{}, "register", files), "register")
	if err != nil {
		t.Fatal(err)
	}
	if err := fstest.TestFS(sub, "K-1/page-2.yaml", "K-2/page-1.yaml"); err != nil {
		t.Error(err)
	}
}
