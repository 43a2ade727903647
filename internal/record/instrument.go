package record

import (
	"math"
	"strings"

	"jobsheaf/internal/quantity"
	"jobsheaf/internal/source"
)

// apart is how far, as a part of it, an uncertainty may be rounded that is written in
// both systems: it has two figures at most.
const apart = 1. / 10

// instrument reads an instrument.
func (l *loader) instrument(r Record, m *source.Map) *Instrument {
	i := &Instrument{Record: r}
	m.Text("instrument")
	m.Need("resolution: 0.01 mm or 0.0005 in", "uncertainty: 0.004 mm", "source: certificate of the calibration")
	i.Confirmed = confirmed(m)
	m.Text("source")
	i.Resolution = m.Text("resolution")
	uncertainty := m.Text("uncertainty")
	if !i.Resolution.Known() {
		return i
	}
	show, err := quantity.ParseResolution(i.Resolution.S)
	if err != nil {
		i.Resolution.QuantityError(err)
		return i
	}
	if show.Way != quantity.Nearest || strings.HasPrefix(i.Resolution.S, "nearest") {
		i.Resolution.Errorf(0, "quantity", "write it as 0.01 mm or 0.0005 in", "a resolution has no direction of rounding")
	}
	i.Show = show
	kind := differenceOf(show.Grain[0].Unit.Kind)
	low, high := quantity.Of(0, kind), quantity.Of(quantity.Largest, kind)
	i.Stated = uncertainty
	metric, us, both := strings.Cut(uncertainty.S, " or ")
	uncertainty.S = metric
	i.Uncertainty, _ = uncertainty.Amount(kind, quantity.Band{Low: &low, High: &high})
	if uncertainty.S = us; both {
		other, ok := uncertainty.Amount(kind, quantity.Band{Low: &low, High: &high})
		if a, b := i.Uncertainty.Value.SI(), other.Value.SI(); ok && i.Uncertainty.Known() && math.Abs(a-b) > apart*max(a, b) {
			i.Stated.Errorf(0, "quantity", "write one amount in both systems, or the one that the certificate has", "the uncertainties %s and %s are not the same", metric, us)
		}
	}
	return i
}

// differenceOf gives the kind of a difference between two readings of a kind: an
// uncertainty of a temperature is not itself a temperature.
func differenceOf(k quantity.Kind) quantity.Kind {
	if d, ok := (quantity.Type{Dim: k.Type().Dim}).Kind(); ok {
		return d
	}
	return k
}
