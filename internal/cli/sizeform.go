package cli

import (
	"context"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// printSizeForm prints a form for what the procedures want of a size of a design
// and the record lacks. A size that is not in the table yet lacks everything but
// what all sizes share.
func printSizeForm(ctx context.Context, s Streams, dir, design, size string) error {
	st, err := openSite(dir)
	if err != nil {
		return err
	}
	d := st.book.Designs[design]
	if d == nil {
		return fmt.Errorf("there is no design %q on record%s; there are %s", design, orMeant(design, slices.Sorted(maps.Keys(st.book.Designs))), names(st.book.Designs))
	}
	target := d.Sizes[size]
	if target == nil {
		target = newSize(d, size)
	}
	lacks, refused, err := st.wantedOf(ctx, target)
	if err != nil {
		return err
	}
	if len(lacks) == 0 && len(refused) > 0 {
		if err := tell(s.Err, st.excerpts, refused, false); err != nil {
			return err
		}
		return errRefused
	}
	return writeSizeForm(s.Out, st.book, target, lacks)
}

// newSize gives a size that has nothing but what all sizes of its design share,
// and the names of their parts.
func newSize(d *record.Design, name string) *record.Size {
	s := &record.Size{Name: name, Design: d, Source: d.Source.S, At: d.At, Scalars: map[string]record.Scalar{},
		Joints: map[string]*record.Joint{}, Features: map[string]*record.Feature{}, Assemblies: map[string]*record.Assembly{}}
	own := func(at diag.Pos) bool { // of one size alone
		for _, o := range d.Sizes {
			if at.Compare(o.From) >= 0 && at.Compare(o.To) < 0 {
				return true
			}
		}
		return false
	}
	texts := func(of ...*record.Text) {
		for _, t := range of {
			if own(t.At) {
				*t = record.Text{}
			}
		}
	}
	amounts := func(of ...*record.Amount) {
		for _, a := range of {
			if own(a.At) {
				*a = record.Amount{}
			}
		}
	}
	for _, name := range slices.Sorted(maps.Keys(d.Sizes)) {
		o := d.Sizes[name]
		for term, v := range o.Scalars {
			if !own(v.At) {
				s.Scalars[term] = v
			}
		}
		s.JointOrder = addParts(s.JointOrder, s.Joints, o.JointOrder, o.Joints, func(j *record.Joint) {
			texts(&j.Thread, &j.Grade, &j.Seat, &j.Condition, &j.Method)
			amounts(&j.Count, &j.Circle, &j.Fraction)
		})
		s.FeatureOrder = addParts(s.FeatureOrder, s.Features, o.FeatureOrder, o.Features, func(f *record.Feature) {
			amounts(&f.New, &f.RejectBelow, &f.RejectAbove)
		})
		s.AssemblyOrder = addParts(s.AssemblyOrder, s.Assemblies, o.AssemblyOrder, o.Assemblies, func(a *record.Assembly) {
			amounts(&a.Mass)
		})
	}
	return s
}

// addParts adds to the parts of a size copies of those of another that it lacks,
// stripped of what is the other's own, and gives the order of all.
func addParts[P any](order []string, parts map[string]*P, others []string, of map[string]*P, strip func(*P)) []string {
	for _, name := range others {
		if parts[name] == nil {
			p := *of[name]
			strip(&p)
			parts[name], order = &p, append(order, name)
		}
	}
	return order
}

// wantedOf rehearses every procedure on units of a size, built in every way that
// the site's terms know, and gives what they want of the size.
func (st *site) wantedOf(ctx context.Context, size *record.Size) (lacks map[string]*diag.Lack, refused diag.List, err error) {
	units := st.likeUnits(size)
	var jobs []*record.Job
	at := size.At
	for i, u := range units {
		u.ID, u.Design, u.Size = "FORM-"+strconv.Itoa(i+1), size.Design, size
		u.DesignName, u.SizeName = record.Text{S: size.Design.ID, At: at}, record.Text{S: size.Name, At: at}
		st.book.Units[u.ID] = u
		for _, p := range st.library.Names() {
			if st.composer.Fits(u, p) {
				jobs = append(jobs, &record.Job{ID: record.Text{S: "form", At: at}, Unit: record.Text{S: u.ID, At: at}, Procedure: record.Text{S: p, At: at}, Day: record.Text{S: "2000-01-01", At: at}, At: at})
			}
		}
	}
	lacks = map[string]*diag.Lack{}
	maker := &printjob.Maker{Composer: st.composer}
	err = maker.Rehearse(ctx, jobs, func(list diag.List) {
		for _, p := range list {
			switch {
			case p.Lack != nil && p.Lack.In == "design "+size.Design.ID+", size "+size.Name:
				if had := lacks[p.Lack.Name]; had != nil {
					had.For = append(had.For, p.Lack.For...)
				} else {
					lacks[p.Lack.Name] = p.Lack
				}
			case p.Rule == "refused":
				refused.Add(p)
			}
		}
	})
	return lacks, refused.Sorted(), err
}

// mostLike is how many units are rehearsed as they are: what one of them is used
// for asks for values that another does not need.
const mostLike = 20

// likeUnits gives copies of units of the size's design, or of any where it has
// none, and one of them built in every way.
func (st *site) likeUnits(size *record.Size) (out []*record.Unit) {
	var of, any []*record.Unit
	for _, id := range slices.Sorted(maps.Keys(st.book.Units)) {
		u := st.book.Units[id]
		if u.Broken() || u.Liquid != nil && u.Liquid.Broken() {
			continue
		}
		any = append(any, u)
		if u.Design == size.Design {
			of = append(of, u)
		}
	}
	switch {
	case len(of) > 0:
		any = of
	case len(any) == 0:
		any = []*record.Unit{{}}
	}
	for _, u := range any[:min(len(any), mostLike)] {
		c := *u
		out = append(out, &c)
	}
	return append(out, waysBuilt(st.book, any[0])...)
}

// waysBuilt gives copies of a unit, built in each way that a term built.* allows, one
// after another, with all else as it is.
func waysBuilt(book *record.Book, u *record.Unit) []*record.Unit {
	var out []*record.Unit
	built := func(as record.Scalar) {
		c := *u
		c.Kind, c.Problems = "unit", nil
		c.Scalars = maps.Clone(u.Scalars)
		if c.Scalars == nil {
			c.Scalars = map[string]record.Scalar{}
		}
		c.Scalars[as.Name] = as
		out = append(out, &c)
	}
	for _, name := range slices.Sorted(maps.Keys(book.Terms)) {
		t := book.Terms[name]
		if !strings.HasPrefix(name, "built.") {
			continue
		}
		as := record.Scalar{Name: name, Term: t, Form: t.Form, At: u.At}
		for _, word := range t.Words {
			as.Text, as.Written = word, word
			built(as)
		}
		if t.Form == record.FormYesNo {
			for _, yes := range []bool{false, true} {
				as.Yes, as.Written = yes, strconv.FormatBool(yes)
				built(as)
			}
		}
	}
	return out
}

// ofParts says what follows a key of a joint, feature or assembly.
var ofParts = map[string]string{
	"count": "a whole number", "thread": "a thread", "grade": "a grade of bolts", "seat": "hex or socket", "circle": "length, in mm or in", "condition": "of the threads",
	"method": "of tightening", "fraction": "of proof load, a number", "passes": "fractions of the torque, such as [a, b, 1]", "torque": "a band of torque, where it is not computed", "torque_source": "where the torque is from",
	"new": "length, in mm or in", "reject_below": "length, in mm or in; or reject_above", "reject_above": "length, in mm or in; or reject_below", "mass": "mass, in kg or lb",
}

// writeSizeForm writes the form: a key a line, in the shape in which the record has
// it, nothing behind it, and what is wanted in a comment. A key that stays empty is
// an error of the record, so that nothing is put in by half.
func writeSizeForm(w io.Writer, book *record.Book, size *record.Size, lacks map[string]*diag.Lack) error {
	root := &formKey{}
	for _, name := range slices.Sorted(maps.Keys(lacks)) {
		path := strings.Split(name, ".")
		comment := ""
		if t := book.Terms[name]; t != nil {
			if t.Of != "" {
				t, path = book.Terms[t.Of], strings.Split(t.Of, ".")
			}
			comment = t.What + ": " + valueOf(t)
		} else if len(path) > 2 {
			key := path[2]
			switch {
			case strings.HasPrefix(key, "pass_"):
				key = "passes"
			case key == "recorded":
				key = "torque"
			}
			path = []string{path[0], path[1], key}
			comment = ofParts[key]
		}
		root.add(path, comment, lacks[name].For)
	}
	head := fmt.Sprintf("# Size %s of %s lacks nothing that a procedure needs.\n", size.Name, size.Design.String())
	if len(lacks) > 0 {
		head = fmt.Sprintf("# Size %s of %s lacks %s that a procedure needs.\n", size.Name, size.Design.String(), plural(len(lacks), "value")) +
			"# Write them in, delete the lines of what is not known, and put the rest into\n# " + size.Design.At.File + ". A key with nothing behind it is an error there.\nsizes:\n  " + strconv.Quote(size.Name) + ":\n"
	}
	_, err := io.WriteString(w, head+root.text("    "))
	return err
}

// valueOf says what the value of a term may be.
func valueOf(t *record.Term) string {
	band := ""
	if t.Form == record.FormBand {
		band = "a band of "
	}
	switch {
	case t.Form == record.FormYesNo:
		return "true or false"
	case len(t.Words) > 0:
		return strings.Join(t.Words, ", ")
	case t.Form == record.FormWords:
		return "text"
	case t.Whole:
		return "a whole number"
	}
	metric, us := quantity.ASCII(quantity.Preferred(t.Kind, quantity.Metric).Symbol), quantity.ASCII(quantity.Preferred(t.Kind, quantity.US).Symbol)
	switch {
	case metric == "":
		return band + t.Kind.String()
	case metric == us:
		return band + t.Kind.String() + ", in " + metric
	}
	return band + t.Kind.String() + ", in " + metric + " or " + us
}

// formKey is a key of the form with what is below it.
type formKey struct {
	name, comment string
	use           []string
	below         []*formKey
}

func (k *formKey) add(path []string, comment string, use []string) {
	if len(path) == 0 {
		k.comment, k.use = comment, append(k.use, use...)
		return
	}
	i := slices.IndexFunc(k.below, func(b *formKey) bool { return b.name == path[0] })
	if i < 0 {
		i = len(k.below)
		k.below = append(k.below, &formKey{name: path[0]})
	}
	k.below[i].add(path[1:], comment, use)
}

// text writes what is below a key, at an indent.
func (k *formKey) text(indent string) string {
	var b strings.Builder
	for _, c := range k.below {
		if len(c.below) > 0 {
			fmt.Fprintf(&b, "%s%s:\n%s", indent, c.name, c.text(indent+"  "))
			continue
		}
		slices.Sort(c.use)
		comment := c.comment
		if comment != "" {
			comment += "; "
		}
		fmt.Fprintf(&b, "%s%s:  # %sfor %s\n", indent, c.name, comment, diag.Some(slices.Compact(c.use), 3))
	}
	return b.String()
}
