package typein

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/quantity"
)

// mm asks for a clearance as the demo's step 10.4 does.
func mm() *manifest.Ask {
	return &manifest.Ask{For: manifest.ForReading, Step: "10.4", Label: "Smallest", Unit: "mm", Low: new(0.09), High: new(0.13),
		Limits: "target 0.11\u00a0mm, 0.09 to 0.13\u00a0mm", Last: "0.10\u00a0mm, 2025-03-04"}
}

func plainly(unit string) *manifest.Ask { return &manifest.Ask{For: manifest.ForReading, Unit: unit} }

func TestWhatATypedNumberMeans(t *testing.T) {
	for _, c := range []struct {
		text string
		ask  *manifest.Ask
		sign Sign
		want string // value, or what is wrong
	}{
		{"0.11", mm(), '.', "0.11"},
		{"0,11", mm(), '.', "0.11"},
		{" .11 ", mm(), '.', "0.11"},
		{"0.110", mm(), '.', "0.110"},
		{"0.11mm", mm(), '.', "0.11"},
		{"0.11\u00a0 mm", mm(), '.', "0.11"},
		{"+0.11", mm(), '.', "0.11"},
		{"-0.05", plainly("mm"), '.', "-0.05"},
		{"− 0,05 mm", plainly("mm"), ',', "-0.05"},
		{"–0.05", plainly("mm"), '.', "-0.05"},
		{"-0.00", plainly("mm"), '.', "0.00"},
		{"0031.94", plainly("mm"), '.', "31.94"},
		{"000", plainly("mm"), '.', "0"},
		// Of three digits behind a sign nothing shows what is meant, unless it is the page's.
		{"1,234", plainly("mm"), '.', "1,234 may be 1.234 or 1234"},
		{"1,234", plainly("mm"), ',', "1.234"},
		{"1.234", plainly("mm"), '.', "1.234"},
		{"1.234", plainly("mm"), ',', "1.234 may be 1,234 or 1234"},
		{"1.234", plainly("mm"), 0, "no page shows which sign"},
		{"1,234", plainly("mm"), 0, "no page shows which sign"},
		{"-12,345 mm", plainly("mm"), '.', "may be 12.345 or 12345"},
		{"0,315", plainly("mm"), '.', "0.315"},
		{",315", plainly("mm"), '.', "0.315"},
		{"1234,567", plainly("mm"), '.', "1234.567"},
		{"1,2345", plainly("mm"), '.', "1.2345"},
		{"1,23", plainly("mm"), '.', "1.23"},
		{"1,234.5", plainly("mm"), '.', "such as 1234.5"},
		{"1.234,5", plainly("mm"), ',', "such as 1234,5"},
		{"1,234,567", plainly("mm"), '.', "such as 1234567"},
		{"1'234", plainly("mm"), '.', "such as 1234"},
		{"1 234", plainly("mm"), '.', "more than one number"},
		{"1\u00a0234", plainly("mm"), '.', "more than one number"},
		{"5.", plainly("mm"), '.', "ends in its decimal sign"},
		{"0.11 0.12", mm(), '.', "more than one number"},
		{"0.11-0.12", mm(), '.', "not a unit"},
		{"0.11..0.12", mm(), '.', "is a band and not a reading"},
		{"±0.05", mm(), '.', "± is not part of a reading"},
		{"0.11 ± 0.01", mm(), '.', "± is not part of a reading"},
		{"<0.02", mm(), '.', "is a bound and not a reading"},
		{"> 500", plainly("MΩ"), '.', "is a bound and not a reading"},
		{"1e-3", mm(), '.', "not a unit"},
		{"0x11", mm(), '.', "not a unit"},
		{"NaN", mm(), '.', "does not begin with a number"},
		{"abc", mm(), '.', "does not begin with a number"},
		{"", mm(), '.', "nothing is typed"},
		{"\x1b[D0.11", mm(), '.', "does not print"},
		{"0.11\xff", mm(), '.', "UTF-8"},
		{"٠٫١١", mm(), '.', "does not begin with a number"},
		{"0.1234567890123456", plainly("mm"), '.', "more digits than an instrument"},
		{strings.Repeat("9", 3000), mm(), '.', "more than 2000 bytes"},
		// Another unit, to as many digits as were typed.
		{"0.3155 in", plainly("mm"), '.', "8.014"},
		{"0,3155 in", plainly("mm"), ',', "8.014"},
		{"0.0043\"", mm(), '.', "0.109"},
		{"4.3 thou", mm(), '.', "0.109"},
		{"32 °F", &manifest.Ask{For: manifest.ForReading, Unit: "°C", High: new(0.)}, '.', "0.0"},
		{"110 µm", mm(), '.', "0.110"},
		{"110 um", mm(), '.', "0.110"},
		{"11 cm", plainly("mm"), '.', "110"},
		{"75 F", plainly("°C"), '.', "23.9"},
		{"350 K", plainly("°C"), '.', "77"},
		{"-300 °C", plainly("°C"), '.', "below absolute zero"},
		{"6.1 bar", plainly("bar(g)"), '.', "6.1"},
		{"88 psi", plainly("bar(g)"), '.', "6.07"},
		{"6.1 bar(a)", plainly("bar(g)"), '.', "measures an absolute pressure where a gauge pressure is wanted"},
		{"500 MOhm", plainly("GΩ"), '.', "0.500"},
		{"1450 1/min", plainly("rpm"), '.', "1450"},
		{"30 deg", plainly("°"), '.', "30"},
		{"0.11 N·m", mm(), '.', "measures a torque where a length is wanted"},
		{"0.11 furlong", mm(), '.', "not a unit"},
		{"11.5", plainly(""), '.', "11.5"},
		{"11.5 A", plainly(""), '.', "a number without a unit"},
		{"3 drops", plainly("drops"), '.', "3"},
		{"3 mm", plainly("drops"), '.', "it asks for drops"},
		{"99999999999999", plainly("m"), '.', "too large"},
		{"999999999999999 m", plainly("µm"), '.', "too large"},
		{"9999999999 m", plainly("µm"), '.', "more than an instrument shows"},
		// Fractions.
		{"1 1/4 in", plainly("mm"), '.', "31.75"},
		{"1/64 in", plainly("mm"), '.', "0.40"},
		{"1 1/4", plainly("in"), '.', "1.25"},
		{"-1-1/4\"", plainly("in"), '.', "-1.25"},
		{"3/128", plainly("in"), '.', "0.0234375"},
		{"1/4 turn", plainly("turn"), '.', "0.25"},
		{"1 1/4", plainly("mm"), '.', "a fraction is of an inch"},
		{"1/3 in", plainly("mm"), '.', "is on no rule"},
		{"1/0 in", plainly("mm"), '.', "is on no rule"},
		{"1/256 in", plainly("mm"), '.', "is on no rule"},
	} {
		got, err := Read(c.text, c.ask, c.sign)
		switch {
		case err != nil && !strings.Contains(err.Error(), c.want):
			t.Errorf("%q, asked for %q, is refused: %v, want %s", c.text, c.ask.Unit, err, c.want)
		case err == nil && (got.Value != c.want || got.Unit != c.ask.Unit):
			t.Errorf("%q, asked for %q, is %s %s, want %s", c.text, c.ask.Unit, got.Value, got.Unit, c.want)
		}
		if _, typed := err.(*unread); err != nil && !typed {
			t.Errorf("%q: the error is a %T", c.text, err)
		}
	}
}

