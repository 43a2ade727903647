package register

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
)

// This file is about what people say of a packet that came back: of a box, of what is
// written in it, of a finding, of the packet as a whole.

// JobState says what becomes of a job's paper.
type JobState string

// The states of a job.
const (
	JobOpen   JobState = "open"
	JobClosed JobState = "closed"
	JobVoid   JobState = "void"
)

// Meanwhile is the error of a person who says something of a box about which another
// person said something since it was looked at.
type Meanwhile struct {
	Box, Who, At, Said string
}

func (m *Meanwhile) Error() string {
	return fmt.Sprintf("box %s: %s said %q at %s, after you looked at it; look again", m.Box, m.Who, m.Said, m.At)
}

// ErrOpen says that a packet which somebody would open again is open.
var ErrOpen = errors.New("is open")

// Shut is the error of a person who says something of a packet that is closed or void.
type Shut struct {
	Job string
	Is  JobState
}

func (s *Shut) Error() string {
	return fmt.Sprintf("job %s is %s; open it again first, with a reason", s.Job, s.Is)
}

// Settled is what a person said of a box: marked or blank.
type Settled struct {
	Event   int64 // 0 before it was entered
	Print   int64
	Box     string
	Is      Mark
	Keep    string // as of Box
	Page    int    // of a box that keeps something
	Paper   int64  // the event of the paper that was looked at, 0 of none
	Before  int64  // when it is entered: the event of what stood there when it was looked at, 0 of nothing
	At, Who string
}

// settled is what an event of that kind says.
type settled struct {
	Print int64  `json:"print"`
	Box   string `json:"box"`
	Is    Mark   `json:"is"`
	Keep  string `json:"keep,omitempty"`
	Page  int    `json:"page,omitempty"`
	Paper int64  `json:"paper,omitempty"`
}

// Settle enters what a person said of a box.
func (r *Register) Settle(ctx context.Context, by By, s Settled) error {
	if s.Is != Marked && s.Is != Blank {
		return fmt.Errorf("box %s: a person settles that it is marked or blank, and not %q", s.Box, s.Is)
	}
	return r.enter(ctx, by, func(j *journal) error {
		job, err := j.openJobOf(s.Print)
		if err != nil {
			return err
		}
		if err := j.unchanged("settled", s.Print, s.Box, s.Before); err != nil {
			return err
		}
		return j.add(by, wasSettled, job, settled{s.Print, s.Box, s.Is, s.Keep, s.Page, s.Paper})
	})
}

func (j *journal) settled(e event) error {
	var s settled
	if err := json.Unmarshal(e.Data, &s); err != nil {
		return err
	}
	return j.exec("INSERT INTO settled VALUES (?,?,?,?,?) ON CONFLICT DO UPDATE SET event = excluded.event, mark = excluded.mark, keep = excluded.keep", s.Print, s.Box, e.N, string(s.Is), s.Keep)
}

// Settled gives what people said of the boxes of a print, by box.
func (r *Register) Settled(ctx context.Context, print int64) (map[string]Settled, error) {
	out := map[string]Settled{}
	err := r.each(ctx, func(rows *sql.Rows) error {
		s := Settled{Print: print}
		var data []byte
		if err := rows.Scan(&s.Event, &s.Box, &s.Is, &s.At, &s.Who, &data); err != nil {
			return err
		}
		var said settled
		if err := json.Unmarshal(data, &said); err != nil {
			return err
		}
		s.Keep, s.Page, s.Paper = said.Keep, said.Page, said.Paper
		out[s.Box] = s
		return nil
	}, "SELECT n, box, mark, at, who, data FROM settled JOIN event ON n = settled.event WHERE print = ?", print)
	return out, err
}

// Reading is what stands in a box, as a person typed it.
type Reading struct {
	Event   int64 // 0 before it was entered
	Print   int64
	Box     string
	Text    string // as it was typed
	Value   string // of a number, in Unit, with a decimal point and the digits that were typed
	Unit    string
	Low     *float64 // the limits to which it was held, in Unit; nil where there is none
	High    *float64
	Why     string // why a number outside its limits was let through
	Keep    string // the name under which it belongs to the unit's history, such as "as_left bore"
	Page    int    // of its print
	Paper   int64  // the event of the paper from which it was typed, 0 of none
	Before  int64  // as of Settled
	At, Who string
}

