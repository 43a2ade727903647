package record

import (
	"cmp"
	"fmt"
	"slices"

	"jobsheaf/internal/diag"
)

// Refusal gives why a job may not be printed: a record that it depends on has an
// error, or is not there. nil says that the records let it be printed. Errors that
// check finds count once they are attached (Attach).
func (b *Book) Refusal(j *Job) *diag.Problem { return b.refusal(j, false) }

// FormRefusal gives why not even an empty form may be printed of a job: it may
// lack any record but that of the site, and none may have an error.
func (b *Book) FormRefusal(j *Job) *diag.Problem { return b.refusal(j, true) }

func (b *Book) refusal(j *Job, form bool) *diag.Problem {
	p := &diag.Problem{Pos: j.At, Severity: diag.Error, Rule: "refused"}
	refuse := func(format string, args ...any) *diag.Problem {
		p.Message = fmt.Sprintf("job %s is not printed: ", cmp.Or(j.ID.S, "without a name")) + fmt.Sprintf(format, args...)
		return p
	}
	blame := func(problems diag.List) {
		for _, q := range problems {
			if q.Severity == diag.Error && len(p.Related) < 5 && !slices.Contains(p.Related, q.Pos) {
				p.Related = append(p.Related, q.Pos)
			}
		}
	}
	u := b.Units[j.Unit.S]
	switch {
	case j.Broken():
		blame(j.Problems)
		return refuse("its own entry has an error")
	case j.List != nil && j.List.Broken():
		blame(j.List.Problems)
		return refuse("its list has an error")
	case b.Site == nil:
		return refuse("there is no site record")
	case u == nil && form:
		u = &Unit{}
	case u == nil:
		p.Pos = j.Unit.At
		return refuse("the unit %s is not on record", j.Unit)
	}
	for _, r := range b.leansOn(u) {
		if r.Broken() {
			blame(r.Problems)
			return refuse("the record of %s has an error", r)
		}
	}
	switch {
	case u.Size != nil && u.Size.Broken():
		blame(u.Size.problems)
		return refuse("the size %s of the %s has an error", u.Size.Name, u.Design.String())
	case form:
		return nil
	case u.Design == nil:
		p.Related = []diag.Pos{u.DesignName.At}
		return refuse("the design %s of its unit is not on record", u.DesignName)
	case u.Size == nil:
		p.Related = []diag.Pos{u.SizeName.At}
		return refuse("the size %s of its unit is not in the design", u.SizeName)
	case u.LiquidName.Known() && u.Liquid == nil:
		p.Related = []diag.Pos{u.LiquidName.At}
		return refuse("the liquid %s of its unit is not on record", u.LiquidName)
	}
	return nil
}

// leansOn gives the records that every packet of a unit is made from.
func (b *Book) leansOn(u *Unit) []*Record {
	on := []*Record{&b.Site.Record, &u.Record} // and what stands of its history apart
	if u.Design != nil {
		on = append(on, &u.Design.Record)
	}
	if u.Liquid != nil {
		on = append(on, &u.Liquid.Record)
	}
	return append(on, u.apart...)
}
