package register

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
)

// Head is the end of the register: the number of its events and the hash of the
// last. Written down elsewhere, it shows later that nothing before it was changed.
type Head struct {
	Events int64
	Hash   string // "" of an empty register
}

// Head gives the end of the register as it stands.
func (r *Register) Head(ctx context.Context) (Head, error) {
	var h Head
	err := r.db.QueryRowContext(ctx, "SELECT n, hash FROM event ORDER BY n DESC LIMIT 1").Scan(&h.Events, &h.Hash)
	if errors.Is(err, sql.ErrNoRows) {
		return h, nil
	}
	return h, err
}

// Verify goes through the register and gives every fault that it finds: an event that
// was edited, is missing or stands in another order; a manifest that was edited or is
// missing; a table that does not follow from the events. With a known head it also
// finds events that were cut off at the end. The error is of the machine.
func (r *Register) Verify(ctx context.Context, known Head) (faults []string, err error) {
	fault := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	var damage string
	if err := r.db.QueryRowContext(ctx, "PRAGMA quick_check(1)").Scan(&damage); err != nil {
		return nil, err
	}
	if damage != "ok" {
		fault("the file is damaged: %s", damage)
	}
	var last event
	found := known.Events == 0
	err = r.events(ctx, func(e event) error {
		if err := e.follows(last); err != nil {
			fault("%s", err)
		}
		if e.N == known.Events {
			if found = true; e.Hash != known.Hash {
				fault("event %d is not the one whose hash was written down", e.N)
			}
		}
		last = e
		return nil
	})
	if err != nil {
		return nil, err
	}
	if !found {
		fault("the register ends with event %d, and event %d was written down: what followed was cut off", last.N, known.Events)
	}
	if err := r.verifyManifests(ctx, fault); err != nil {
		return nil, err
	}
	return faults, r.verifyTables(ctx, fault)
}

// verifyManifests holds each manifest to its sum.
func (r *Register) verifyManifests(ctx context.Context, fault func(string, ...any)) error {
	return r.each(ctx, func(rows *sql.Rows) error {
		var sum string
		var body sql.RawBytes
		if err := rows.Scan(&sum, &body); err != nil {
			return err
		}
		if _, err := inflate(sum, body); err != nil {
			fault("%s", err)
		}
		return nil
	}, allManifests)
}

// derived are the tables that follow from the events, with their order.
var derived = []struct{ table, order string }{
	{"print", "event"}, {"job", "id"}, {"paper", "event"}, {"settled", "event"}, {"reading", "event"}, {"mark", "paper, box"}, {"decision", "event"},
}

// verifyTables works the tables out anew, in a register in memory, and compares.
func (r *Register) verifyTables(ctx context.Context, fault func(string, ...any)) error {
	db, err := sql.Open("sqlite", "file::memory:?_txlock=immediate") // without foreign keys: manifests are looked at apart
	if err != nil {
		return err
	}
	db.SetMaxOpenConns(1) // each connection has a memory of its own
	anew := &Register{db: db}
	defer anew.Close()
	if err := anew.bringForward(ctx); err != nil {
		return err
	}
	err = anew.change(ctx, func(tx *sql.Tx) error {
		j, err := newJournal(ctx, tx)
		if err != nil {
			return err
		}
		return r.events(ctx, j.project)
	})
	if err != nil {
		fault("the tables cannot be worked out from the events: %s", err)
		return nil
	}
	for _, d := range derived {
		is, err := contents(ctx, r.db, d.table, d.order)
		if err != nil {
			return err
		}
		wanted, err := contents(ctx, anew.db, d.table, d.order)
		if err != nil {
			return err
		}
		if is != wanted {
			fault("the table %s was edited: it does not follow from the events", d.table)
		}
	}
	var missing int
	if err := r.db.QueryRowContext(ctx, "SELECT count(*) FROM print WHERE manifest NOT IN (SELECT sum FROM manifest)").Scan(&missing); err != nil {
		return err
	}
	if missing > 0 {
		fault("%d prints have no manifest: it was removed", missing)
	}
	return nil
}

// contents gives the digest of a table.
func contents(ctx context.Context, db *sql.DB, table, order string) (string, error) {
	rows, err := db.QueryContext(ctx, "SELECT * FROM "+table+" ORDER BY "+order)
	if err != nil {
		return "", err
	}
	defer rows.Close()
	names, err := rows.Columns()
	if err != nil {
		return "", err
	}
	row, into := make([]any, len(names)), make([]any, len(names))
	for i := range row {
		into[i] = &row[i]
	}
	sum := sha256.New()
	for rows.Next() {
		if err := rows.Scan(into...); err != nil {
			return "", err
		}
		fmt.Fprintf(sum, "%q\n", row)
	}
	return hex.EncodeToString(sum.Sum(nil)), rows.Err()
}
