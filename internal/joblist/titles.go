package joblist

import (
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

// titles are the procedures by what a list may call them: a printed title, or the
// name in other letters. Each is folded.
type titles map[string][]string

func titlesOf(printed map[string]string) titles {
	t := titles{}
	for name, title := range printed {
		for _, f := range []string{fold(name), fold(title)} {
			if f != "" && !slices.Contains(t[f], name) {
				t[f] = append(t[f], name)
			}
		}
		t["="+name] = []string{name}
	}
	return t
}

// name gives the name of a procedure. A text that might be a name is left to be
// looked up among the procedures on record.
func (t titles) name(text string) (name, rule, fault, hint string) {
	if t["="+text] != nil {
		return text, "", "", ""
	}
	of := t[fold(text)]
	switch {
	case len(of) == 1:
		return of[0], "", "", ""
	case len(of) > 1:
		slices.Sort(of)
		return "", ruleProcedure, fmt.Sprintf("%q is the title of several procedures", clip(text)), "write the name of the one that is meant: " + strings.Join(of, ", ")
	case source.NameFault(text) == "":
		return text, "", "", ""
	}
	var all, names []string
	for f := range t {
		if n, ok := strings.CutPrefix(f, "="); ok {
			names = append(names, n)
			continue
		}
		all = append(all, f)
	}
	slices.Sort(all)
	slices.Sort(names)
	hint = "there are " + diag.Some(names, 8)
	if near := diag.Nearest(fold(text), all); near != "" {
		hint = "did you mean " + strings.Join(t[near], " or ") + "?"
	}
	return "", ruleProcedure, fmt.Sprintf("%q is neither the name nor the title of a procedure", clip(text)), hint
}
