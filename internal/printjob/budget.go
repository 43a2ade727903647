package printjob

import (
	"fmt"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/page"
	"jobsheaf/internal/record"
)

// overBudget warns of a packet with more pages than its procedure's `pages`, and says
// on which sheets they are.
func (m *Maker) overBudget(job *record.Job, doc page.Doc) diag.List {
	budget, at := m.Composer.Budget(job.Procedure.S)
	if budget == 0 || len(doc.Pages) <= budget {
		return nil
	}
	var list diag.List
	list.Warnf(at, "budget", "say less in its steps, or allow more pages", "job %s, unit %s: its packet has %d pages and the procedure %s allows %d: %s", job.ID.S, job.Unit.S, len(doc.Pages), job.Procedure.S, budget, sheetsOf(doc))
	list[0].Related = []diag.Pos{job.At}
	return list
}

// sheetsOf counts the pages of each sheet, in order: cover 2, job 3.
func sheetsOf(doc page.Doc) string {
	var out []string
	for i := 0; i < len(doc.Pages); {
		first := i
		for i < len(doc.Pages) && doc.Pages[i].Sheet == doc.Pages[first].Sheet {
			i++
		}
		out = append(out, fmt.Sprintf("%s %d", doc.Pages[first].Sheet, i-first))
	}
	return strings.Join(out, ", ")
}