func TestWordsAndDays(t *testing.T) {
	for _, c := range []struct {
		of         manifest.For
		text, want string
	}{
		{manifest.ForReading, "-", "missing"},
		{manifest.ForReading, "N/A", "missing"},
		{manifest.ForReading, "—", "missing"},
		{manifest.ForDue, "2027-03-31", "2027-03-31"},
		{manifest.ForDue, "2027-03", "2027-03-01"},
		{manifest.ForDue, "03/04/2027", "not a day"},
		{manifest.ForDue, "2027-02-30", "not a day"},
		{manifest.ForDue, "n/a", ""},
		{manifest.ForNumber, "FG-0042", ""},
		{manifest.ForWords, "bushing dry: 0,2 mm", ""},
		{manifest.ForWords, "a\x07b", "does not print"},
	} {
		got, err := Read(c.text, &manifest.Ask{For: c.of}, '.')
		is := got.Value
		if got.Missing {
			is = "missing"
		}
		if err != nil && (c.want == "" || !strings.Contains(err.Error(), c.want)) || err == nil && (is != c.want || got.Text != c.text) {
			t.Errorf("%s %q is %q %q (%v), want %q", c.of, c.text, is, got.Text, err, c.want)
		}
	}
	for text, ok := range map[string]bool{"worn, replaced": true, "见图": true, "": false, "0.2": false, "!!": false, "a\nb": false} {
		if _, err := Why(text); (err == nil) != ok {
			t.Errorf("the reason %q: %v", text, err)
		}
	}
}

