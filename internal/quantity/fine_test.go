package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func must(t *testing.T, text string, k Kind) Value {
	t.Helper()
	v, err := Parse(text, k)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestAnInstrumentSuitsABand(t *testing.T) {
	for _, c := range []struct {
		low, high, grain string
		u                float64 // m
		want             string  // "" where it suits
	}{
		{"0.08 mm", "0.12 mm", "0.01 mm", 1e-5, ""},
		{"0.081 mm", "0.121 mm", "0.01 mm", 1e-5, "holds 4 readings of 0.01"},
		{"8.021 mm", "8.029 mm", "0.01 mm", 1e-6, "holds 0 readings"},
		{"8.015 mm", "8.025 mm", "0.01 mm", 1e-6, "holds 1 reading of"},
		{"8.015 mm", "8.025 mm", "0.001 mm", 4e-6, ""},
		{"8.015 mm", "8.025 mm", "0.001 mm", 5e-6, ""},
		{"8.015 mm", "8.025 mm", "0.001 mm", 5.1e-6, "narrower than twice the uncertainty of 5.1\u00a0µm"},
		{"0.003 in", "0.005 in", "0.0005 in", 1e-5, ""},
		{"0.003 in", "0.0045 in", "0.0005 in", 1e-5, "holds 4 readings"},
	} {
		g, err := parseGrain(c.grain)
		if err != nil {
			t.Fatal(err)
		}
		low, high := must(t, c.low, KindLength), must(t, c.high, KindLength)
		err = g.Suits(Band{Low: &low, High: &high}, c.u)
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s to %s by %s: %v, want %q", c.low, c.high, c.grain, err, c.want)
		}
		var e *Unsuited
		if !errors.As(err, &e) {
			continue
		}
		// What is said to do does, wherever the band lies on the grid.
		would := Grain{Unit: g.Unit, Step: e.Grain / g.Unit.Factor}
		if err := would.Suits(Band{Low: &low, High: &high}, e.Uncertainty); err != nil {
			t.Errorf("%s to %s: even %g m and %g m do not suit: %v", c.low, c.high, e.Grain, e.Uncertainty, err)
		}
	}
	low := must(t, "0.08 mm", KindLength)
	g, _ := parseGrain("0.01 mm")
	if err := g.Suits(Band{Low: &low}, 1); err != nil {
		t.Errorf("a band open at an end: %v", err)
	}
	if err := g.Suits(Band{Low: &low, High: &low}, math.NaN()); err == nil {
		t.Error("a band without width suits")
	}
	if err := g.Suits(Band{Low: &low, High: new(must(t, "1 mm", KindLength))}, math.NaN()); err == nil {
		t.Error("an uncertainty that is no number suits")
	}
	a, b := must(t, "50 degC", KindTemperature), must(t, "52 degC", KindTemperature)
	g, _ = parseGrain("1 degC")
	if err := g.Suits(Band{Low: &a, High: &b}, 0.5); err == nil || !strings.Contains(err.Error(), "band of 2\u00a0K") {
		t.Errorf("a band of temperatures: %v", err)
	}
}

func TestTheGrainFollowsWhatIsPrinted(t *testing.T) {
	for _, c := range []struct {
		show    string
		amounts []string
		want    []string
	}{
		{"0.01 mm or 0.0005 in", []string{"7.965 mm"}, []string{"7.965 mm (0.3136 in)"}},
		{"0.01 mm or 0.0001 in", []string{"7.965 mm"}, []string{"7.965 mm (0.3136 in)"}},
		{"0.01 mm or 0.0005 in", []string{"0.03 mm"}, []string{"0.03 mm (0.0012 in)"}},
		{"0.01 mm or 0.0005 in", []string{"0.12 mm"}, []string{"0.12 mm (0.0045 in)"}},
		{"0.01 mm or 0.0005 in", []string{"8.021 mm", "8.029 mm"}, []string{"8.021 mm (0.31580 in)", "8.029 mm (0.31610 in)"}},
		{"0.5 mm or 1/64 in", []string{"1 mm"}, []string{"1.0 mm (0.040 in)"}},
		{"0.5 mm or 1/64 in", []string{"23.5 mm"}, []string{"23.5 mm (59/64 in)"}},
		{"1 degC", []string{"60 degC"}, []string{"60 °C (140 °F)"}},
	} {
		s, err := ParseShow(c.show)
		if err != nil {
			t.Fatal(err)
		}
		kind := s.Grain[0].Unit.Kind
		var amounts []Value
		for _, a := range c.amounts {
			amounts = append(amounts, must(t, a, kind))
		}
		s = s.Following(amounts...)
		for i, a := range amounts {
			if got := s.Text(a, Systems{Both: true}, "."); strings.ReplaceAll(got, "\u00a0", " ") != c.want[i] {
				t.Errorf("%s of %v: %s, want %s", c.show, c.amounts, got, c.want[i])
			}
		}
	}
	// What was computed is not written in any unit: no digits are made up for it.
	s, _ := ParseShow("0.01 mm or 0.0005 in")
	if got := s.Following(Of(0.1079e-3, KindLength)).Grain[Metric].Step; got != 0.01 {
		t.Errorf("a computed amount prints to %g mm", got)
	}
	if got := s.Following().Grain; got != s.Grain {
		t.Errorf("nothing to follow gives %v", got)
	}
	if got := s.Following(Of(0, KindLength)).Grain; got != s.Grain {
		t.Errorf("nothing follows zero: %v", got)
	}
}

// What arithmetic takes off a step does not cost the step.
func TestStepsOfOneTwoFive(t *testing.T) {
	for x, want := range map[float64]float64{
		0.01: 0.01, 0.01 * (1 - 1e-12): 0.01, 0.0199: 0.01, 0.02 * (1 - 1e-12): 0.02, 0.049: 0.02, 0.05 * (1 - 1e-12): 0.05, 0.099: 0.05, 300: 200,
	} {
		if got := oneTwoFive(x); math.Abs(got/want-1) > 1e-9 {
			t.Errorf("%g: %g, want %g", x, got, want)
		}
	}
}
