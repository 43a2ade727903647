package register

import (
	"context"
	"database/sql"
	"encoding/json"
	"strings"
)

// Kept is something of a packet that belongs to the history of its unit: a number that was
// typed in, or a box that is marked.
type Kept struct {
	Unit, Job, Day string
	Print          int64
	Page           int
	Keep           string   // under which name, such as "as_left bore" or "replaced bushing"
	Reading        *Reading // of a number
}

// kepts is what is kept of the jobs that are not void: numbers, then marks seen on papers
// that count and that nobody settled, then marks that a person settled.
const kepts = `SELECT job.unit, job.id, job.day, reading.print, 0, keep, event.n, event.at, event.who, event.data
	FROM job JOIN print ON print.job = job.id JOIN reading ON reading.print = print.event JOIN event ON event.n = reading.event
	WHERE keep <> '' AND job.state <> 'void' AND {unit}
UNION ALL SELECT job.unit, job.id, job.day, paper.print, paper.page, mark.keep, 0, '', '', ''
	FROM job JOIN print ON print.job = job.id JOIN paper ON paper.print = print.event JOIN mark ON mark.paper = paper.event
	WHERE paper.counts = 1 AND NOT EXISTS (SELECT 1 FROM settled WHERE settled.print = paper.print AND settled.box = mark.box) AND job.state <> 'void' AND {unit}
UNION ALL SELECT job.unit, job.id, job.day, settled.print, 0, keep, 0, '', '', event.data
	FROM job JOIN print ON print.job = job.id JOIN settled ON settled.print = print.event JOIN event ON event.n = settled.event
	WHERE keep <> '' AND mark = 'marked' AND job.state <> 'void' AND {unit}
ORDER BY 3, 2, 4 DESC, 7`

// Kept hands on what is kept of a unit, of all where the name is "": by the day of the jobs
// and their names, of each the newest print first.
func (r *Register) Kept(ctx context.Context, unit string, each func(Kept) error) error {
	which, args := "true", []any(nil)
	if unit != "" {
		which, args = "job.unit = ?1", []any{unit}
	}
	return r.each(ctx, func(rows *sql.Rows) error {
		var k Kept
		var t Reading
		var data []byte
		if err := rows.Scan(&k.Unit, &k.Job, &k.Day, &k.Print, &k.Page, &k.Keep, &t.Event, &t.At, &t.Who, &data); err != nil {
			return err
		}
		switch {
		case t.Event != 0:
			var said typed
			if err := json.Unmarshal(data, &said); err != nil {
				return err
			}
			t.is(said)
			k.Page, k.Reading = t.Page, &t
		case len(data) > 0:
			var said settled
			if err := json.Unmarshal(data, &said); err != nil {
				return err
			}
			k.Page = said.Page
		}
		return each(k)
	}, strings.ReplaceAll(kepts, "{unit}", which), args...)
}
