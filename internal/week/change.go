package week

import (
	"cmp"
	"fmt"
	"strings"

	"jobsheaf/internal/origin"
	"jobsheaf/internal/packet"
)

// earlier is what an earlier run printed, by job.
type earlier struct {
	ledger *Ledger
	jobs   map[string]*Done
	parts  map[string]string // digests by name
}

func newEarlier(l *Ledger) *earlier {
	e := &earlier{ledger: l, jobs: map[string]*Done{}, parts: map[string]string{}}
	for i := range l.Jobs {
		e.jobs[l.Jobs[i].Job.Job] = &l.Jobs[i]
	}
	for _, p := range l.Parts {
		e.parts[p.Name] = p.Digest
	}
	return e
}

// why says what of a job's inputs differs from the earlier run; nil where its
// packet is the same.
func (e *earlier) why(j *Done, parts []packet.Part) []string {
	old := e.jobs[j.Job.Job]
	if old == nil {
		return []string{"new in the list, or refused before"}
	}
	if old.Fingerprint == j.Fingerprint {
		return nil
	}
	var why []string
	had := map[string]bool{}
	for _, i := range old.From {
		had[e.ledger.Parts[i].Name] = true
	}
	if old.Entry != j.Entry {
		var fields []string
		for _, f := range [][3]string{{"unit", old.Unit, j.Unit}, {"procedure", old.Procedure, j.Procedure}, {"day", old.Day, j.Day}, {"crew", old.Crew, j.Crew},
			{"people", shortest(old.People), shortest(j.People)}, {"hours", shortest(old.Hours), shortest(j.Hours)}} {
			if f[1] != f[2] {
				fields = append(fields, fmt.Sprintf("%s was %s, is %s", f[0], cmp.Or(f[1], "not given"), cmp.Or(f[2], "not given")))
			}
		}
		why = append(why, strings.TrimSuffix("its entry in the list: "+strings.Join(fields, ", "), ": "))
	}
	for _, p := range parts {
		switch digest, known := e.parts[p.Name]; {
		case p.Name == origin.EntryPart:
		case !had[p.Name]:
			why = append(why, "now made from "+p.Name)
		case !known || digest != p.Digest:
			why = append(why, p.Name)
		}
		delete(had, p.Name)
	}
	for _, i := range old.From {
		if name := e.ledger.Parts[i].Name; had[name] {
			why = append(why, "no longer made from "+name)
		}
	}
	return why
}
