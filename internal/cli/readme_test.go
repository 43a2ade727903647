package cli

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"jobsheaf/templates"
)

// TestReadme checks the README against what the program does: its worked example is what
// the command prints, but for the keys and lines that move with every change of a
// template, and its table has every command.
func TestReadme(t *testing.T) {
	root := filepath.Join("..", "..")
	raw, err := os.ReadFile(filepath.Join(root, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, block, found := strings.Cut(string(raw), "\n    $ jobsheaf ")
	line, rest, _ := strings.Cut(block, "\n")
	if !found {
		t.Fatal("the README has no worked example")
	}
	var says []string
	for l := range strings.Lines(rest) {
		if !strings.HasPrefix(l, "    ") {
			break
		}
		says = append(says, strings.TrimPrefix(l, "    "))
	}
	args := strings.Fields(line)
	for i := range args {
		args[i] = strings.Replace(args[i], "samples/", root+"/samples/", 1)
	}
	prints, _ := said(t, 0, args...)
	moves := regexp.MustCompile(`W\d+|(\.yaml):\d+:\d+`)
	if a, b := moves.ReplaceAllString(strings.Join(says, ""), "$1"), moves.ReplaceAllString(prints, "$1"); a != b {
		t.Errorf("the README says\n%s\nand jobsheaf %s prints\n%s", strings.Join(says, ""), line, prints)
	}
	var printed string
	for l := range strings.Lines(prints) {
		if p, ok := strings.CutPrefix(strings.TrimSpace(l), "printed"); ok {
			printed = strings.ReplaceAll(strings.TrimSpace(p), "\u00a0", " ")
		}
	}
	if printed == "" || !strings.Contains(string(raw), "**"+printed+"**") {
		t.Errorf("the README's step does not say %q", printed)
	}

	var table, commands []string
	for _, m := range regexp.MustCompile("(?m)^\\| `jobsheaf (\\w+)").FindAllStringSubmatch(string(raw), -1) {
		table = append(table, m[1])
	}
	help, _ := said(t, 0, "--help")
	_, list, _ := strings.Cut(help, "Available Commands:\n")
	list, _, _ = strings.Cut(list, "\n\n")
	for l := range strings.Lines(list) {
		if name := strings.Fields(l)[0]; name != "help" {
			commands = append(commands, name)
		}
	}
	slices.Sort(table)
	if !slices.Equal(table, commands) {
		t.Errorf("the README has the commands %v, the program %v", table, commands)
	}
}

// The table of fragments names the values that each of them gives.
func TestFragmentsTable(t *testing.T) {
	readme, err := os.ReadFile(filepath.Join("..", "..", "templates", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	files, err := fs.Glob(templates.FS, "procedures/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	lead := map[string]string{"values": "", "each_joint": "joint.", "each_feature": "feature.", "each_assembly": "assembly."}
	section, name := regexp.MustCompile(`^(\w+):\s*$`), regexp.MustCompile(`^  (\w+):`)
	rows := 0
	for _, file := range files {
		text, err := fs.ReadFile(templates.FS, file)
		if err != nil {
			t.Fatal(err)
		}
		m := regexp.MustCompile(`(?m)^fragment: (.+)$`).FindSubmatch(text)
		if m == nil {
			continue
		}
		row := regexp.MustCompile("(?m)^\\| `" + string(m[1]) + "` .*$").Find(readme)
		if row == nil {
			t.Errorf("the table lacks the fragment %s", m[1])
		}
		rows++
		in := ""
		for line := range strings.Lines(string(text)) {
			if s := section.FindStringSubmatch(line); s != nil {
				in = s[1]
			} else if l, ok := lead[in]; ok {
				if n := name.FindStringSubmatch(line); n != nil && !strings.Contains(string(row), "`"+l+n[1]+"`") {
					t.Errorf("the row of %s lacks %s%s", m[1], l, n[1])
				}
			}
		}
	}
	if rows < 15 {
		t.Errorf("%d fragments", rows)
	}
}
