package record

import (
	"strings"
	"testing"

	"jobsheaf/internal/diag"
)

// A job may not be named as the file of another one's annex is, in whatever letters.
func TestNoJobIsNamedAsAnAnnex(t *testing.T) {
	for id, fault := range map[string]bool{"K-1-annex": true, "K-1-ANNEX": true, "K-1-Annex": true, "K-1-annexe": false, "annex": false, "K-annex-1": false} {
		at := diag.Pos{File: "list.csv", Line: 2, Col: 5}
		li := NewList(at)
		j := li.AddRow(at, []string{"job", "unit", "procedure", "day"}, []Text{{S: id, At: at}, {S: "P-1", At: at}, {S: "x", At: at}, {S: "2026-11-30", At: at}})
		said := ""
		for _, p := range j.Problems {
			said += p.String()
		}
		if strings.Contains(said, "as the file of another job's annex does") != fault || (JobFault(id) != "") != fault {
			t.Errorf("%s: %q, %q", id, said, JobFault(id))
		}
	}
}
