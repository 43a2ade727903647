package record

import "strings"

// Scalar gives a single value as a unit sees it: site.* of its site, built.*,
// duty.*, piping.*, drive.* and unit.* of its own, liquid.* of what it pumps, any other
// name of its size. ok is false where the value is not on record.
func (b *Book) Scalar(u *Unit, name string) (s Scalar, ok bool) {
	first, _, dotted := strings.Cut(name, ".")
	if !dotted {
		first = ""
	}
	switch first {
	case "site":
		if b.Site != nil {
			s, ok = b.Site.Scalars[name]
		}
	case "built", "duty", "piping", "drive", "unit":
		s, ok = u.Scalars[name]
	case "liquid":
		if u.Liquid != nil {
			s, ok = u.Liquid.Scalars[name]
		}
	default:
		if u.Size != nil {
			s, ok = u.Size.Scalars[name]
		}
	}
	return s, ok
}
