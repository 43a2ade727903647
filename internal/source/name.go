package source

import (
	"fmt"
	"regexp"
	"strings"
)

// MaxName is the most characters that a name may have: it goes into a page's
// code and into a file's name.
const MaxName = 24

// NameHint says what a name is made of.
const NameHint = "a name is letters a to z, digits, . _ and -, at most 24, starting with a letter or digit, such as P-214"

var (
	nameShape     = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._-]*$`)
	wordShape     = regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`)
	languageShape = regexp.MustCompile(`^[a-z]{2,3}(-[A-Za-z0-9]{2,8})?$`)
	device        = regexp.MustCompile(`^(?i:con|prn|aux|nul|com[0-9]|lpt[0-9])(\.|$)`)
)

// NameFault says why a text is not a name, or gives "". Job IDs, tags, the names
// of designs, sizes, liquids, lists, procedures and files all keep to this rule,
// because each may become part of a file's name: no folders, nothing that a file
// system folds or reserves.
func NameFault(s string) string {
	switch {
	case s == "":
		return "it is empty"
	case len([]rune(s)) > MaxName:
		return "it is too long"
	case strings.ContainsAny(s, `/\`):
		return "it would lead to another folder"
	case !nameShape.MatchString(s):
		for i, r := range s {
			letter := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9'
			if !letter && (i == 0 || r != '.' && r != '_' && r != '-') {
				if i == 0 {
					return fmt.Sprintf("it starts with %q, and a name starts with a letter or digit", r)
				}
				return fmt.Sprintf("it has the character %q", r)
			}
		}
		return "it is not formed as a name is"
	case strings.Contains(s, ".."), strings.HasSuffix(s, "."):
		return "it ends with a point or has two in a row"
	case device.MatchString(s):
		return "it is the name of a device on Windows"
	}
	return ""
}

// English is the language in which what is built in is written; every other one is
// held to it.
const English = "en"

// LanguageHint says how a language is written.
const LanguageHint = "write it as en, de or pt-BR"

// IsLanguage reports whether a text names a language as BCP 47 does: its code, and
// a region or script where one is needed.
func IsLanguage(s string) bool { return languageShape.MatchString(s) }

// IsWord reports whether a text may be used as a name in formulas: lower-case
// letters, digits and single underscores, starting with a letter.
func IsWord(s string) bool { return len(s) <= 40 && wordShape.MatchString(s) }
