package compose

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"jobsheaf/internal/calc/wear"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// taken is one reading of a feature in the unit's history.
type taken struct {
	job, day string
	on       time.Time
	name     string // as_left or as_found
	amount   record.Amount
	size     float64 // SI, counted on from the last setting; see track
}

// track gives the readings of a feature since its part was last replaced, oldest
// first.
//
// A part that is replaced begins a new history. What is set and not replaced (an
// end clearance) wears from as left to the next as found and is then set anew; its
// wear is counted on, so that each size is what the reading would be had the
// feature only ever been set as it was the last time. Where one was set with
// nothing read before, the history begins anew.
func (r *run) track(f *record.Feature) []taken {
	var out []taken
	for _, h := range r.Past {
		on, err := time.Parse(time.DateOnly, h.Day.S)
		if err != nil {
			continue
		}
		if f.Replaces.Known() && slices.ContainsFunc(h.Replaced, func(t record.Text) bool { return t.S == f.Replaces.S }) {
			out = nil // what was found was of the old part
		} else if a, ok := h.AsFound[f.Name]; ok {
			out = append(out, taken{h.Job.S, h.Day.S, on, "as_found", a, a.Value.SI()})
		}
		left, ok := h.AsLeft[f.Name]
		if !ok {
			continue
		}
		now := taken{h.Job.S, h.Day.S, on, "as_left", left, left.Value.SI()}
		switch last := len(out) - 1; {
		case last >= 0 && out[last].day == h.Day.S:
			set := now.size - out[last].size
			for i := range out {
				out[i].size += set
			}
		case !f.Replaces.Known():
			out = nil
		}
		out = append(out, now)
	}
	return out
}

// worn is what a feature's history says of its wear.
type worn struct {
	readings []taken
	count    int // days on which readings were taken
	limit    record.Amount
	limitAt  string  // the limit's name
	scale    float64 // by which the fit's lengths are the amounts in SI
	trend    wear.Trend
	forecast wear.Forecast
	none     string // key of the words that say why there is no date; "" where there is one
}

// scaleOf gives by what the amounts of a history are divided for the fit, which takes
// sizes of parts, in metres: 1 for lengths, and for any other kind so much that none is
// larger than a metre. A line and its crossing do not mind.
func scaleOf(f *record.Feature, readings []taken) float64 {
	if kind, _ := f.Kind(); kind == quantity.KindLength {
		return 1
	}
	most := 0.0
	for _, t := range readings {
		most = max(most, math.Abs(t.size))
	}
	for _, a := range []record.Amount{f.RejectBelow, f.RejectAbove} {
		if a.Known() {
			most = max(most, math.Abs(a.Value.SI()))
		}
	}
	if most == 0 {
		return 1
	}
	return most
}

// beside lifts sizes clear of zero for the fit, which takes sizes of parts only: a
// clearance counted on may begin below zero. A line and its crossing do not mind.
const beside quantity.Length = 1

// wornBy fits the history of a feature, once; nil where there are fewer than two
// days or no limit.
func (r *run) wornBy(f *record.Feature) *worn {
	w, done := r.wear[f]
	if !done {
		w = r.fit(f)
		r.wear[f] = w
	}
	return w
}

func (r *run) fit(f *record.Feature) *worn {
	w := &worn{readings: r.track(f)}
	w.scale = scaleOf(f, w.readings)
	var fit []wear.Reading
	for _, t := range w.readings {
		if n := len(fit); n > 0 && fit[n-1].Day.Equal(t.on) {
			continue // as left after as found: the same point, counted on
		}
		fit = append(fit, wear.Reading{Day: t.on, Size: quantity.Length(t.size/w.scale) + beside})
	}
	w.count = len(fit)
	trend, err := wear.Fit(fit)
	if err != nil {
		return nil
	}
	if in := r.Instrument(f.Instrument.S); in != nil {
		trend.Uncertainty = quantity.Length(in.Uncertainty.Value.SI() / w.scale)
	}
	w.trend = trend
	wears := wear.Larger
	w.limit, w.limitAt = f.RejectAbove, "reject_above"
	if f.RejectBelow.Known() && (!f.RejectAbove.Known() || trend.Rate < 0) {
		wears, w.limit, w.limitAt = wear.Smaller, f.RejectBelow, "reject_below"
	}
	if !w.limit.Known() {
		return nil
	}
	limit := quantity.Length(w.limit.Value.SI()/w.scale) + beside
	w.forecast, err = trend.Date(limit, wears)
	switch rate, room := float64(trend.Rate)*float64(wears), float64(limit-trend.At(trend.To))*float64(wears); {
	case err == nil:
	case !(rate > 0):
		w.none = "wear.forecast_no_wear"
	case !(room > 0):
		w.none = "wear.forecast_passed"
	default:
		w.none = "wear.forecast_far"
	}
	if f := &w.forecast; f.Spread && f.Earliest.Before(trend.To) {
		f.Earliest = trend.To // the last reading was within the limit
	}
	return w
}

