package check

import (
	"slices"

	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// flammable are the statements of the flammable liquids, categories 1 to 4.
// Source: UN GHS Rev. 9, 2.6 and annex 3 (H227 at OSHA and UN, not in the EU).
var flammable = []string{"H224", "H225", "H226", "H227"}

// flammableTo is the highest flash point of flammable liquids of categories 1 to
// 3. Source: UN GHS Rev. 9, table 2.6.1.
var flammableTo, _ = quantity.Parse("60 degC", quantity.KindTemperature)

// corrosive are the statements of what harms skin or eyes.
// Source: UN GHS Rev. 9, annex 3.
var corrosive = []string{"H314", "H315", "H318", "H319"}

// hazard: a liquid's data and its statements do not contradict one another. A
// safety data sheet governs, so most of this asks for a second look.
var hazard = rule{
	name: "hazard",
	what: "a liquid's flash point and pH go with its GHS statements, and a liquid that is pumped has a data sheet on record",
	run: func(r *run) {
		pumped := map[string]*record.Unit{}
		for _, u := range r.units() {
			if u.Liquid != nil && pumped[u.LiquidName.S] == nil {
				pumped[u.LiquidName.S] = u
			}
		}
		for _, name := range inOrder(r.Liquids) {
			q := r.Liquids[name]
			if q.Broken() {
				continue // what seems to be missing may be what could not be read
			}
			if pumped[name] != nil && !q.SheetDay.Known() {
				r.warnf(q.At, places(pumped[name].LiquidName.At), "add sheet: {issuer: ..., day: ...}", "%s has no safety data sheet on record", q.String())
			}
			burns, code := says(q, flammable)
			flash, known := q.Scalars["liquid.flash_point"]
			switch {
			case known && flash.Form == record.FormNone && burns:
				r.errorf(flash.At, places(code.At), "look at the data sheet", "%s has flash_point none, and the statement %s of a flammable liquid", q.String(), code)
			case known && flash.Form == record.FormAmount && flash.Value.SI() <= flammableTo.SI() && !burns:
				r.warnf(flash.At, nil, "look at the data sheet (GHS 2.6: up to 60 degC is flammable)", "%s has a flash point of %s and no statement H224, H225 or H226", q.String(), flash.Written)
			case known && flash.Form == record.FormAmount && burns:
				boils := q.Scalars["liquid.boiling_point"]
				want := burning(flash, boils)
				switch {
				case flash.Value.SI() > flash93.SI():
					r.warnf(flash.At, places(code.At), "look at the data sheet (GHS 2.6: above 93 degC is not flammable)", "%s has a flash point of %s, and the statement %s of a flammable liquid", q.String(), flash.Written, code)
				case want != "" && want != code.S:
					r.warnf(code.At, places(flash.At, boils.At), "look at the data sheet (GHS 2.6, table 2.6.1)", "%s has the statement %s, and by its flash point of %s%s it is %s", q.String(), code, flash.Written, boilsAt(boils), want)
				}
			case !known && burns:
				r.warnf(code.At, nil, "add flash_point: ...", "%s is flammable (%s) and has no flash point on record", q.String(), code)
			}
			// A pH of 2 or less, or 11.5 or more, counts as corrosive where nothing else is
			// known. Source: UN GHS Rev. 9, 3.2.3.1.2; 29 CFR 1910.1200 appendix A.2.
			if ph, ok := q.Scalars["liquid.ph"]; ok && ph.Form == record.FormAmount && (ph.Value.SI() <= 2 || ph.Value.SI() >= 11.5) {
				if harms, _ := says(q, corrosive); !harms {
					r.errorf(ph.At, nil, "look at the data sheet (GHS 3.2: 2 and less, 11.5 and more)", "%s has a pH of %s and none of the statements H314, H315, H318, H319", q.String(), ph.Written)
				}
			}
		}
	},
}

// The borders of the flammable categories.
// Source: UN GHS Rev. 9, table 2.6.1.
var (
	flash23, _ = quantity.Parse("23 degC", quantity.KindTemperature)
	flash93, _ = quantity.Parse("93 degC", quantity.KindTemperature)
	boil35, _  = quantity.Parse("35 degC", quantity.KindTemperature)
)

// burning gives the statement of a liquid that burns, by its flash point and its
// boiling point; "" where the two do not tell.
// Source: UN GHS Rev. 9, table 2.6.1 and annex 3.
func burning(flash, boils record.Scalar) string {
	const tolerance = 1e-6 // K, the error of converting a unit
	switch f := flash.Value.SI(); {
	case f >= flash93.SI()+tolerance:
		return ""
	case f > flammableTo.SI()+tolerance:
		return "H227"
	case f >= flash23.SI()-tolerance:
		return "H226"
	case boils.Form == record.FormNone || boils.Form == record.FormAmount && boils.Value.SI() > boil35.SI()+tolerance:
		return "H225"
	case boils.Form == record.FormAmount:
		return "H224"
	}
	return ""
}

func boilsAt(boils record.Scalar) string {
	if boils.Form != record.FormAmount {
		return ""
	}
	return " and its boiling point of " + boils.Written
}

// says reports whether a liquid has one of some statements, and the first of them.
func says(q *record.Liquid, codes []string) (bool, record.Text) {
	for _, s := range q.Statements {
		if slices.Contains(codes, s.S) {
			return true, s
		}
	}
	return false, record.Text{}
}
