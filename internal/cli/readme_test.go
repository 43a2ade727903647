package cli

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
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