// forecasts say of each feature whose history tells how fast it wears and when its limit
// is forecast.
func (r *run) forecasts() []packet.Looked {
	if r.Size == nil {
		return nil
	}
	var rows []packet.Looked
	for _, name := range r.featureNames() {
		if f, known := r.Feature(name); known {
			if says := r.forecast(f); says != nil {
				rows = append(rows, packet.Looked{Text: slices.Concat(r.partOf(f), says)})
			}
		}
	}
	return rows
}

// forecast says it of one feature; nothing where the history does not tell.
func (r *run) forecast(f *record.Feature) (says packet.Phrase) {
	w := r.wornBy(f)
	if w == nil {
		return nil
	}
	say := func(label string, p packet.Phrase) {
		says = append(append(says, packet.Span{Text: " · " + label + " "}), p...)
	}
	if w.none != "wear.forecast_no_wear" {
		say(r.Word("wear.rate"), r.rate(f, w))
	}
	from := packet.Span{Text: ", " + r.WordWith("wear.forecast_from", "n", strconv.Itoa(w.count))}
	if w.none != "" {
		say(r.Word("wear.forecast"), packet.Phrase{{Text: r.Word(w.none)}, from})
		return says
	}
	text := r.months(w.forecast)
	p := append(r.Entered(text, r.forecastEntry(f, w, text)), from)
	but := func(key string) { p = append(p, packet.Span{Text: "; " + r.Word(key)}) }
	switch history := w.trend.To.Sub(w.trend.From); {
	case w.count == 2:
		but("wear.forecast_two")
	case !w.forecast.Spread:
		but("wear.forecast_scatter")
	case w.forecast.Day.Sub(w.trend.To) > history:
		but("wear.forecast_beyond")
	}
	if r.dueBy(w) {
		but("wear.forecast_before")
	}
	say(r.Word("wear.forecast"), p)
	return says
}

// dueBy reports whether the limit is forecast for before the job.
func (r *run) dueBy(w *worn) bool {
	return w.none == "" && r.Job.Day.Known() && w.forecast.Day.Format(time.DateOnly) <= r.Job.Day.S
}

// wornOut says on the wear sheet that a part's history has its limit reached by the day of
// the job: whoever measures then looks twice, and has the new part at hand.
func (r *run) wornOut(f *record.Feature) packet.Phrase {
	switch w := r.wornBy(f); {
	case w == nil:
	case w.none == "wear.forecast_passed":
		return packet.Say(r.Word("wear.due_passed"))
	case r.dueBy(w):
		text := r.months(w.forecast)
		when := append(packet.Say(r.Word("wear.forecast")+" "), r.Entered(text, r.forecastEntry(f, w, text))...)
		return append(when, packet.Span{Text: ", " + r.Word("wear.forecast_before")})
	}
	return nil
}

// months prints a forecast to what its spread supports: the month, or only the year.
func (r *run) months(f wear.Forecast) string {
	day := f.Layout()
	if !f.Spread {
		return f.Day.Format(day)
	}
	return f.Day.Format(day) + " (" + f.Earliest.Format(day) + " " + r.Word("to") + " " + f.Latest.Format(day) + ")"
}

// rateShow prints a year's wear, rounded up so that it is never made less.
var rateShow = func() quantity.Show {
	s, err := quantity.ParseShow("up 0.001 mm or 0.0001 in")
	if err != nil {
		panic(err)
	}
	return s
}()

// rate prints how much a feature wears in a year: of what is no length to a tenth of the
// grain of its instrument, rounded up as a length's is.
func (r *run) rate(f *record.Feature, w *worn) packet.Phrase {
	kind, _ := f.Kind()
	apart := quantity.Type{Dim: kind.Type().Dim}
	show, u := rateShow, quantity.Preferred(quantity.KindLength, r.System)
	if kind != quantity.KindLength {
		show = r.ReadingShow(f.Name).Apart()
		for i := range show.Grain {
			show.Grain[i].Step /= 10
		}
		show.Way, u = quantity.Up, show.Grain[r.System].Unit
	}
	year := float64(w.trend.PerYear()) * w.scale
	text := r.WordWith("wear.rate_a_year", "rate", r.TextOf(show, quantity.OfType(math.Abs(year), apart)))
	e := r.historyEntry(f, w, "rate", r.Word("wear.rate_what")+": "+f.Name, text)
	e.Formula, e.SI = r.Word("wear.rate_formula"), new(float64(w.trend.Rate)*w.scale)
	if perTime, err := apart.Over(quantity.KindTime.Type()); err == nil {
		if k, named := perTime.Kind(); named {
			e.Kind = k.String()
		}
	}
	e.Exactly = r.WordWith("wear.rate_a_year", "rate", u.Join(strings.Replace(quantity.Figures(year/u.Factor, 7), ".", r.Decimal, 1)))
	e.Sources = []string{r.Translate(wear.TrendSource)}
	return r.Entered(text, e)
}

