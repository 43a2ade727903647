package register

import (
	"context"
	"database/sql"
)

// Unsure gives the open jobs of some days, both included, of which a paper that counts has
// a box that is unsure, settled since or not: by day and ID, at most so many.
func (r *Register) Unsure(ctx context.Context, from, to string, most int) (jobs []string, err error) {
	err = r.each(ctx, func(rows *sql.Rows) error {
		var id string
		if err := rows.Scan(&id); err != nil {
			return err
		}
		jobs = append(jobs, id)
		return nil
	}, `SELECT job.id FROM job WHERE day >= ? AND day <= ? AND state = 'open' AND EXISTS (
		SELECT 1 FROM print JOIN paper ON paper.print = print.event AND paper.counts = 1 JOIN event ON event.n = paper.event
		WHERE print.job = job.id AND instr(event.data, '"is":"unsure"') > 0) ORDER BY day, job.id LIMIT ?`, from, to, most)
	return jobs, err
}

// Last gives the last event of a job, 0 of one that is not known: what is known of the job
// is the same for as long as that is.
func (r *Register) Last(ctx context.Context, job string) (n int64, err error) {
	err = r.db.QueryRowContext(ctx, "SELECT coalesce(max(n), 0) FROM event WHERE job = ? COLLATE NOCASE", job).Scan(&n)
	return n, err
}
