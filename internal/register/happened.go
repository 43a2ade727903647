package register

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
)

// Happened is an event of a job, as people read it. Of what it is about one field is set;
// of a paper that was chosen Paper is the event of it.
type Happened struct {
	Event    int64     `json:"event"`
	At       string    `json:"at"`
	Who      string    `json:"who"`
	What     string    `json:"what"` // printed, seen, chosen, settled, typed, excepted, closed, voided or reopened
	Printed  *Printed  `json:"printed,omitempty"`
	Seen     *Paper    `json:"seen,omitempty"`
	Settled  *Settled  `json:"settled,omitempty"`
	Typed    *Reading  `json:"typed,omitempty"`
	Decision *Decision `json:"decision,omitempty"`
	Paper    int64     `json:"paper,omitempty"`
}

// Happened gives all that happened to a job, in order: readings with what was typed before
// them, marks with what was settled before. Of papers and decisions it says what was
// entered and not what stands now (Papers, Decisions).
func (r *Register) Happened(ctx context.Context, job string) (out []Happened, err error) {
	prints := 0
	err = r.each(ctx, func(rows *sql.Rows) error {
		var e event
		var data string
		if err := rows.Scan(&e.N, &e.At, &e.Who, &e.Kind, &e.Job, &data); err != nil {
			return err
		}
		e.Data = json.RawMessage(data)
		if e.Kind == wasPrinted {
			prints++
		}
		h, err := e.happened(prints)
		if err != nil {
			return fmt.Errorf("event %d: %w", e.N, err)
		}
		out = append(out, h)
		return nil
	}, "SELECT n, at, who, kind, job, data FROM event WHERE job = ? COLLATE NOCASE ORDER BY n", job)
	return out, err
}

// happened reads what an event says; of a print it is the nth of its job.
func (e event) happened(nth int) (h Happened, err error) {
	h = Happened{Event: e.N, At: e.At, Who: e.Who, What: string(e.Kind)}
	switch e.Kind {
	case wasPrinted:
		var p printed
		err = json.Unmarshal(e.Data, &p)
		h.Printed = &Printed{Event: e.N, Job: e.Job, N: nth, Fingerprint: p.Fingerprint, Pages: p.Pages, At: e.At, Who: e.Who}
	case wasSeen:
		var s seen
		err = json.Unmarshal(e.Data, &s)
		h.Seen = &Paper{Event: e.N, Job: e.Job, SeenAt: e.At, Who: e.Who}
		h.Seen.is(s)
	case wasChosen:
		var c chosen
		err = json.Unmarshal(e.Data, &c)
		h.Paper = c.Paper
	case wasSettled:
		var s settled
		err = json.Unmarshal(e.Data, &s)
		h.Settled = &Settled{Event: e.N, Print: s.Print, Box: s.Box, Is: s.Is, Keep: s.Keep, Page: s.Page, Paper: s.Paper, At: e.At, Who: e.Who}
	case wasTyped:
		var t typed
		err = json.Unmarshal(e.Data, &t)
		h.Typed = &Reading{Event: e.N, At: e.At, Who: e.Who}
		h.Typed.is(t)
	default:
		var d decided
		err = json.Unmarshal(e.Data, &d)
		h.Decision = &Decision{Event: e.N, Kind: DecisionKind(e.Kind), Job: e.Job, Print: d.Print, Finding: d.Finding, Why: d.Why, At: e.At, Who: e.Who}
	}
	return h, err
}
