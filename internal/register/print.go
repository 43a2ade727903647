package register

import (
	"bytes"
	"compress/flate"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"iter"
	"strings"
)

// Print is a packet as it was printed.
type Print struct {
	Job, Unit, Procedure, Day string
	Fingerprint               string
	Pages                     int
	Manifest                  []byte // as it stands in JOB.json
}

// printed is what an event of that kind says.
type printed struct {
	Unit        string `json:"unit"`
	Procedure   string `json:"procedure"`
	Day         string `json:"day"`
	Fingerprint string `json:"fingerprint"`
	Pages       int    `json:"pages"`
	Manifest    string `json:"manifest"` // the sum of it
}

// mostOfManifest is the most bytes of a manifest: one of 100 pages has some 300 kB.
const mostOfManifest = 16 << 20

// Enter enters what a run printed, all or nothing. A packet that is the newest print
// of its job already is not entered again, so that a run that is repeated changes
// nothing. It gives how many were entered.
func (r *Register) Enter(ctx context.Context, by By, prints iter.Seq2[Print, error]) (entered int, err error) {
	if err := by.check(); err != nil {
		return 0, err
	}
	err = r.change(ctx, func(tx *sql.Tx) error {
		j, err := newJournal(ctx, tx)
		if err != nil {
			return err
		}
		for p, err := range prints {
			if err != nil {
				return err
			}
			sum, err := j.keep(p.Manifest)
			if err != nil {
				return err
			}
			is, err := j.newest(p.Job)
			if err != nil {
				return err
			}
			if is == [2]string{p.Fingerprint, sum} {
				continue
			}
			if err := j.add(by, wasPrinted, p.Job, printed{p.Unit, p.Procedure, p.Day, p.Fingerprint, p.Pages, sum}); err != nil {
				return fmt.Errorf("job %s: %w", p.Job, err)
			}
			entered++
		}
		return nil
	})
	if err != nil {
		return 0, fmt.Errorf("%s: %w", r.path, err)
	}
	return entered, nil
}

// newest gives the fingerprint of a job's newest print and the sum of its manifest.
func (j *journal) newest(job string) (is [2]string, err error) {
	s, err := j.statement("SELECT fingerprint, manifest FROM job JOIN print ON print.event = job.print WHERE job.id = ?")
	if err != nil {
		return is, err
	}
	err = s.QueryRowContext(j.ctx, job).Scan(&is[0], &is[1])
	if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	return is, err
}

// keep keeps a manifest, once, and gives its sum.
func (j *journal) keep(raw []byte) (sum string, err error) {
	of := sha256.Sum256(raw)
	sum = hex.EncodeToString(of[:])
	var body bytes.Buffer
	j.deflate.Reset(&body)
	if _, err := j.deflate.Write(raw); err != nil {
		return "", err
	}
	if err := j.deflate.Close(); err != nil {
		return "", err
	}
	return sum, j.store(sum, body.Bytes())
}

// store enters a manifest as it is kept.
func (j *journal) store(sum string, body []byte) error {
	return j.exec("INSERT INTO manifest VALUES (?,?) ON CONFLICT DO NOTHING", sum, body)
}

// inflate gives a manifest back, and holds it to its sum.
func inflate(sum string, body []byte) ([]byte, error) {
	raw, err := io.ReadAll(io.LimitReader(flate.NewReader(bytes.NewReader(body)), mostOfManifest))
	if err != nil {
		return nil, fmt.Errorf("manifest %.8s: %w", sum, err)
	}
	if of := sha256.Sum256(raw); hex.EncodeToString(of[:]) != sum {
		return nil, fmt.Errorf("manifest %.8s was edited: its sum is another", sum)
	}
	return raw, nil
}

// project puts what follows from an event into the tables that are looked things up in.
func (j *journal) project(e event) error {
	switch e.Kind {
	case wasPrinted:
		var p printed
		if err := json.Unmarshal(e.Data, &p); err != nil {
			return fmt.Errorf("event %d: %w", e.N, err)
		}
		if err := j.exec("INSERT INTO print VALUES (?,?,?,?,?,?,?)", e.N, e.Job, p.Fingerprint, p.Manifest, p.Pages, e.At, e.Who); err != nil {
			return err
		}
		return j.exec("INSERT INTO job VALUES (?,?,?,?,?) ON CONFLICT(id) DO UPDATE SET unit = excluded.unit, procedure = excluded.procedure, day = excluded.day, print = excluded.print",
			e.Job, p.Unit, p.Procedure, p.Day, e.N)
	}
	return fmt.Errorf("event %d is of a kind that this program does not know: %q", e.N, e.Kind)
}

// Job is a job with its newest print.
type Job struct {
	ID, Unit, Procedure, Day string
	Prints                   int // how often it was printed
	Fingerprint              string
	Pages                    int
	At, Who                  string // of the newest print
}

// Query says which jobs are wanted; what is empty does not narrow it.
type Query struct {
	Unit     string
	From, To string // days, both included
}

const jobColumns = "SELECT job.id, unit, procedure, day, (SELECT count(*) FROM print AS all_ WHERE all_.job = job.id), fingerprint, pages, at, who FROM job JOIN print ON print.event = job.print"

// errUnknown says that a job is not in the register.
var errUnknown = errors.New("it is not in the register")

// Job gives one job by its ID, in upper or lower case.
func (r *Register) Job(ctx context.Context, id string) (Job, error) {
	var j Job
	err := r.db.QueryRowContext(ctx, jobColumns+" WHERE job.id = ?", id).Scan(j.columns()...)
	if errors.Is(err, sql.ErrNoRows) {
		return j, fmt.Errorf("job %s: %w", id, errUnknown)
	}
	return j, err
}

// Jobs hands on the jobs that are wanted, by day and ID.
func (r *Register) Jobs(ctx context.Context, q Query, each func(Job) error) error {
	var where []string
	var args []any
	for _, c := range []struct{ is, value string }{{"unit = ?", q.Unit}, {"day >= ?", q.From}, {"day <= ?", q.To}} {
		if c.value != "" {
			where, args = append(where, c.is), append(args, c.value)
		}
	}
	query := jobColumns
	if len(where) > 0 {
		query += " WHERE " + strings.Join(where, " AND ")
	}
	return r.each(ctx, func(rows *sql.Rows) error {
		var j Job
		if err := rows.Scan(j.columns()...); err != nil {
			return err
		}
		return each(j)
	}, query+" ORDER BY day, job.id", args...)
}

func (j *Job) columns() []any {
	return []any{&j.ID, &j.Unit, &j.Procedure, &j.Day, &j.Prints, &j.Fingerprint, &j.Pages, &j.At, &j.Who}
}
