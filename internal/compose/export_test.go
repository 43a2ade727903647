package compose

import (
	"jobsheaf/internal/order"
	"jobsheaf/internal/record"
)

// Order gives what the rules of order run for a job; ok is false where it cannot be
// printed.
func (c *Composer) Order(job *record.Job) (m order.Machine, steps []order.Step, ok bool) {
	n, _ := c.plans.Job(job)
	if n == nil {
		return m, nil, false
	}
	r := &run{Numbers: n, c: c}
	return r.machine(), r.doing(), true
}
