// Package register keeps a site's database of jobs: what was printed, and what became
// of it. It is one SQLite file, and the one door to SQLite.
//
// Entry points: Open; Register.Enter for what a run printed, Register.See for paper that
// came back, Register.Settle and Register.Type for what a person says of a box,
// Register.Decide for the packet; Register.Job and Register.Jobs to look things up;
// Register.Verify; Register.ExportYAML and Register.ImportYAML.
// It belongs here if it is about what is kept and for how long it can be trusted. It
// is not for reading records (record), nor for judging what came back (review).
//
// All that happens is an event, which is added and never edited; each has the hash of
// the one before. The other tables are worked out from the events (project), so
// that events alone make the same register again.
package register

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	_ "modernc.org/sqlite" // the driver named "sqlite"
)

// FileName is the register's name within a site's folder.
const FileName = "register.db"

// applicationID marks a SQLite file as a register: "JSHF" in ASCII.
const applicationID = 0x4a534846

// Register is an open register. It is safe for concurrent use, by several programs
// too: each change is one transaction, and whoever comes second waits up to
// busySeconds.
type Register struct {
	db   *sql.DB
	path string
}

// busySeconds is how long a change waits for another program's.
const busySeconds = 20

// idleConnections are kept for the next query: to open one anew costs as much as many a
// query. Each has a cache of at most 2 MB.
const idleConnections = 16

// steps are the statements that make each version of the schema from the one before.
// A step that was released is never changed: a further one follows it.
var steps = []string{`
CREATE TABLE manifest (
	sum  TEXT PRIMARY KEY, -- SHA-256 of the manifest as it was printed
	body BLOB NOT NULL     -- it, compressed by DEFLATE
) WITHOUT ROWID;
CREATE TABLE event (
	n      INTEGER PRIMARY KEY, -- 1, 2, 3 ... without a gap
	at     TEXT NOT NULL,       -- in UTC, such as 2026-11-30T07:15:00Z
	who    TEXT NOT NULL,
	kind   TEXT NOT NULL,
	job    TEXT NOT NULL,
	data   TEXT NOT NULL,       -- JSON
	before TEXT NOT NULL,       -- the hash of the event before, "" of the first
	hash   TEXT NOT NULL UNIQUE
);
CREATE TRIGGER event_stays BEFORE UPDATE ON event BEGIN SELECT RAISE(ABORT, 'an event is never edited'); END;
CREATE TRIGGER event_kept BEFORE DELETE ON event BEGIN SELECT RAISE(ABORT, 'an event is never removed'); END;
CREATE TABLE job (
	id        TEXT PRIMARY KEY COLLATE NOCASE, -- the code on a page has it in upper case
	unit      TEXT NOT NULL,
	procedure TEXT NOT NULL,
	day       TEXT NOT NULL,
	print     INTEGER NOT NULL REFERENCES print(event) DEFERRABLE INITIALLY DEFERRED -- the newest
) WITHOUT ROWID;
CREATE INDEX job_unit ON job(unit, day);
CREATE INDEX job_day ON job(day);
CREATE TABLE print (
	event       INTEGER PRIMARY KEY REFERENCES event(n),
	job         TEXT NOT NULL COLLATE NOCASE REFERENCES job(id) DEFERRABLE INITIALLY DEFERRED,
	fingerprint TEXT NOT NULL,
	manifest    TEXT NOT NULL REFERENCES manifest(sum),
	pages       INTEGER NOT NULL,
	at          TEXT NOT NULL,
	who         TEXT NOT NULL
);
CREATE INDEX print_job ON print(job, event);
`, `
ALTER TABLE job ADD COLUMN state TEXT NOT NULL DEFAULT 'open'; -- open, closed or void
CREATE INDEX job_state ON job(state, day);
CREATE TABLE paper (
	event   INTEGER PRIMARY KEY REFERENCES event(n), -- that says all of it; here stands what it is looked up by
	scan    TEXT NOT NULL,    -- SHA-256 of the file
	at      INTEGER NOT NULL, -- which page of the file, from 1
	state   TEXT NOT NULL,
	print   INTEGER REFERENCES print(event),
	page    INTEGER NOT NULL,
	picture TEXT NOT NULL,    -- SHA-256 of the page squared up
	counts  INTEGER NOT NULL, -- 1: what is known of its page is taken from it
	instead INTEGER           -- the event by which a person placed it
);
CREATE INDEX paper_scan ON paper(scan, at);
CREATE INDEX paper_print ON paper(print, page) WHERE print IS NOT NULL;
CREATE INDEX paper_open ON paper(state) WHERE state NOT IN ('placed', 'aside') AND instead IS NULL;
CREATE TABLE settled (
	print INTEGER NOT NULL REFERENCES print(event),
	box   TEXT NOT NULL,
	event INTEGER NOT NULL REFERENCES event(n),
	mark  TEXT NOT NULL,
	keep  TEXT NOT NULL,
	PRIMARY KEY (print, box)
) WITHOUT ROWID;
CREATE TABLE reading (
	print INTEGER NOT NULL REFERENCES print(event),
	box   TEXT NOT NULL,
	event INTEGER NOT NULL REFERENCES event(n), -- the newest; what was typed before stays in its own
	keep  TEXT NOT NULL,
	PRIMARY KEY (print, box)
) WITHOUT ROWID;
CREATE TABLE mark ( -- of the boxes that keep something for the unit's history: as it was seen on paper
	paper INTEGER NOT NULL REFERENCES paper(event),
	box   TEXT NOT NULL,
	keep  TEXT NOT NULL,
	PRIMARY KEY (paper, box)
) WITHOUT ROWID;
CREATE TABLE decision (
	event   INTEGER PRIMARY KEY REFERENCES event(n),
	print   INTEGER NOT NULL REFERENCES print(event),
	finding TEXT NOT NULL, -- the key of what was accepted, "" of the packet as a whole
	holds   INTEGER NOT NULL -- 0: it was taken back
);
CREATE INDEX decision_print ON decision(print);
CREATE INDEX job_print ON job(print); -- without it each print that is entered is looked for among all jobs, for its foreign key
CREATE INDEX event_job ON event(job COLLATE NOCASE, n);
`, `
CREATE INDEX paper_twice ON paper(event) WHERE counts = 0 AND state = 'placed' AND instead IS NULL;
`}