func TestTheVerdict(t *testing.T) {
	low := func(x float64, limits string) *manifest.Ask {
		return &manifest.Ask{For: manifest.ForReading, Unit: "mm", Low: &x, Limits: limits}
	}
	target := &manifest.Ask{For: manifest.ForReading, Unit: "bar(g)", Limits: "target 7.5\u00a0bar(g)"}
	spanish := &manifest.Ask{For: manifest.ForReading, Unit: "mm", Low: new(0.09), High: new(0.13), Limits: "0,09 a 0,13\u00a0mm"}
	worn := &manifest.Ask{For: manifest.ForReading, Unit: "mm", Last: "31.94\u00a0mm (1.257\u00a0in), 2025-03-04"}
	both := &manifest.Ask{For: manifest.ForReading, Unit: "mm", Low: new(0.09), High: new(0.13), Limits: "0.09 to 0.13\u00a0mm (0.0036 to 0.0051\u00a0in)"}
	for _, c := range []struct {
		text string
		ask  *manifest.Ask
		sign Sign
		want string
		why  bool
	}{
		{"0.09", mm(), '.', "within", false},
		{"0.13", mm(), '.', "within", false},
		{"0.130", mm(), '.', "within", false},
		{"0.1301", mm(), '.', "OUTSIDE: 0.0001 mm above 0.13 mm", true},
		{"0.15", mm(), '.', "OUTSIDE: 0.02 mm above 0.13 mm", true},
		{"0.08", mm(), '.', "OUTSIDE: 0.01 mm below 0.09 mm", true},
		{"0.1", mm(), '.', "within; coarser than the 0.01 mm of the page", false},
		{"1.1", mm(), '.', "OUTSIDE: 0.97 mm above 0.13 mm; 0.11 mm would be within; coarser than the 0.01 mm of the page", true},
		{"0.011", mm(), '.', "OUTSIDE: 0.079 mm below 0.09 mm; 0.11 mm would be within", true},
		{"0,15", spanish, ',', "OUTSIDE: 0,02 mm above 0,13 mm", true},
		{"-0.11", mm(), '.', "OUTSIDE: 0.20 mm below 0.09 mm", true},
		{"31.94", low(31.91, "at least 31.91\u00a0mm"), '.', "within", false},
		{"319.4", low(31.91, "at least 31.91\u00a0mm"), '.', "within; 10 times the 31.91 mm of the page; coarser than the 0.01 mm of the page", false},
		{"3.194", low(31.91, "at least 31.91\u00a0mm"), '.', "OUTSIDE: 28.716 mm below 31.91 mm", true},
		{"0.01", &manifest.Ask{For: manifest.ForReading, Unit: "mm", High: new(0.13), Limits: "at most 0.13\u00a0mm"}, '.', "within", false},
		{"75", target, '.', "10 times the 7.5 bar(g) of the page; coarser than the 0.1 bar(g) of the page", false},
		{"0.75", target, '.', "the 7.5 bar(g) of the page is 10 times as much", false},
		{"7.4", target, '.', "", false},
		{"3.19", worn, '.', "the 31.94 mm of last time is 10 times as much", false},
		{"319.4", worn, '.', "10 times the 31.94 mm of last time", false},
		{"1.257 in", worn, '.', "", false},
		{"0.11", both, '.', "within", false},
		{"0.004 in", both, '.', "within; coarser than the 0.01 mm of the page", false},
		{"0.0051 in", both, '.', "within", false},
		// Rounded it would be 0.130, and it is above: it keeps the digits that show it.
		{"0.00512 in", both, '.', "OUTSIDE: 0.00005 mm above 0.13 mm", true},
		{"-", mm(), '.', "not measured", true},
		{"5", plainly("mm"), '.', "", false},
	} {
		got, err := Read(c.text, c.ask, c.sign)
		if err != nil || got.Verdict.Say() != c.want || got.Verdict.NeedsWhy() != c.why {
			t.Errorf("%q gives %q, needs a reason %v (%v), want %q, %v", c.text, got.Verdict.Say(), got.Verdict.NeedsWhy(), err, c.want, c.why)
		}
	}
}