// forecastEntry is the working of a forecast.
func (r *run) forecastEntry(f *record.Feature, w *worn, printed string) packet.Entry {
	e := r.historyEntry(f, w, "forecast", r.Word("wear.forecast_what")+": "+f.Name, printed)
	r.rate(f, w)
	rate := r.Entry("features." + f.Name + ".rate") // which has the readings
	e.Inputs = []packet.Input{{Name: rate.Name, Text: rate.Exactly, Key: rate.Key}}
	e.Formula = r.Word("wear.forecast_formula")
	e.Inputs = append(e.Inputs, packet.Input{Name: "features." + f.Name + "." + w.limitAt, Text: w.limit.S, At: packet.Place(w.limit.At)})
	e.Sources = []string{r.Translate(wear.TrendSource), r.Translate(wear.ForecastSource)}
	e.Exactly = w.forecast.Day.Format(time.DateOnly)
	if w.forecast.Spread {
		e.Exactly += " (" + w.forecast.Earliest.Format(time.DateOnly) + " " + r.Word("to") + " " + w.forecast.Latest.Format(time.DateOnly) + ")"
	}
	return e
}

// historyEntry begins an entry whose inputs are the readings of a feature.
func (r *run) historyEntry(f *record.Feature, w *worn, name, what, printed string) packet.Entry {
	e := packet.Entry{Name: "features." + f.Name + "." + name, What: what, Printed: printed}
	for _, t := range w.readings {
		e.Inputs = append(e.Inputs, packet.Input{Name: t.day + " " + t.job + " " + t.name, Text: t.amount.S, At: packet.Place(t.amount.At)})
	}
	return e
}

// hasTrend reports whether a feature's history gives something to draw.
func (r *run) hasTrend(src *procedure.Figure) bool {
	f := r.trendOf(src)
	return f != nil && r.wornBy(f) != nil
}

func (r *run) trendOf(src *procedure.Figure) *record.Feature {
	if src.Feature == nil || r.Size == nil {
		return nil
	}
	return r.Size.Features[src.Feature.Name]
}

// mostDrawn is how many readings the figure takes: of a longer history the last
// are drawn; the forecast is made from all.
const mostDrawn = 60

// trend fills in the figure of a feature's readings, its limit and the forecast.
func (r *run) trend(src *procedure.Figure, f *packet.Figure) []string {
	feature := r.trendOf(src)
	if feature == nil {
		return []string{"feature"}
	}
	w := r.wornBy(feature)
	if w == nil {
		return []string{"unit.history"}
	}
	for _, t := range w.readings[max(0, len(w.readings)-mostDrawn):] {
		f.Lists["days"] = append(f.Lists["days"], t.day)
		f.Series["readings"] = append(f.Series["readings"], r.onAxis(feature, t.amount))
	}
	show := r.ReadingShow(feature.Name)
	f.Numbers["limit"], f.Numbers["us"] = r.onAxis(feature, w.limit), float64(r.System)
	if kind, _ := feature.Kind(); kind != quantity.KindLength {
		f.Texts["unit"] = show.Grain[r.System].Unit.Symbol
	}
	show.Way = quantity.Down
	if w.limitAt == "reject_below" {
		show.Way = quantity.Up
	}
	name, text := "features."+feature.Name+"."+w.limitAt, r.TextOf(show, w.limit.Value)
	r.Entered(text, packet.Entry{
		Name: name, What: r.Word("wear.limit_what") + ": " + feature.Name, Recorded: true, Formula: r.Word("as_recorded"),
		At: packet.Place(w.limit.At), SI: new(w.limit.Value.SI()), Kind: r.kindOf(feature.Name), Exactly: r.WithReason(name, w.limit.S), Printed: text,
	})
	f.Texts["limit"], f.Entries = text, append(f.Entries, name)
	f.Texts["title"] = feature.Part.S + ": " + feature.What.S
	if w.none == "" {
		f.Texts["forecast"] = w.forecast.Day.Format(time.DateOnly)
		if w.forecast.Spread {
			f.Texts["earliest"], f.Texts["latest"] = w.forecast.Earliest.Format(time.DateOnly), w.forecast.Latest.Format(time.DateOnly)
		}
	}
	return nil
}

// onAxis gives an amount of a feature as its drawing takes it: of a length in mm, of any
// other kind in the unit that it is read in.
func (r *run) onAxis(f *record.Feature, a record.Amount) float64 {
	if kind, _ := f.Kind(); kind == quantity.KindLength {
		return a.Value.SI() * 1000
	}
	return a.Value.In(r.ReadingShow(f.Name).Grain[r.System].Unit)
}