// typed is what an event of that kind says.
type typed struct {
	Print int64    `json:"print"`
	Box   string   `json:"box"`
	Text  string   `json:"text"`
	Value string   `json:"value,omitempty"`
	Unit  string   `json:"unit,omitempty"`
	Low   *float64 `json:"low,omitempty"`
	High  *float64 `json:"high,omitempty"`
	Why   string   `json:"why,omitempty"`
	Keep  string   `json:"keep,omitempty"`
	Page  int      `json:"page,omitempty"`
	Paper int64    `json:"paper,omitempty"`
}

// mostTyped is the most bytes of what is typed into one box.
const mostTyped = 2000

// Type enters what was typed in, all or nothing. What stands there already, word for word,
// is not entered again; entered is how many were.
func (r *Register) Type(ctx context.Context, by By, readings ...Reading) (entered int, err error) {
	err = r.enter(ctx, by, func(j *journal) error {
		entered = 0
		for _, t := range readings {
			if t.Text == "" || len(t.Text) > mostTyped || len(t.Why) > mostTyped {
				return fmt.Errorf("box %s: what is typed in has 1 to %d bytes", t.Box, mostTyped)
			}
			job, err := j.openJobOf(t.Print)
			if err != nil {
				return err
			}
			now := typed{t.Print, t.Box, t.Text, t.Value, t.Unit, t.Low, t.High, t.Why, t.Keep, t.Page, t.Paper}
			is, err := j.stands("reading", t.Print, t.Box)
			if err != nil {
				return err
			}
			var was typed
			if is.N != 0 {
				if err := json.Unmarshal(is.Data, &was); err != nil {
					return err
				}
			}
			if is.N != 0 && was.Text == now.Text && was.Value == now.Value && was.Unit == now.Unit && was.Why == now.Why {
				continue
			}
			if is.N != t.Before {
				return &Meanwhile{t.Box, is.Who, is.At, was.Text}
			}
			if err := j.add(by, wasTyped, job, now); err != nil {
				return err
			}
			entered++
		}
		return nil
	})
	return entered, err
}

func (j *journal) typed(e event) error {
	var t typed
	if err := json.Unmarshal(e.Data, &t); err != nil {
		return err
	}
	return j.exec("INSERT INTO reading VALUES (?,?,?,?) ON CONFLICT DO UPDATE SET event = excluded.event, keep = excluded.keep", t.Print, t.Box, e.N, t.Keep)
}

// is takes over what an event says.
func (r *Reading) is(t typed) {
	r.Print, r.Box, r.Text, r.Value, r.Unit, r.Low, r.High, r.Why, r.Keep, r.Page, r.Paper = t.Print, t.Box, t.Text, t.Value, t.Unit, t.Low, t.High, t.Why, t.Keep, t.Page, t.Paper
}

// Readings gives what was typed in of a print, by box.
func (r *Register) Readings(ctx context.Context, print int64) (map[string]Reading, error) {
	out := map[string]Reading{}
	err := r.each(ctx, func(rows *sql.Rows) error {
		var t Reading
		var data []byte
		if err := rows.Scan(&t.Event, &t.At, &t.Who, &data); err != nil {
			return err
		}
		var said typed
		if err := json.Unmarshal(data, &said); err != nil {
			return err
		}
		t.is(said)
		out[t.Box] = t
		return nil
	}, "SELECT n, at, who, data FROM reading JOIN event ON n = reading.event WHERE print = ?", print)
	return out, err
}

// DecisionKind says what was decided.
type DecisionKind string

// What may be decided.
const (
	Accept   DecisionKind = "excepted" // of a finding: it is let through
	Close    DecisionKind = "closed"
	MakeVoid DecisionKind = "voided"
	Reopen   DecisionKind = "reopened"
)

// Decision is what was decided of a packet.
type Decision struct {
	Event   int64 // 0 before it was entered
	Kind    DecisionKind
	Job     string
	Print   int64
	Finding string // the key of the finding that was accepted
	Why     string
	Holds   bool // false of one that a later one took back
	At, Who string
}

// decided is what an event of these kinds says.
type decided struct {
	Print   int64  `json:"print"`
	Finding string `json:"finding,omitempty"`
	Why     string `json:"why,omitempty"`
}

