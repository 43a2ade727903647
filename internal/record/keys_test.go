package record_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
)

// errorsAt gives the rules of the errors on a line of a file.
func errorsAt(problems diag.List, file string, line int) (rules []string) {
	if in, ok := strings.CutPrefix(file, "builtin/"); ok {
		file = "built-in/" + in
	}
	for _, p := range problems {
		if p.Pos.File == file && p.Pos.Line == line && p.Severity == diag.Error && !slices.Contains(rules, p.Rule) {
			rules = append(rules, p.Rule)
		}
	}
	return rules
}

// A key that nobody knows is told in whichever mapping of whichever record it stands:
// what is misspelt is never passed over.
func TestUnknownKeysEverywhere(t *testing.T) {
	tried := 0
	for file, text := range base(t) {
		if !strings.HasSuffix(file, ".yaml") {
			continue
		}
		try := func(changed string, line int) {
			files := base(t)
			files[file] = changed
			_, problems := read(files)
			tried++
			if len(errorsAt(problems, file, line)) == 0 {
				t.Errorf("%s:%d: an unknown key is passed over\n%s", file, line, strings.Split(changed, "\n")[line-1])
			}
		}
		for i := range text {
			if text[i] == '{' {
				try(text[:i+1]+"odd_key: x, "+text[i+1:], 1+strings.Count(text[:i], "\n"))
			}
		}
		lines := strings.SplitAfter(strings.TrimRight(text, "\n")+"\n", "\n")
		for n := 1; n <= len(lines)-1; n++ {
			next := lines[n-1]
			indent := next[:len(next)-len(strings.TrimLeft(next, " "))]
			if n > 1 && strings.HasSuffix(lines[n-2], ":\n") && !strings.HasPrefix(strings.TrimSpace(next), "-") || n == len(lines)-1 {
				at := n
				if n == len(lines)-1 {
					indent, at = "", n+1
				}
				try(strings.Join(lines[:at-1], "")+indent+"odd_key: x\n"+strings.Join(lines[at-1:], ""), at)
			}
		}
	}
	if tried < 80 {
		t.Errorf("only %d mappings were tried", tried)
	}
}

// What a record cannot do without is told by its key, at the mapping that lacks it.
func TestKeysThatAreNeeded(t *testing.T) {
	for _, c := range []struct {
		file string
		keys string // of mappings whose first key stands before the point; of the record where none does
	}{
		{"site.yaml", "name paper units language energy_control emergency people hours"},
		{"units/a.yaml", "name design size point energy device put job day"},
		{"designs/a.yaml", "name source what sizes part kit number items item"},
		{"liquids/lye.yaml", "name source issuer day sign say"},
		{"lists/week.yaml", "jobs job unit procedure day"},
		{"builtin/terms.yaml", "what from to"},
		{"builtin/ghs.yaml", "text class signal pictograms shown hides of"},
		{"builtin/instruments.yaml", "resolution uncertainty source"},
	} {
		text := base(t)[c.file]
		for _, key := range strings.Fields(c.keys) {
			// The first of that key, with its value: on a line of its own, or in braces.
			line := regexp.MustCompile(`(?m)^` + key + `: .*\n`)
			block := regexp.MustCompile(`(?m)^` + key + `:\n(?:  .*\n)+`)
			inner := regexp.MustCompile(`\b` + key + `: (?:\[[^\]]*\]|"[^"]*"|[^,}\[]*)(?:, )?`)
			changed := text
			for _, r := range []*regexp.Regexp{line, block, inner} {
				if at := r.FindStringIndex(text); at != nil {
					changed = text[:at[0]] + text[at[1]:]
					break
				}
			}
			if changed == text {
				t.Fatalf("%s has no %s", c.file, key)
			}
			files := base(t)
			files[c.file] = changed
			_, problems := read(files)
			if !slices.ContainsFunc(problems, func(p diag.Problem) bool {
				return p.Rule == "missing-key" && p.Message == "the key "+key+" is missing" && strings.HasPrefix(p.Hint, "such as "+key+":") && strings.HasSuffix(p.Pos.File, strings.TrimPrefix(c.file, "builtin/"))
			}) {
				t.Errorf("%s without %s: %v", c.file, key, problems)
			}
		}
	}
}
