package cli

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/figure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// vocabulary is what records and templates of a site may name.
type vocabulary struct {
	Machine     string           `json:"machine,omitempty"`
	Terms       []vocabularyTerm `json:"terms"`
	Instruments []string         `json:"instruments"`
	Signs       []string         `json:"signs"`
	Kinds       []vocabularyKind `json:"kinds"`
}

type vocabularyTerm struct {
	Name  string `json:"name"`
	What  string `json:"what"`
	Kind  string `json:"kind"`
	Range string `json:"range,omitempty"`
}

type vocabularyKind struct {
	Kind  string   `json:"kind"`
	Units []string `json:"units"`
}

// listTerms lists what may be on record of the machines of a kind, or of any, and what
// templates name beside it.
func listTerms(w io.Writer, dir string, args []string, asJSON bool) error {
	st, err := openSite(dir)
	if err != nil {
		return err
	}
	var kind *record.Machine
	known := slices.Sorted(maps.Keys(st.book.Machines))
	switch {
	case len(args) > 1:
		return fmt.Errorf("name one kind of machine, such as %s", diag.Some(known, 8))
	case len(args) == 1 && st.book.Machines[args[0]] == nil:
		return fmt.Errorf("there is no kind of machine %q%s", args[0], orKnown(args[0], known, "kinds"))
	case len(args) == 1:
		kind = st.book.Machines[args[0]]
	}
	v := vocabularyOf(st.book, kind)
	if asJSON {
		return writeJSON(w, v)
	}
	for _, t := range v.Terms {
		fmt.Fprintf(w, "%s\n    %s\n    %s\n", t.Name, t.What, strings.TrimSuffix(t.Kind+": "+t.Range, ": "))
	}
	fmt.Fprintf(w, "\ninstruments\n    %s\n\nsigns\n    %s\n\nkinds of quantity\n", strings.Join(v.Instruments, "; "), strings.Join(v.Signs, "; "))
	for _, k := range v.Kinds {
		fmt.Fprintf(w, "    %s: %s\n", k.Kind, strings.Join(k.Units, ", "))
	}
	return nil
}

func vocabularyOf(book *record.Book, kind *record.Machine) vocabulary {
	v := vocabulary{Instruments: slices.Sorted(maps.Keys(book.Instruments)), Signs: figure.Signs()}
	if kind != nil {
		v.Machine = kind.ID
	}
	for _, name := range slices.Sorted(maps.Keys(book.Terms)) {
		t := book.Terms[name]
		if t.Of != "" || !t.OfMachine(kind) {
			continue
		}
		if kind != nil && kind.Terms[name] != nil {
			t = kind.Terms[name]
		}
		is := t.Form.String()
		if t.Form == record.FormAmount || t.Form == record.FormBand {
			is += " (" + t.Kind.String() + ")"
		}
		v.Terms = append(v.Terms, vocabularyTerm{Name: t.Name, What: t.What, Kind: is, Range: t.Range()})
	}
	for _, name := range quantity.KindNames() {
		k, _ := quantity.KindNamed(name)
		v.Kinds = append(v.Kinds, vocabularyKind{name, quantity.Symbols(k)})
	}
	return v
}
