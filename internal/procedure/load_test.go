package procedure

import (
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

// found joins the problems of a list, a line each, without their hints.
func found(problems diag.List) string {
	var out []string
	for _, p := range problems {
		first, _, _ := strings.Cut(p.String(), "\n")
		out = append(out, first)
	}
	return strings.Join(out, "\n")
}

// What the rest of the program does not tell is not held against a template; what it
// tells is.
func TestOptions(t *testing.T) {
	fsys := templates(t)
	text := string(fsys["procedures/reset.yaml"].Data)
	for _, change := range [][2]string{{"feeler gauge", "straw"}, {"[tang]", "[tong]"}, {"sign: gloves", "sign: hat"}, {"figure: strip, numbers: {travel: travel}", "figure: strip"}} {
		text = strings.Replace(text, change[0], change[1], 1)
	}
	fsys["procedures/reset.yaml"].Data = []byte(text)
	if lib, problems := Load(fsys, nil, Options{}); len(problems) > 0 || len(lib.Names()) != 1 || lib.Texts() != nil {
		t.Errorf("%s are the problems where nothing is told", found(problems))
	}
	if _, problems := Load(fsys, nil, options); len(problems) != 4 {
		t.Errorf("%s are the problems where all is told", found(problems))
	}
	opt := options
	opt.Missing = func(text string) []rune {
		if strings.Contains(text, "≋") {
			return []rune("≋")
		}
		return nil
	}
	fsys = templates(t)
	fsys["procedures/safe.yaml"].Data = []byte(strings.Replace(string(fsys["procedures/safe.yaml"].Data), "Lock it", "Lock≋it", 1))
	fsys["texts/es/safe.yaml"] = &fstest.MapFile{Data: []byte("Clean: Limp≋o\n")}
	opt.Language = "es"
	if _, problems := Load(fsys, nil, opt); !strings.Contains(found(problems), "procedures/safe.yaml:9:17: error") || !strings.Contains(found(problems), "texts/es/safe.yaml:1:12: error") {
		t.Errorf("%s are the problems of what cannot be printed", found(problems))
	}
}

// Files that are not read are told, wherever they stand, and the others are read.
func TestFilesNotRead(t *testing.T) {
	fsys := templates(t)
	fsys["procedures/lost.yaml.txt"] = &fstest.MapFile{Data: []byte("a: b\n")}
	fsys["procedures/broken.yaml"] = &fstest.MapFile{Data: []byte("a: [\n")}
	fsys["texts/en/lost.yaml.txt"] = &fstest.MapFile{Data: []byte("a: b\n")}
	fsys["texts/en/broken.yaml"] = &fstest.MapFile{Data: []byte("a: [\n")}
	opt := options
	opt.Language = "en"
	lib, problems := Load(fsys, nil, opt)
	want := []string{"procedures/broken.yaml:", "procedures/lost.yaml.txt: warning: the file is not read", "texts/en/broken.yaml:", "texts/en/lost.yaml.txt: warning: the file is not read"}
	got := strings.Split(found(problems), "\n")
	for i := range want {
		if len(got) != len(want) || !strings.HasPrefix(got[i], want[i]) {
			t.Fatalf("found is\n%s", found(problems))
		}
	}
	if p, faulty := lib.Procedure("reset"); p == nil || faulty {
		t.Error("a fault of another file refuses the procedure")
	}
}

// The names of a library are in order, and a fault of one procedure leaves the others.
func TestNames(t *testing.T) {
	one := func(name, do string) string {
		return "procedure: " + name + "\ntitle: T\nrevision: \"1\"\nlanguage: en\nstages: [{stage: S, steps: [{do: " + do + "}]}]\n"
	}
	text := strings.Join([]string{one("wash", "Go."), one("dry", "Go."), one("fold", "go."), one("iron", "Go.")}, "---\n")
	lib, problems := Load(fstest.MapFS{"procedures/all.yaml": {Data: []byte(text)}}, nil, options)
	if got := strings.Join(lib.Names(), " "); got != "dry iron wash" || len(problems) != 1 {
		t.Errorf("%s with\n%s", got, found(problems))
	}
	if p, faulty := lib.Procedure("fold"); p != nil || !faulty {
		t.Error("a procedure with a fault is handed out")
	}
}

// Values and files of built-in templates are known as such, and those of templates of the
// site that stand in for them are not.
func TestBuiltIn(t *testing.T) {
	p := load(t, nil, templates(t))
	for g := Single; int(g) <= len(Groups); g++ {
		for _, v := range p.Of(g) {
			if !v.BuiltIn {
				t.Errorf("%s is not built in", v.Full("M"))
			}
		}
	}
	for _, f := range p.Files {
		if !f.BuiltIn || !strings.HasPrefix(f.Path, source.BuiltIn) {
			t.Errorf("%s is not built in", f.Path)
		}
	}
	p = load(t, templates(t), templates(t))
	for _, f := range p.Files {
		if f.BuiltIn || strings.HasPrefix(f.Path, source.BuiltIn) {
			t.Errorf("%s is built in", f.Path)
		}
	}
	if v, _ := p.Find(Name{Rest: "gap"}); v.BuiltIn || v.Full("") != "gap" {
		t.Errorf("%s is built in", v.Full(""))
	}
	if v, _ := p.Find(Name{PerJoint, "head", "load"}); v.Full("head") != "joints.head.load" {
		t.Error(v.Full("head"))
	}
	if n := (Name{PerFeature, "pin", ""}); n.String() != "features.pin" {
		t.Error(n.String())
	}
}

// Of more faults than a list can hold, the first are listed, and that there are more.
func TestManyFaults(t *testing.T) {
	head := "procedure: p\ntitle: T\nrevision: \"1\"\nlanguage: en\nstages:\n  - stage: S\n    steps:\n      - do: Go.\n        alerts:\n"
	for n, want := range map[int]int{100: 100, 103: 101} {
		text := head + strings.Repeat("          - {when: hot}\n", n) + "          - {caution: Sharp}\n"
		_, problems := Load(fstest.MapFS{"procedures/p.yaml": {Data: []byte(text)}}, nil, options)
		if len(problems) != want || strings.Contains(found(problems), "the rest is not listed") != (n > 100) {
			t.Errorf("%d faults make %d problems", n, len(problems))
		}
	}
}
