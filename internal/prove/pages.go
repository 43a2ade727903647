package prove

import (
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/pdfread"
	"jobsheaf/internal/printjob"
)

// sheets gives the sheet of each page of a file that was just made.
func sheets(g *pdfread.File) []string {
	var out []string
	for _, a := range g.Attachments {
		if a.Name != printjob.ManifestName {
			continue
		}
		m, err := manifest.Decode(a.Data)
		if err != nil {
			return nil // the pages are then named by number alone
		}
		for _, p := range m.Pages {
			out = append(out, p.Sheet)
		}
	}
	return out
}

// pages compares the pages. Every page is unlike every other, since its number is
// on it, so that one which is elsewhere is found there.
func (r *Report) pages(got, want []pdfread.Sum, sheets []string) {
	place := map[pdfread.Sum]int{} // of the pages as they were
	for i, s := range want {
		place[s] = i
	}
	name := func(i int) string {
		if i < len(sheets) {
			return fmt.Sprintf("page %d (%s)", i+1, sheets[i])
		}
		return fmt.Sprintf("page %d", i+1)
	}
	there := make([]int, len(want)) // how often each page is there
	var order []int                 // the pages that were ours, in the order they have now
	for _, s := range got {
		if i, ours := place[s]; ours {
			if there[i]++; there[i] == 1 {
				order = append(order, i)
			}
		}
	}
	unknown := func(i int) bool { _, ours := place[got[i]]; return !ours }
	var altered, gone []int
	for i := range want {
		switch {
		case there[i] > 1:
			r.add(kindAltered, "%s is there %d times", name(i), there[i]).Pages = []int{i + 1}
		case there[i] == 1:
		case i < len(got) && unknown(i) && got[i].Fault != "":
			r.add(kindAltered, "%s was altered: %s", name(i), got[i].Fault).Pages = []int{i + 1}
		case i < len(got) && unknown(i):
			altered = append(altered, i)
		default:
			gone = append(gone, i)
		}
	}
	r.runs(altered, name, "altered")
	r.runs(gone, name, "taken out")
	for i := range got {
		if unknown(i) && (i >= len(want) || there[i] > 0) {
			r.add(kindAltered, "the page that is now page %d was added", i+1).Pages = []int{i + 1}
		}
	}
	r.order(order)
}

// runs tells what became of pages, of those that follow one another in one go.
func (r *Report) runs(pages []int, name func(int) string, what string) {
	for len(pages) > 0 {
		n := 1
		for n < len(pages) && pages[n] == pages[0]+n {
			n++
		}
		var f *Finding
		if n == 1 {
			f = r.add(kindAltered, "%s was %s", name(pages[0]), what)
		} else {
			f = r.add(kindAltered, "%s to %s were %s", name(pages[0]), name(pages[n-1]), what)
		}
		for _, i := range pages[:n] {
			f.Pages = append(f.Pages, i+1)
		}
		pages = pages[n:]
	}
}

// order tells which pages changed places.
func (r *Report) order(order []int) {
	sorted := slices.Sorted(slices.Values(order))
	var moved []int
	for i := range order {
		if order[i] != sorted[i] {
			moved = append(moved, i)
		}
	}
	switch len(moved) {
	case 0:
	case 2:
		a, b := sorted[moved[0]]+1, sorted[moved[1]]+1
		r.add(kindOrder, "pages %d and %d are swapped", a, b).Pages = []int{a, b}
	default:
		var now []string
		f := r.add(kindOrder, "")
		for _, i := range moved {
			now = append(now, fmt.Sprint(order[i]+1))
			f.Pages = append(f.Pages, sorted[i]+1)
		}
		f.Message = fmt.Sprintf("pages are in another order: in the places of %s to %s are pages %s", fmt.Sprint(f.Pages[0]), fmt.Sprint(f.Pages[len(f.Pages)-1]), strings.Join(now, ", "))
	}
}
