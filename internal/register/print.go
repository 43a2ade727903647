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
	"unicode"
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
	if err := by.Check(); err != nil {
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

// printed enters a print, and makes it its job's newest.
func (j *journal) printed(e event) error {
	var p printed
	if err := json.Unmarshal(e.Data, &p); err != nil {
		return err
	}
	if err := j.exec("INSERT INTO print VALUES (?,?,?,?,?,?,?)", e.N, e.Job, p.Fingerprint, p.Manifest, p.Pages, e.At, e.Who); err != nil {
		return err
	}
	return j.exec("INSERT INTO job (id, unit, procedure, day, print) VALUES (?,?,?,?,?) ON CONFLICT(id) DO UPDATE SET unit = excluded.unit, procedure = excluded.procedure, day = excluded.day, print = excluded.print",
		e.Job, p.Unit, p.Procedure, p.Day, e.N)
}

// Job is a job with its newest print.
type Job struct {
	ID, Unit, Procedure, Day string
	Prints                   int   // how often it was printed
	Print                    int64 // the event of the newest print
	Fingerprint              string
	Pages                    int
	At, Who                  string // of the newest print
	State                    JobState
	Back                     int // pages of the newest print that came back
}

// Query says which jobs are wanted; what is empty does not narrow it.
type Query struct {
	Number   string // how the job's ID begins, in upper or lower case
	Unit     string
	From, To string // days, both included
	State    JobState
}

const jobColumns = `SELECT job.id, unit, procedure, day, (SELECT count(*) FROM print AS all_ WHERE all_.job = job.id), print.event, fingerprint, pages, at, who, state,
	(SELECT count(*) FROM paper WHERE paper.print = job.print AND counts = 1)
	FROM job JOIN print ON print.event = job.print`

// ErrUnknown says that the register does not hold what was asked for.
var ErrUnknown = errors.New("it is not in the register")

// Job gives one job by its ID, in upper or lower case.
func (r *Register) Job(ctx context.Context, id string) (Job, error) {
	var j Job
	err := r.db.QueryRowContext(ctx, jobColumns+" WHERE job.id = ?", id).Scan(j.columns()...)
	if errors.Is(err, sql.ErrNoRows) {
		return j, fmt.Errorf("job %s: %w", id, ErrUnknown)
	}
	return j, err
}

// where gives the conditions of a query, for a statement on job, and what fills them.
func (q Query) where() (conditions []string, args []any) {
	for _, c := range []struct{ is, value string }{
		{"job.id >= ?", q.Number}, {"job.id < ?", behind(q.Number)}, {"unit = ?", q.Unit}, {"day >= ?", q.From}, {"day <= ?", q.To}, {"state = ?", string(q.State)},
	} {
		if c.value != "" {
			conditions, args = append(conditions, c.is), append(args, c.value)
		}
	}
	return conditions, args
}

// behind is a text behind all that begin with a prefix, "" for the empty one.
func behind(prefix string) string {
	if prefix == "" {
		return ""
	}
	return prefix + string(unicode.MaxRune)
}

// jobsBy hands on the jobs for which conditions hold.
func (r *Register) jobsBy(ctx context.Context, conditions []string, rest string, args []any, each func(Job) error) error {
	query := jobColumns
	if len(conditions) > 0 {
		query += " WHERE " + strings.Join(conditions, " AND ")
	}
	return r.each(ctx, func(rows *sql.Rows) error {
		var j Job
		if err := rows.Scan(j.columns()...); err != nil {
			return err
		}
		return each(j)
	}, query+rest, args...)
}

// Jobs hands on the jobs that are wanted, by day and ID.
func (r *Register) Jobs(ctx context.Context, q Query, each func(Job) error) error {
	conditions, args := q.where()
	return r.jobsBy(ctx, conditions, " ORDER BY day, job.id", args, each)
}

// Place is where a job stands in the order of Page.
type Place struct{ Day, ID string }

// Page gives the jobs that are wanted, at most so many: those that follow a place, from the
// beginning where it is the zero Place. The newest day comes first; where oldest is set, the
// oldest. However many jobs there are, it takes as long as those that it gives.
func (r *Register) Page(ctx context.Context, q Query, after Place, oldest bool, most int) (out []Job, err error) {
	conditions, args := q.where()
	is, way := "<", " DESC"
	if oldest {
		is, way = ">", ""
	}
	if after != (Place{}) {
		conditions, args = append(conditions, "(day, job.id) "+is+" (?, ?)"), append(args, after.Day, after.ID)
	}
	err = r.jobsBy(ctx, conditions, " ORDER BY day"+way+", job.id"+way+" LIMIT ?", append(args, most), func(j Job) error {
		out = append(out, j)
		return nil
	})
	return out, err
}

func (j *Job) columns() []any {
	return []any{&j.ID, &j.Unit, &j.Procedure, &j.Day, &j.Prints, &j.Print, &j.Fingerprint, &j.Pages, &j.At, &j.Who, &j.State, &j.Back}
}

// Printed is one print of a job.
type Printed struct {
	Event       int64
	Job         string // as it was printed
	N           int    // 1 for the job's first print, 2 for the next
	Fingerprint string
	Pages       int
	At, Who     string
	manifest    string
}

const printColumns = `SELECT event, job, (SELECT count(*) FROM print AS to_ WHERE to_.job = print.job AND to_.event <= print.event), fingerprint, pages, at, who, manifest FROM print`

// Prints gives the prints of a job, the first first; none of a job that is not known.
func (r *Register) Prints(ctx context.Context, job string) (out []Printed, err error) {
	err = r.each(ctx, func(rows *sql.Rows) error {
		var p Printed
		if err := rows.Scan(&p.Event, &p.Job, &p.N, &p.Fingerprint, &p.Pages, &p.At, &p.Who, &p.manifest); err != nil {
			return err
		}
		out = append(out, p)
		return nil
	}, printColumns+" WHERE job = ? ORDER BY event", job)
	return out, err
}

// Manifest gives the manifest of a print, as it was printed.
func (r *Register) Manifest(ctx context.Context, p Printed) ([]byte, error) {
	var body []byte
	err := r.db.QueryRowContext(ctx, "SELECT body FROM manifest WHERE sum = ?", p.manifest).Scan(&body)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, fmt.Errorf("job %s, print %d: its manifest is missing from the register", p.Job, p.N)
	}
	if err != nil {
		return nil, err
	}
	return inflate(p.manifest, body)
}
