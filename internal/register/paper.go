package register

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
)

// PaperState says what became of a page of paper that was read.
type PaperState string

// The states of a paper.
const (
	Placed   PaperState = "placed"   // which page it is, and what stands in its boxes, is known
	Unread   PaperState = "unread"   // which page it is is known, and it could not be squared up
	Unplaced PaperState = "unplaced" // no code of ours was read on it: a person says which page it is
	Foreign  PaperState = "foreign"  // its code is of another site
	Unknown  PaperState = "unknown"  // its code is of a print that the register does not hold
	Aside    PaperState = "aside"    // a person said that it is no page of a packet
)

// Mark is what stands in a box.
type Mark string

// What stands in a box.
const (
	Marked Mark = "marked"
	Blank  Mark = "blank"
	Unsure Mark = "unsure" // a person has to look
)

// Box is what was seen in a box.
type Box struct {
	ID  string  `json:"id"`
	Is  Mark    `json:"is"`
	Ink float64 `json:"ink,omitempty"` // mm², about
	// Keep is the name under which it belongs to the unit's history, such as "replaced
	// bushing"; "" of most boxes.
	Keep string `json:"keep,omitempty"`
}

// Paper is a page of paper that came back.
type Paper struct {
	Event   int64 // 0 before it was entered
	State   PaperState
	Scan    string // SHA-256 of the file that it came in, in hexadecimal
	File    string // that file's name
	At      int    // which page of it, from 1
	Code    string // the text of its code, "" where none was read
	Job     string // of a paper whose page is known, as is all that follows
	Print   int64  // the event of its print
	Page    int
	Picture string // SHA-256 of the picture of the page squared up, "" where there is none
	Quality string // of the picture, in words
	Why     string // what is wrong with it, in words
	Boxes   []Box
	Of      int64 // the event of the paper that a person placed by this one, 0 of one that was placed by its code

	Counts  bool   // what is known of its page is taken from it
	Instead int64  // of a paper that a person placed: the event by which
	SeenAt  string // in UTC
	Who     string
}

// PicturesFolder is the folder within a site's in which the pictures of pages are kept.
const PicturesFolder = "scans"

// PictureFile gives the name within a site's folder, with slashes, of the picture that has a
// sum of 64 hexadecimal digits.
func PictureFile(sum string) string { return PicturesFolder + "/" + sum[:2] + "/" + sum + ".jpg" }

// seen is what an event of that kind says.
type seen struct {
	State   PaperState `json:"state"`
	Scan    string     `json:"scan"`
	File    string     `json:"file"`
	At      int        `json:"at"`
	Code    string     `json:"code,omitempty"`
	Print   int64      `json:"print,omitempty"`
	Page    int        `json:"page,omitempty"`
	Picture string     `json:"picture,omitempty"`
	Quality string     `json:"quality,omitempty"`
	Why     string     `json:"why,omitempty"`
	Of      int64      `json:"of,omitempty"`
	Boxes   []Box      `json:"boxes,omitempty"`
}

// sumForm is how a SHA-256 is written.
var sumForm = regexp.MustCompile(`^[0-9a-f]{64}$`)

