package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
)

// mostRecords is how many records are said to lack something, and mostNames how
// many values are named of each: what is longer than a screen is not read.
const mostRecords, mostNames = 24, 4

// tellGathered prints problems for a person: one line for each record that lacks
// values, or with all a line for each value. What to do about it is said once, to
// notes.
func tellGathered(w, notes io.Writer, from *excerpts, problems diag.List, all bool, site string) error {
	if !all {
		problems = foldOpen(problems)
	}
	gathered, gaps, size := gather(problems, all)
	if err := tell(w, from, gathered, false); err != nil || gaps == 0 {
		return err
	}
	ways := []string{"put them on record, or the sheets print NOT ON RECORD and leave room to fill them in by hand"}
	if design, name, ok := strings.Cut(strings.TrimPrefix(size, "design "), ", size "); ok {
		ways = append(ways, fmt.Sprintf("`jobsheaf start --size %s %s --site %s` prints a form to fill in", design, name, site))
	}
	if !all {
		ways = append(ways, "--all names each")
	}
	_, err := fmt.Fprintf(notes, "%s not on record: %s\n", plural(gaps, "value"), strings.Join(ways, "; "))
	return err
}

// lacking is what one record lacks.
type lacking struct {
	at    int // in the list
	names []string
	by    map[string][]string // who needs each of them
}

// gather makes one problem of all that say of one record that it lacks something,
// or with all, of all that say that it lacks one value: each unit of a size and
// each procedure asks for the same. gaps is how many values are lacking, and size
// the size that lacks most.
func gather(list diag.List, all bool) (out diag.List, gaps int, size string) {
	of := map[string]*lacking{}
	var order []*lacking
	for _, p := range list {
		if p.Lack == nil {
			out = append(out, p)
			continue
		}
		key := p.Lack.In
		if all {
			key += "\n" + p.Lack.Name
		}
		l := of[key]
		if l == nil {
			l = &lacking{at: len(out), by: map[string][]string{}}
			of[key] = l
			order = append(order, l)
			out = append(out, p)
		}
		if l.by[p.Lack.Name] == nil {
			l.names = append(l.names, p.Lack.Name)
			gaps++
		}
		l.by[p.Lack.Name] = append(l.by[p.Lack.Name], p.Lack.By)
	}
	most, left, leftValues := 0, 0, 0
	for i, l := range order {
		p := &out[l.at]
		p.Hint = ""
		if strings.Contains(p.Lack.In, ", size ") && len(l.names) > most {
			most, size = len(l.names), p.Lack.In
		}
		switch {
		case all:
			p.Message, _, _ = strings.Cut(p.Message, "; ")
			p.Message += "; " + neededBy(l.by)
		case i >= mostRecords:
			left++
			leftValues += len(l.names)
			p.Rule = "" // to be left out
		case len(l.names) > 1:
			slices.Sort(l.names)
			p.Message = fmt.Sprintf("%s lacks %s: %s; %s", p.Lack.In, plural(len(l.names), "value"), diag.Some(l.names, mostNames), neededBy(l.by))
		default:
			p.Message, _, _ = strings.Cut(p.Message, "; ")
			p.Message += "; " + neededBy(l.by)
		}
	}
	out = slices.DeleteFunc(out, func(p diag.Problem) bool { return p.Rule == "" })
	if left > 0 {
		out.Warnf(diag.Pos{}, "not-on-record", "", "%s more lack %s", plural(left, "record"), plural(leftValues, "value"))
	}
	return out, gaps, size
}

// neededBy names one job that needs values, and counts the others.
func neededBy(by map[string][]string) string {
	var who []string
	for _, w := range by {
		who = append(who, w...)
	}
	slices.Sort(who)
	who = slices.Compact(who)
	says := who[0] + " needs "
	if len(by) > 1 {
		says += "them"
	} else {
		says += "it"
	}
	if n := len(who) - 1; n > 0 {
		says += fmt.Sprintf(" (and %s)", plural(n, "more job"))
	}
	return says
}

// foldOpen leaves one of all problems of a rule on which what is not on record decides, and
// counts the others: what is missing is said of its record, and a step has one for each
// unit that it may come to.
func foldOpen(list diag.List) diag.List {
	first, more := map[string]int{}, map[string]int{} // where in out, and how many it stands for
	var out diag.List
	for _, p := range list {
		if p.Open {
			if _, there := first[p.Rule]; there {
				more[p.Rule]++
				continue
			}
			first[p.Rule] = len(out)
		}
		out = append(out, p)
	}
	for rule, n := range more {
		p := &out[first[rule]]
		p.Message += fmt.Sprintf(" (and %d more); --all names each", n)
		p.Hint, p.Related = "", nil
	}
	return out
}
