package procedure

import (
	"io/fs"

	"jobsheaf/internal/diag"
)

// Known is the names that templates may refer to and that others define. A nil
// list is not checked.
type Known struct {
	Instruments []string
	Figures     []string
	Signs       []string // of what to wear
}

// Library is the procedures of a site: the built-in ones, and the site's own,
// which stand in for those of the same name.
type Library struct {
	procedures map[string]*Procedure
	faulty     map[string]bool
}

// Load reads procedures/*.yaml of the built-in templates and of the site. Every
// problem is in the list; a procedure with an error, in itself or in a fragment
// that it uses, is not handed out.
func Load(builtin, site fs.FS, known Known) (*Library, diag.List) {
	return &Library{}, nil
}

// Procedure gives a procedure by name. Where it is nil, faulty says that there is
// one but that it has errors.
func (l *Library) Procedure(name string) (p *Procedure, faulty bool) {
	return l.procedures[name], l.faulty[name]
}

// Names lists the procedures that Procedure can give, in order.
func (l *Library) Names() []string { return nil }

// Words reads the catalogue of fixed words of a language, words/LANG.yaml: a
// flat map from key to text.
func Words(templates fs.FS, language string) (map[string]string, diag.List) {
	return nil, nil
}
