package compute

import (
	"slices"
	"strings"

	"jobsheaf/internal/record"
)

// confirmed says why a number that looks unlikely is right, where a record of the unit
// says so; empty for any other. Names are those of formulas; an end of a band is
// confirmed with it.
func (n *Numbers) confirmed(name string) string {
	if t := n.Book.Terms[name]; t != nil && t.Of != "" {
		name = t.Of
	}
	lists := [4][]record.Confirmed{n.Unit.Confirmed, nil, nil, n.Book.Site.Confirmed}
	if n.Size != nil {
		lists[1] = n.Size.Confirmed
	}
	if n.Unit.Liquid != nil {
		lists[2] = n.Unit.Liquid.Confirmed
	}
	for _, list := range lists {
		if i := slices.IndexFunc(list, func(c record.Confirmed) bool {
			return c.Key.S == name || c.Key.S+".low" == name || c.Key.S+".high" == name
		}); i >= 0 {
			return n.WordWith("confirmed", "why", list[i].Why.S)
		}
	}
	return ""
}

// WithReason puts behind what a record has why it is right, where that is on record.
func (n *Numbers) WithReason(name, written string) string {
	if why := n.confirmed(name); why != "" {
		return strings.TrimSpace(written + ", " + why)
	}
	return written
}
