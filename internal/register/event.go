package register

import (
	"compress/flate"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"time"
	"unicode"
)

// kind says what happened.
type kind string

// The kinds of events.
const (
	wasPrinted  kind = "printed"  // a packet was printed; Data is a printed
	wasSeen     kind = "seen"     // a page of paper came back; Data is a seen
	wasChosen   kind = "chosen"   // which of several papers of one page counts; Data is a chosen
	wasSettled  kind = "settled"  // a person said whether a box is marked; Data is a settled
	wasTyped    kind = "typed"    // what stands in a box was typed in; Data is a typed
	wasExcepted kind = "excepted" // a finding was accepted; Data is a decided, as of the three that follow
	wasClosed   kind = "closed"   // the packet was found complete and filed
	wasVoided   kind = "voided"   // the job was not done, or its packet does not count
	wasReopened kind = "reopened" // a packet that was closed or void counts as open again
)

// event is one thing that happened.
type event struct {
	N      int64           `json:"n"` // from 1, without a gap
	At     string          `json:"at"`
	Who    string          `json:"who"`
	Kind   kind            `json:"kind"`
	Job    string          `json:"job"`
	Data   json.RawMessage `json:"data"`
	Before string          `json:"before"` // the hash of the event before
	Hash   string          `json:"hash"`
}

// sum gives the hash of an event: SHA-256, in hexadecimal, of a JSON array of its
// other fields as texts but for the number, in the order of event.
func (e event) sum() (string, error) {
	raw, err := json.Marshal([]any{e.N, e.At, e.Who, e.Kind, e.Job, string(e.Data), e.Before})
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:]), nil
}

// By is who did something, and when.
type By struct {
	Who string // a name of 1 to 60 characters that begins with a letter or a digit
	At  time.Time
}

// Check holds a name to what lists and tables of other programs take as a text.
func (b By) Check() error {
	runes := []rune(b.Who)
	switch {
	case len(runes) == 0 || len(runes) > 60:
		return fmt.Errorf("the name of who does it has %d characters; write 1 to 60", len(runes))
	case !unicode.IsLetter(runes[0]) && !unicode.IsDigit(runes[0]):
		return fmt.Errorf("the name %q does not begin with a letter or a digit", b.Who)
	}
	for _, r := range runes {
		if !unicode.IsPrint(r) {
			return fmt.Errorf("the name %q holds a character that cannot be printed", b.Who)
		}
	}
	return nil
}

// journal adds events within a transaction.
type journal struct {
	ctx      context.Context
	tx       *sql.Tx
	prepared map[string]*sql.Stmt // by their text: a year's list repeats a few of them 100,000 times
	deflate  *flate.Writer        // of manifests; a new one for each would cost a megabyte
	last     event
}

func newJournal(ctx context.Context, tx *sql.Tx) (*journal, error) {
	j := &journal{ctx: ctx, tx: tx, prepared: map[string]*sql.Stmt{}}
	var err error
	if j.deflate, err = flate.NewWriter(nil, flate.BestSpeed); err != nil {
		return nil, err
	}
	err = tx.QueryRowContext(ctx, "SELECT n, hash FROM event ORDER BY n DESC LIMIT 1").Scan(&j.last.N, &j.last.Hash)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return nil, err
	}
	return j, nil
}

// statement gives a statement, prepared once; it is closed with the transaction.
func (j *journal) statement(text string) (*sql.Stmt, error) {
	if s := j.prepared[text]; s != nil {
		return s, nil
	}
	s, err := j.tx.PrepareContext(j.ctx, text)
	if err == nil {
		j.prepared[text] = s
	}
	return s, err
}

func (j *journal) exec(text string, args ...any) error {
	s, err := j.statement(text)
	if err == nil {
		_, err = s.ExecContext(j.ctx, args...)
	}
	return err
}

// add adds an event and what follows from it in the other tables.
func (j *journal) add(by By, what kind, job string, data any) error {
	raw, err := json.Marshal(data)
	if err != nil {
		return err
	}
	e := event{N: j.last.N + 1, At: by.At.UTC().Format(time.RFC3339), Who: by.Who, Kind: what, Job: job, Data: raw, Before: j.last.Hash}
	if e.Hash, err = e.sum(); err != nil {
		return err
	}
	return j.put(e)
}

// put enters an event that has its hash.
func (j *journal) put(e event) error {
	if err := j.exec("INSERT INTO event VALUES (?,?,?,?,?,?,?,?)", e.N, e.At, e.Who, string(e.Kind), e.Job, string(e.Data), e.Before, e.Hash); err != nil {
		return err
	}
	j.last = e
	return j.project(e)
}

// follows reports what is wrong with an event behind another: a changed text, a gap,
// another order.
func (e event) follows(last event) error {
	sum, err := e.sum()
	switch {
	case err != nil:
		return err
	case e.N != last.N+1:
		return fmt.Errorf("event %d follows event %d: one is missing, or they are in another order", e.N, last.N)
	case sum != e.Hash:
		return fmt.Errorf("event %d was edited: its hash is not that of what it says", e.N)
	case e.Before != last.Hash:
		return fmt.Errorf("event %d was entered behind another event than the one before it now", e.N)
	}
	return nil
}

// events hands on all events in order.
func (r *Register) events(ctx context.Context, each func(event) error) error {
	return r.each(ctx, func(rows *sql.Rows) error {
		var e event
		var data string
		if err := rows.Scan(&e.N, &e.At, &e.Who, &e.Kind, &e.Job, &data, &e.Before, &e.Hash); err != nil {
			return err
		}
		e.Data = json.RawMessage(data)
		return each(e)
	}, "SELECT n, at, who, kind, job, data, before, hash FROM event ORDER BY n")
}

// project puts what follows from an event into the tables that are looked things up in.
func (j *journal) project(e event) error {
	into := j.decided
	switch e.Kind {
	case wasPrinted:
		into = j.printed
	case wasSeen:
		into = j.seen
	case wasChosen:
		into = j.chosen
	case wasSettled:
		into = j.settled
	case wasTyped:
		into = j.typed
	case wasExcepted, wasClosed, wasVoided, wasReopened:
	default:
		return fmt.Errorf("event %d is of a kind that this program does not know: %q", e.N, e.Kind)
	}
	if err := into(e); err != nil {
		return fmt.Errorf("event %d: %w", e.N, err)
	}
	return nil
}