// Open opens the register at a path, and makes it where there is none. One of an
// older version is brought forward; a copy of it is kept beside it, named by its
// version, such as register.db.v1. The error says what is wrong with the file.
func Open(ctx context.Context, path string) (*Register, error) {
	// What the address of a file may not hold as it is: SQLite reads it as a URI.
	escaped := strings.NewReplacer("%", "%25", "?", "%3f", "#", "%23").Replace(path)
	db, err := sql.Open("sqlite", fmt.Sprintf("file:%s?_pragma=busy_timeout(%d)&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)&_txlock=immediate", escaped, busySeconds*1000))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	db.SetMaxIdleConns(idleConnections)
	r := &Register{db, path}
	if err := r.bringForward(ctx); err != nil {
		r.Close()
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return r, nil
}

// Close closes the register.
func (r *Register) Close() error { return r.db.Close() }

// bringForward makes the schema of this program out of what is in the file.
func (r *Register) bringForward(ctx context.Context) error {
	version, err := r.version(ctx)
	if err != nil {
		return err
	}
	switch {
	case version > len(steps):
		return fmt.Errorf("it was written by a newer program: its version is %d, and this program knows %d", version, len(steps))
	case version == len(steps):
		return nil
	case version > 0:
		if _, err := r.db.ExecContext(ctx, "VACUUM INTO ?", fmt.Sprintf("%s.v%d", r.path, version)); err != nil {
			return fmt.Errorf("the copy of version %d cannot be kept: %w", version, err)
		}
	}
	return r.change(ctx, func(tx *sql.Tx) error {
		// Another program may have done it meanwhile.
		if err := tx.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version); err != nil {
			return err
		}
		for ; version < len(steps); version++ {
			if _, err := tx.ExecContext(ctx, steps[version]); err != nil {
				return fmt.Errorf("version %d: %w", version+1, err)
			}
		}
		_, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id=%d; PRAGMA user_version=%d", applicationID, version))
		return err
	})
}

// version gives the version of the file's schema, 0 of an empty file. A file that is
// no register is an error.
func (r *Register) version(ctx context.Context) (int, error) {
	var id, version, tables int
	err := r.db.QueryRowContext(ctx, "SELECT (SELECT application_id FROM pragma_application_id), (SELECT user_version FROM pragma_user_version), (SELECT count(*) FROM sqlite_schema)").Scan(&id, &version, &tables)
	switch {
	case err != nil:
		return 0, fmt.Errorf("it cannot be read as a register: %w", err)
	case id != applicationID && tables > 0:
		return 0, errors.New("it is a database of something else; move it out of the way")
	}
	return version, nil
}

// each hands on the rows that a query gives.
func (r *Register) each(ctx context.Context, f func(*sql.Rows) error, query string, args ...any) error {
	rows, err := r.db.QueryContext(ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := f(rows); err != nil {
			return err
		}
	}
	return rows.Err()
}

// change does what f does in one transaction, which holds or leaves nothing.
func (r *Register) change(ctx context.Context, f func(*sql.Tx) error) error {
	tx, err := r.db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback() // of no effect once it was committed
	if err := f(tx); err != nil {
		return err
	}
	return tx.Commit()
}