// See enters a page of paper, and gives it back with its event. A page of a file that was
// entered before is not entered again: isNew is false then, and what is given back is as it
// was entered. A paper counts where no other of its page does.
func (r *Register) See(ctx context.Context, by By, p Paper) (entered Paper, isNew bool, err error) {
	if err := by.Check(); err != nil {
		return p, false, err
	}
	if !sumForm.MatchString(p.Scan) || p.Picture != "" && !sumForm.MatchString(p.Picture) || p.At < 1 {
		return p, false, fmt.Errorf("a paper is named by the SHA-256 of its file and its number in it; found %q, %d", p.Scan, p.At)
	}
	err = r.change(ctx, func(tx *sql.Tx) error {
		isNew = false
		var n int64
		err := tx.QueryRowContext(ctx, "SELECT event FROM paper WHERE scan = ? AND at = ? ORDER BY event DESC LIMIT 1", p.Scan, p.At).Scan(&n)
		switch {
		case err == nil && p.Of == 0 || err == nil && p.Of != n:
			p.Event = n
			return nil
		case err != nil && !errors.Is(err, sql.ErrNoRows):
			return err
		}
		j, err := newJournal(ctx, tx)
		if err != nil {
			return err
		}
		if p.Print != 0 {
			if p.Job, err = j.jobOf(p.Print); err != nil {
				return err
			}
		}
		isNew = true
		err = j.add(by, wasSeen, p.Job, seen{p.State, p.Scan, p.File, p.At, p.Code, p.Print, p.Page, p.Picture, p.Quality, p.Why, p.Of, p.Boxes})
		p.Event = j.last.N
		return err
	})
	if err != nil {
		return p, false, fmt.Errorf("%s: %w", r.path, err)
	}
	entered, err = r.Paper(ctx, p.Event)
	return entered, isNew, err
}

// jobOf gives the job of a print.
func (j *journal) jobOf(print int64) (job string, err error) {
	s, err := j.statement("SELECT job FROM print WHERE event = ?")
	if err == nil {
		err = s.QueryRowContext(j.ctx, print).Scan(&job)
	}
	if errors.Is(err, sql.ErrNoRows) {
		err = fmt.Errorf("print %d: %w", print, ErrUnknown)
	}
	return job, err
}

// seen enters a paper in its table.
func (j *journal) seen(e event) error {
	var p seen
	if err := json.Unmarshal(e.Data, &p); err != nil {
		return err
	}
	if p.Of != 0 {
		if err := j.exec("UPDATE paper SET instead = ?, counts = 0 WHERE event = ?", e.N, p.Of); err != nil {
			return err
		}
	}
	var print any // none
	if p.Print != 0 {
		print = p.Print
	}
	err := j.exec("INSERT INTO paper VALUES (?1,?2,?3,?4,?5,?6,?7, ?4 = 'placed' AND NOT EXISTS (SELECT 1 FROM paper WHERE print = ?5 AND page = ?6 AND counts = 1), NULL)",
		e.N, p.Scan, p.At, string(p.State), print, p.Page, p.Picture)
	for _, b := range p.Boxes {
		if err == nil && b.Keep != "" && b.Is == Marked {
			err = j.exec("INSERT INTO mark VALUES (?,?,?)", e.N, b.ID, b.Keep)
		}
	}
	return err
}

// chosen is what an event of that kind says: the event of the paper that counts.
type chosen struct {
	Paper int64 `json:"paper"`
}

// Choose says that a paper counts, and no other of its page.
func (r *Register) Choose(ctx context.Context, by By, paper int64) error {
	return r.enter(ctx, by, func(j *journal) error {
		p, err := j.paper(paper)
		switch {
		case err != nil:
			return err
		case p.State != Placed || p.Instead != 0:
			return fmt.Errorf("paper %d is not of a page whose boxes were read", paper)
		case p.Counts:
			return nil
		}
		if err := j.isOpen(p.Job); err != nil {
			return err
		}
		return j.add(by, wasChosen, p.Job, chosen{paper})
	})
}

func (j *journal) chosen(e event) error {
	var c chosen
	if err := json.Unmarshal(e.Data, &c); err != nil {
		return err
	}
	return j.exec("UPDATE paper SET counts = (event = ?1) WHERE state = 'placed' AND (print, page) = (SELECT print, page FROM paper WHERE event = ?1)", c.Paper)
}

const paperColumns = "SELECT paper.event, paper.counts, coalesce(paper.instead, 0), event.at, event.who, event.job, event.data FROM paper JOIN event ON event.n = paper.event"

// scanPaper reads a row of paperColumns.
func scanPaper(row interface{ Scan(...any) error }) (Paper, error) {
	var p Paper
	var data []byte
	if err := row.Scan(&p.Event, &p.Counts, &p.Instead, &p.SeenAt, &p.Who, &p.Job, &data); err != nil {
		return p, err
	}
	var s seen
	if err := json.Unmarshal(data, &s); err != nil {
		return p, fmt.Errorf("event %d: %w", p.Event, err)
	}
	p.is(s)
	return p, nil
}