// Decide enters a decision. A packet that is closed or void must be opened again before
// anything else is said of it; only closing asks for no reason.
func (r *Register) Decide(ctx context.Context, by By, d Decision) error {
	switch {
	case d.Kind != Close && strings.TrimSpace(d.Why) == "":
		return errors.New("say why: what is decided without a reason is worth nothing later")
	case len(d.Why) > mostTyped:
		return fmt.Errorf("a reason has at most %d bytes", mostTyped)
	case (d.Kind == Accept) != (d.Finding != ""):
		return errors.New("what is accepted is one finding")
	}
	return r.enter(ctx, by, func(j *journal) error {
		job, err := j.jobOf(d.Print)
		if err != nil {
			return err
		}
		closed := j.isOpen(job)
		switch {
		case d.Kind == Reopen && closed == nil:
			return fmt.Errorf("job %s %w", job, ErrOpen)
		case d.Kind != Reopen && closed != nil:
			return closed
		}
		return j.add(by, kind(d.Kind), job, decided{d.Print, d.Finding, strings.TrimSpace(d.Why)})
	})
}

// states are what a job is once something was decided of it.
var states = map[kind]JobState{wasClosed: JobClosed, wasVoided: JobVoid, wasReopened: JobOpen}

func (j *journal) decided(e event) error {
	var d decided
	if err := json.Unmarshal(e.Data, &d); err != nil {
		return err
	}
	if s := states[e.Kind]; s != "" {
		if err := j.exec("UPDATE job SET state = ? WHERE id = ?", string(s), e.Job); err != nil {
			return err
		}
		// What was accepted stays; closing and voiding are taken back by what follows.
		if err := j.exec("UPDATE decision SET holds = 0 WHERE finding = '' AND print IN (SELECT event FROM print WHERE job = ?)", e.Job); err != nil {
			return err
		}
	} else if err := j.exec("UPDATE decision SET holds = 0 WHERE print = ? AND finding = ?", d.Print, d.Finding); err != nil {
		return err
	}
	return j.exec("INSERT INTO decision VALUES (?,?,?,1)", e.N, d.Print, d.Finding)
}

// Decisions gives what was decided of a job, in order.
func (r *Register) Decisions(ctx context.Context, job string) (out []Decision, err error) {
	err = r.each(ctx, func(rows *sql.Rows) error {
		var d Decision
		var data []byte
		if err := rows.Scan(&d.Event, &d.Kind, &d.Job, &d.Print, &d.Finding, &d.Holds, &d.At, &d.Who, &data); err != nil {
			return err
		}
		var said decided
		if err := json.Unmarshal(data, &said); err != nil {
			return err
		}
		d.Why = said.Why
		out = append(out, d)
		return nil
	}, "SELECT n, kind, event.job, print, finding, holds, event.at, event.who, data FROM decision JOIN event ON n = decision.event WHERE print IN (SELECT event FROM print WHERE job = ?) ORDER BY n", job)
	return out, err
}

// enter does one change by a person.
func (r *Register) enter(ctx context.Context, by By, f func(*journal) error) error {
	if err := by.Check(); err != nil {
		return err
	}
	err := r.change(ctx, func(tx *sql.Tx) error {
		j, err := newJournal(ctx, tx)
		if err != nil {
			return err
		}
		return f(j)
	})
	if err != nil {
		return fmt.Errorf("%s: %w", r.path, err)
	}
	return nil
}

// openJobOf gives the job of a print, which must be open.
func (j *journal) openJobOf(print int64) (string, error) {
	job, err := j.jobOf(print)
	if err != nil {
		return "", err
	}
	return job, j.isOpen(job)
}

// isOpen reports that a job is closed or void.
func (j *journal) isOpen(job string) error {
	s, err := j.statement("SELECT state FROM job WHERE id = ?")
	if err != nil {
		return err
	}
	var is JobState
	if err := s.QueryRowContext(j.ctx, job).Scan(&is); err != nil {
		return err
	}
	if is != JobOpen {
		return &Shut{job, is}
	}
	return nil
}

// stands gives the event that stands for a box in a table; its number is 0 where none does.
func (j *journal) stands(table string, print int64, box string) (e event, err error) {
	s, err := j.statement("SELECT n, at, who, data FROM " + table + " JOIN event ON n = " + table + ".event WHERE print = ? AND box = ?")
	if err != nil {
		return e, err
	}
	var data []byte
	err = s.QueryRowContext(j.ctx, print, box).Scan(&e.N, &e.At, &e.Who, &data)
	if errors.Is(err, sql.ErrNoRows) {
		return event{}, nil
	}
	e.Data = data
	return e, err
}

// unchanged reports that something else stands for a box than what was looked at.
func (j *journal) unchanged(table string, print int64, box string, before int64) error {
	is, err := j.stands(table, print, box)
	if err != nil || is.N == before {
		return err
	}
	var said settled
	if err := json.Unmarshal(is.Data, &said); err != nil {
		return err
	}
	return &Meanwhile{box, is.Who, is.At, string(said.Is)}
}
