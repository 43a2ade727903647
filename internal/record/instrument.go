package record

import (
	"strings"

	"jobsheaf/internal/quantity"
	"jobsheaf/internal/source"
)

// instrument reads an instrument.
func (l *loader) instrument(r Record, m *source.Map) *Instrument {
	i := &Instrument{Record: r}
	m.Text("instrument")
	m.Need("resolution: 0.01 mm or 0.0005 in", "uncertainty: 0.004 mm", "source: certificate of the calibration")
	m.Text("source")
	i.Resolution = m.Text("resolution")
	uncertainty := m.Text("uncertainty")
	if !i.Resolution.Known() {
		return i
	}
	show, err := quantity.ParseShow(i.Resolution.S)
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
	i.Uncertainty, _ = uncertainty.Amount(kind, quantity.Band{Low: &low, High: &high})
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