// is takes over what an event says.
func (p *Paper) is(s seen) {
	p.State, p.Scan, p.File, p.At, p.Code, p.Print, p.Page, p.Picture, p.Quality, p.Why, p.Of, p.Boxes = s.State, s.Scan, s.File, s.At, s.Code, s.Print, s.Page, s.Picture, s.Quality, s.Why, s.Of, s.Boxes
}

// paper gives a paper within a change.
func (j *journal) paper(n int64) (Paper, error) {
	s, err := j.statement(paperColumns + " WHERE paper.event = ?")
	if err != nil {
		return Paper{}, err
	}
	return known(n, s.QueryRowContext(j.ctx, n))
}

// Paper gives a paper by its event.
func (r *Register) Paper(ctx context.Context, n int64) (Paper, error) {
	return known(n, r.db.QueryRowContext(ctx, paperColumns+" WHERE paper.event = ?", n))
}

func known(n int64, row *sql.Row) (Paper, error) {
	p, err := scanPaper(row)
	if errors.Is(err, sql.ErrNoRows) {
		err = fmt.Errorf("paper %d: %w", n, ErrUnknown)
	}
	return p, err
}

// Came gives the newest paper that was read from a page of a file; ok is false where none
// was.
func (r *Register) Came(ctx context.Context, scan string, at int) (p Paper, ok bool, err error) {
	p, err = scanPaper(r.db.QueryRowContext(ctx, paperColumns+" WHERE scan = ? AND paper.at = ? ORDER BY paper.event DESC LIMIT 1", scan, at))
	if errors.Is(err, sql.ErrNoRows) {
		return Paper{}, false, nil
	}
	return p, err == nil, err
}

// Papers gives the papers of a print, by page, those that count first.
func (r *Register) Papers(ctx context.Context, print int64) ([]Paper, error) {
	return r.papers(ctx, paperColumns+" WHERE paper.print = ? AND instead IS NULL ORDER BY page, counts DESC, paper.event", print)
}

// ToPlace gives the papers that a person has to place or put aside, the oldest first, at
// most so many.
func (r *Register) ToPlace(ctx context.Context, most int) ([]Paper, error) {
	return r.papers(ctx, paperColumns+" WHERE state NOT IN ('placed', 'aside') AND instead IS NULL ORDER BY paper.event LIMIT ?", most)
}

// Twice gives papers of pages of open jobs that do not count because another that came
// before them does, the newest first, at most so many. What came twice is looked through,
// and not the jobs: CROSS JOIN keeps SQLite to that order.
func (r *Register) Twice(ctx context.Context, most int) ([]Paper, error) {
	return r.papers(ctx, paperColumns+` CROSS JOIN job ON job.id = event.job WHERE paper.counts = 0 AND paper.state = 'placed' AND instead IS NULL AND job.state = 'open'
		AND EXISTS (SELECT 1 FROM paper AS other WHERE other.print = paper.print AND other.page = paper.page AND other.counts = 1 AND other.event < paper.event)
		ORDER BY paper.event DESC LIMIT ?`, most)
}

func (r *Register) papers(ctx context.Context, query string, args ...any) (out []Paper, err error) {
	err = r.each(ctx, func(rows *sql.Rows) error {
		p, err := scanPaper(rows)
		out = append(out, p)
		return err
	}, query, args...)
	return out, err
}

// Pictures hands on the sum of each picture that papers name, once.
func (r *Register) Pictures(ctx context.Context, each func(sum string) error) error {
	return r.each(ctx, func(rows *sql.Rows) error {
		var sum string
		if err := rows.Scan(&sum); err != nil {
			return err
		}
		return each(sum)
	}, "SELECT DISTINCT picture FROM paper WHERE picture <> '' ORDER BY picture")
}