// Of numbers in any unit of a kind: what is kept is the amount that was typed, to half of
// its last digit, and stands on the same side of every limit.
func TestConversionKeepsTheAmountAndItsSide(t *testing.T) {
	rnd := rand.New(rand.NewPCG(12, 9))
	seen := 0
	for range 60000 {
		kind := []quantity.Kind{quantity.KindLength, quantity.KindTemperature, quantity.KindTorque, quantity.KindGaugePressure, quantity.KindFlow, quantity.KindResistance}[rnd.IntN(6)]
		units := quantity.Symbols(kind)
		from, to := units[rnd.IntN(len(units))], units[rnd.IntN(len(units))]
		if to == "K" {
			continue // a page that asks for it asks for a difference
		}
		u, ok := quantity.UnitNamed(to, kind)
		places := rnd.IntN(5)
		text := strconv.FormatFloat(rnd.Float64()*100, 'f', places, 64)
		v, err := quantity.Parse(text+" "+from, kind)
		if !ok || err != nil {
			t.Fatal(text, from, to, err)
		}
		exact := v.In(u)
		// A limit close by is the hard case.
		limit, _ := strconv.ParseFloat(strconv.FormatFloat(exact*(1+(rnd.Float64()-0.5)*1e-4), 'g', 1+rnd.IntN(6), 64), 64)
		ask := &manifest.Ask{For: manifest.ForReading, Unit: to, High: &limit}
		got, err := Read(text+" "+from, ask, '.')
		if err != nil {
			if !strings.Contains(err.Error(), "more than an instrument shows") {
				t.Fatalf("%s %s in %s: %v", text, from, to, err)
			}
			continue
		}
		seen++
		is, _ := strconv.ParseFloat(got.Value, 64)
		w, _ := v.Written()
		step := math.Pow10(-places) * w.Factor / u.Factor
		if math.Abs(is-exact) > step/2*(1+1e-6)+math.Abs(exact)*1e-12 {
			t.Errorf("%s %s is %s %s, and exactly %.12g: more than half of the last digit off", text, from, got.Value, to, exact)
		}
		if outside := exact > limit+1e-9*math.Abs(limit); outside && got.Verdict.Is != isOutside {
			t.Errorf("%s %s is %s %s, %s: it is above %v", text, from, got.Value, to, got.Verdict.Is, limit)
		}
		if v.SI() == 0 && kind == quantity.KindTemperature {
			continue // rounded, absolute zero may lie below itself
		}
		again, err := Read(got.Value+" "+to, ask, '.')
		if err != nil || again.Value != got.Value || again.Verdict.Is != got.Verdict.Is {
			t.Errorf("%s %s, kept as %s %s, is read again as %s, %s (%v)", text, from, got.Value, to, again.Value, again.Verdict.Is, err)
		}
	}
	if seen < 50000 {
		t.Errorf("only %d were read", seen)
	}
}

// Whatever is typed, Read does not panic; what it accepts, printed and read again, is the
// same number.
func FuzzRead(f *testing.F) {
	for i, text := range []string{"0.11", "1,234", "1 1/4 in", "0.3155 in", "-", "±5", "<0.02", "1'000", "75 F", "6 bar(a)", "−5,5 °C", "1e9", ".5", "5.", "1450 1/min"} {
		f.Add(text, byte(i), byte(i%3))
	}
	units := []string{"mm", "in", "°C", "bar(g)", "", "N·m", "drops", "turn", "K", "%", "GΩ", "°"}
	f.Fuzz(func(t *testing.T, text string, unit, sign byte) {
		ask := &manifest.Ask{For: manifest.ForReading, Unit: units[int(unit)%len(units)], Low: new(-0.5), High: new(10.25), Last: text, Limits: text}
		got, err := Read(text, ask, []Sign{0, '.', ','}[sign%3])
		if err != nil {
			if got.Value != "" || err.Error() == "" {
				t.Errorf("%q: %+v, %v", text, got, err)
			}
			return
		}
		if got.Missing != (got.Value == "") {
			t.Fatalf("%q is %+v", text, got)
		}
		_ = got.Verdict.Say()
		if got.Missing {
			return
		}
		again, err := Read(got.Print(), ask, '.')
		if err != nil || again.Value != got.Value || again.Verdict.Is != got.Verdict.Is {
			t.Errorf("%q is kept as %q, which is read as %q (%v)", text, got.Print(), again.Value, err)
		}
	})
}
