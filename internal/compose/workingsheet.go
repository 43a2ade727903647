package compose

import (
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/packet"
)

// workingSheet lists every printed number with where it comes from, and what was
// left out. A source stands there once, under a number of its own; a file is
// named without its folder where no other has its name.
func (r *run) workingSheet() packet.Sheet {
	s := packet.Sheet{ID: "working", Title: r.Word("working.title")}
	s.Blocks = append(s.Blocks, packet.Block{Para: &packet.Para{Text: packet.Say(r.Word("working.intro")), Small: true}})
	refs := references{files: shortNames(r.Working()), as: r.Word("formula_as"), first: map[packet.Place]packet.Entry{}}
	var all []packet.Entry // in the order of their keys, so that a key is found at once
	for _, e := range r.Working() {
		if e.Recorded {
			e.Formula, e.Inputs = r.Word("as_recorded"), nil
		}
		all = append(all, refs.short(e))
	}
	if len(all) > 0 {
		s.Blocks = append(s.Blocks, packet.Block{Entries: all})
	}
	s.Blocks = append(s.Blocks, r.annexBlocks()...)
	sources := r.deskTable("sources", column{"key", 1, 0}, column{"what", 20, 0})
	sources.Double = true
	for i, t := range refs.sources {
		sources.Rows = append(sources.Rows, textRow(packet.Phrase{{Text: sourceKey(i), Style: packet.Strong}}, packet.Say(t)))
	}
	files := r.deskTable("files", column{"name", 2, 0}, column{"file", 5, 0})
	files.Double = true
	for _, full := range slices.Sorted(maps.Keys(refs.files)) {
		files.Rows = append(files.Rows, textRow(packet.Say(refs.files[full]), packet.Say(full)))
	}
	left := r.deskTable("left_out", column{"what", 5, 0}, column{"because", 4, 0})
	for _, o := range r.leftOut {
		left.Rows = append(left.Rows, textRow(o.what, packet.Say(o.when)))
	}
	for _, t := range []*packet.Table{sources, files, left} {
		if len(t.Rows) > 0 {
			s.Blocks = append(s.Blocks, packet.Block{Table: t})
		}
	}
	return s
}

// deskTable begins a table that is looked up at a desk.
func (r *run) deskTable(name string, columns ...column) *packet.Table {
	t := r.table(name, columns...)
	t.Small = true
	return t
}

func textRow(cells ...packet.Phrase) packet.Row {
	var row packet.Row
	for _, c := range cells {
		row.Cells = append(row.Cells, packet.Cell{Text: c})
	}
	return row
}

// references gathers what the entries of the working sheet refer to.
type references struct {
	files   map[string]string // short names
	sources []string
	as      string                        // the words for a formula that stands at another key
	first   map[packet.Place]packet.Entry // the first entry of each formula
}

func sourceKey(i int) string { return "S" + strconv.Itoa(i+1) }

// short gives an entry with its sources by number and its places by short names.
// A formula that several members share stands at the first of them.
func (k *references) short(e packet.Entry) packet.Entry {
	if first, ok := k.first[e.At]; !ok {
		k.first[e.At] = e
	} else if !e.Recorded && e.Formula != "" && first.Formula == e.Formula && slices.Equal(first.Sources, e.Sources) {
		e.Formula, e.At, e.Sources = strings.ReplaceAll(k.as, "{key}", first.Key), packet.Place{}, nil
	}
	var keys []string
	for _, s := range e.Sources {
		i := slices.Index(k.sources, s)
		if i < 0 {
			i = len(k.sources)
			k.sources = append(k.sources, s)
		}
		keys = append(keys, sourceKey(i))
	}
	e.Sources = nil
	if len(keys) > 0 {
		e.Sources = []string{strings.Join(keys, ", ")}
	}
	e.At.File = k.files[e.At.File]
	e.Inputs = slices.Clone(e.Inputs)
	for i := range e.Inputs {
		at := &e.Inputs[i].At
		at.File = k.files[at.File]
	}
	return e
}

// shortNames gives the files of all entries a name each: without folder and
// extension where that tells them apart.
func shortNames(entries []packet.Entry) map[string]string {
	files, count := map[string]string{}, map[string]int{}
	see := func(file string) {
		if _, known := files[file]; file == "" || known {
			return
		}
		short := strings.TrimSuffix(path.Base(file), path.Ext(file))
		files[file] = short
		count[short]++
	}
	for _, e := range entries {
		see(e.At.File)
		for _, in := range e.Inputs {
			see(in.At.File)
		}
	}
	for file, short := range files {
		if count[short] > 1 {
			files[file] = file
		}
	}
	return files
}
