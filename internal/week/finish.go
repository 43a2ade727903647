package week

import (
	"cmp"
	"io"
	"slices"
	"strings"

	"jobsheaf/internal/front"
	"jobsheaf/internal/pdf"
	"jobsheaf/internal/words"
)

// putLedger writes a ledger. It is not among the files that it lists.
func (o *output) putLedger(name string, l *Ledger) error {
	d, err := o.Create(name)
	if err != nil {
		return o.passed(err)
	}
	if err := l.Encode(d); err != nil {
		d.Drop()
		return err
	}
	return o.passed(d.Keep())
}

// Finish writes the front matter of a list whose parts were joined, and then its
// ledger. Before is the ledger of the run before; nil where there was none.
func Finish(to Output, l, before *Ledger, words words.Catalogue) (*Result, error) {
	l.Words = words
	r := &Result{Ledger: l}
	out := newOutput(to, before)
	for _, f := range l.Files {
		out.files[f.Name] = f
	}
	err := r.finish(out, before, nil)
	r.Restored, r.Obstacles = out.restored, out.obstacles
	return r, err
}

// finish writes the front matter of a whole list and then its ledger: that it is
// there says that the run came to its end.
func (r *Result) finish(out *output, before *Ledger, cancelled []string) error {
	l := r.Ledger
	var err error
	if l.Withdraw, err = out.withdrawals(l, before, cancelled); err != nil {
		return err
	}
	r.Stale = slices.DeleteFunc(r.Stale, func(name string) bool { // these are named with their jobs
		return slices.ContainsFunc(l.Withdraw, func(w front.Withdrawal) bool { return slices.Contains(w.Files, name) })
	})
	var hurt []File // of the front matter, which is made again in any case
	for name, was := range out.before {
		if strings.HasPrefix(name, frontIn) {
			now, err := out.file(name)
			if err != nil {
				return err
			}
			if now != was {
				hurt = append(hurt, was)
			}
		}
	}
	if err := r.front(out); err != nil {
		return err
	}
	for _, was := range sortedFiles(hurt) {
		if out.files[was.Name] == was { // it should have been as it is now
			out.restore(was.Name)
		}
	}
	if err := out.missing(); err != nil {
		return err
	}
	l.Files = out.list()
	r.Files = slices.DeleteFunc(r.Files, func(name string) bool { return !strings.HasPrefix(name, changedIn) && !r.wrote(name) })
	return out.putLedger(LedgerName, l)
}

// front writes the front matter.
func (r *Result) front(out *output) error {
	var drafts []Draft
	defer func() {
		for _, d := range drafts {
			d.Drop()
		}
	}()
	tables, err := front.NewTables(func(name string) (io.Writer, error) {
		d, err := out.create(frontIn + name)
		if err == nil {
			drafts = append(drafts, d)
		}
		return d, err
	})
	if err != nil {
		return err
	}
	for f := range front.Weeks(&r.Ledger.Run, r.Ledger.frontJobs(), r.Ledger.Refused, r.Ledger.Withdraw) {
		tables.Add(&f)
		doc, list := f.LayOut()
		r.Problems = append(r.Problems, list...)
		if list.HasErrors() {
			continue
		}
		name := frontIn + cmp.Or(f.Week, "refused") + ".pdf"
		d, err := out.create(name)
		if err != nil {
			return err
		}
		if err := pdf.Write(d, doc); err != nil {
			d.Drop()
			return err
		}
		if err := d.Keep(); err != nil {
			return err
		}
		if _, written := out.files[name]; written {
			r.Files = append(r.Files, name)
		}
	}
	if err := tables.Close(); err != nil {
		return err
	}
	for len(drafts) > 0 {
		d := drafts[0]
		drafts = drafts[1:]
		if err := d.Keep(); err != nil {
			return err
		}
	}
	return nil
}
