package formula

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/txtar"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
)

var update = flag.Bool("update", false, "write what is found into testdata; read the difference before it is committed")

// scope is what the tests' expressions may name.
var scope = named{
	"end_clearance.set": Is(quantity.KindLength), "end_clearance.low": Is(quantity.KindLength), "end_clearance.high": Is(quantity.KindLength),
	"gap": Is(quantity.KindLength), "width": Is(quantity.KindLength), "area": Is(quantity.KindArea), "mass": Is(quantity.KindMass),
	"speed": Is(quantity.KindSpeed), "torque_wanted": Is(quantity.KindTorque), "load": Is(quantity.KindForce),
	"temperature": Is(quantity.KindTemperature), "surroundings": Is(quantity.KindTemperature), "rise": Is(quantity.KindTemperatureDifference),
	"inlet": Is(quantity.KindGaugePressure), "outlet": Is(quantity.KindGaugePressure), "vapour": Is(quantity.KindAbsolutePressure), "difference": Is(quantity.KindPressure),
	"slots": Is(quantity.KindNumber), "ratio": Is(quantity.KindNumber), "x": Is(quantity.KindNumber), "y": Is(quantity.KindNumber),
	"built.seal": {Sort: Text, OneOf: []string{"component", "cartridge", "packing"}}, "built.casing": {Sort: Text},
	"half_rings": {Sort: YesNo}, "hot": {Sort: YesNo},
	"joints.head.torque": Is(quantity.KindTorque), "joints.cap.torque": Is(quantity.KindTorque), "joints.head.thread": {Sort: Text},
	"liquid.flash_point": Is(quantity.KindTemperature), "liquid.flash_point.none": {Sort: YesNo},
	"liquid.ph": Is(quantity.KindNumber), "liquid.ph.none": {Sort: YesNo},
}

// record is what is on record in the tests; what it does not hold is missing.
var record = map[string]Value{
	"end_clearance.set": {SI: 1e-4}, "gap": {SI: 1e-4}, "width": {SI: 0.05}, "area": {SI: 4e-4}, "mass": {SI: 12}, "speed": {SI: 29.3},
	"temperature": {SI: 333.15}, "surroundings": {SI: 298.15}, "rise": {SI: 35}, "inlet": {SI: 2e4}, "outlet": {SI: 6e5}, "vapour": {SI: 1e4},
	"difference": {SI: 5.8e5}, "slots": {SI: 4}, "ratio": {SI: 0.7}, "x": {SI: 2},
	"built.seal": {Text: "component"}, "built.casing": {Text: "cast iron"}, "half_rings": {Yes: true}, "hot": {},
	"joints.head.torque": {SI: 85}, "joints.cap.torque": {SI: 40}, "joints.head.thread": {Text: "M12"}, "liquid.flash_point.none": {Yes: true},
}

func env(name string) (Value, bool) { v, ok := record[name]; return v, ok }

var at = diag.Pos{File: "p.yaml", Line: 7, Col: 11}

func compile(t testing.TB, text string) *Formula {
	t.Helper()
	f, probs := check(text, scope, at)
	if f == nil || len(probs) > 0 {
		t.Fatalf("%s:\n%v", text, probs)
	}
	return f
}

// TestMistakes holds each mistake in an expression to its message, place and hint.
func TestMistakes(t *testing.T) {
	const name = "testdata/mistakes.txtar"
	a, err := txtar.ParseFile(name)
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range a.Files {
		text, want, ok := strings.Cut(string(f.Data), "\n----\n")
		if !ok {
			text = strings.TrimSuffix(string(f.Data), "\n")
		}
		got := ""
		formula, probs := check(text, scope, at)
		for _, p := range probs.Sorted() {
			got += p.String() + "\n"
		}
		if formula != nil || len(probs) == 0 {
			t.Errorf("%s: %s: no mistake found", f.Name, text)
		}
		if got != want && !*update {
			t.Errorf("%s: %s\ngot:\n%s\nwant:\n%s", f.Name, text, got, want)
		}
		a.Files[i].Data = []byte(text + "\n----\n" + got)
	}
	if *update {
		if err := os.WriteFile(name, txtar.Format(a), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func TestValues(t *testing.T) {
	for text, want := range map[string]float64{
		"1 + 2 * 3":                           7,
		"7 / 2":                               3.5,
		"-x ** 2":                             -4, // the power binds closer than the sign
		"2 ** 3 ** 2":                         512,
		"gap * width":                         5e-6,
		"sqrt(area)":                          0.02,
		"min(gap, width, q(\"1 mm\"))":        1e-4,
		"max(gap, width)":                     0.05,
		"abs(gap - width)":                    0.0499,
		"temperature - surroundings":          35,
		"temperature + rise":                  368.15,
		"outlet - inlet":                      5.8e5,
		"round(2.5) + floor(2.9) + ceil(2.1)": 8,
		`q("3 thou")`:                         7.62e-5,
		`q("60 degC")`:                        333.15,
		"half_rings ? gap : width":            1e-4,
		`built.seal == "component" ? 1 : 2`:   1,
		`joints["cap"].torque + joints.head.torque`: 125,
		"gap ** -1":                      1e4,
		"x ** 0.5":                       math.Sqrt2,
		"q(\"25 %\") * x":                0.5,
		"known(gap) ? gap : q(\"1 mm\")": 1e-4,
		"known(end_clearance.low) ? gap : q(\"1 mm\")": 1e-3,
		"none(liquid.flash_point) ? 0 : y":             0,
		"1_000 + 0x10":                                 1016,
	} {
		r, err := compile(t, text).eval(env)
		if err != nil || len(r.Missing) > 0 || math.Abs(r.Value.SI-want) > 1e-12*math.Abs(want) {
			t.Errorf("%s = %v, %v; want %v", text, r, err, want)
		}
	}
}

// TestConditions holds conditions to yes, no, or the names that they hang on.
// end_clearance.low and y are not on record.
func TestConditions(t *testing.T) {
	const low, y = "end_clearance.low", "y"
	for text, want := range map[string]any{
		"true":                                   true,
		"half_rings and not hot":                 true,
		"half_rings && hot || x == 2":            true,
		`built.seal in ["component", "packing"]`: true,
		`built.seal not in ["packing"]`:          true,
		`built.casing != "steel"`:                true,
		`q("25.4 mm") == q("1 in")`:              true,
		"half_rings == true":                     true,
		"half_rings == hot":                      false,
		"half_rings != hot":                      true,
		"hot != false":                           false,
		`q("25.4 mm") <= q("1 in")`:              true,
		`q("25.4 mm") < q("1 in")`:               false,
		`q("25.4 mm") >= q("1 in")`:              true,
		`q("25.4 mm") > q("1 in")`:               false,
		`q("25.4 mm") != q("1 in")`:              false,
		`1 < x < 3`:                              true,
		`temperature > q("50 degC")`:             true,
		`known(y)`:                               false,
		`known(gap) and gap > q("1 um")`:         true,
		"y > 1":                                  y,
		"hot and y > 1":                          false, // no, whatever y may be
		"y > 1 and hot":                          false,
		"half_rings or y > 1":                    true,
		"y > 1 or half_rings":                    true,
		"half_rings and y > 1":                   y,
		"y > 1 and half_rings":                   y,
		"y > 1 or hot":                           y,
		"not (y > 1)":                            y,
		"known(y) and y > 1":                     false,
		"y > 1 and end_clearance.low > gap":      low + " " + y,
		"half_rings ? y > 1 : true":              y,
		"hot ? y > 1 : true":                     true,
		"y > 1 ? hot : hot":                      y,
		"min(y, x, y) > 1":                       y,
		"none(liquid.ph)":                        "liquid.ph.none",
		"not none(liquid.flash_point) and liquid.flash_point < temperature": false,
		"x == 3 and 1 / (x - 2) > 1":                                        false, // the first side guards the second
		"y > 1 and 1 / (x - 2) > 1":                                         y,
	} {
		r, err := compile(t, text).eval(env)
		got := any(r.Value.Yes)
		if len(r.Missing) > 0 {
			got = strings.Join(r.Missing, " ")
		}
		if err != nil || got != want {
			t.Errorf("%s: %v, %v; want %v", text, got, err, want)
		}
	}
}

// TestFaults holds the faults of evaluation to their places and words.
func TestFaults(t *testing.T) {
	for text, want := range map[string]string{
		"1 + 1 / (x - 2)":              "p.yaml:7:17: division by zero",
		"1 / (1 / (x - 2))":            "p.yaml:7:18: division by zero",
		"sqrt(x - 3)":                  "p.yaml:7:11: the square root of a number below zero",
		"(x - 3) ** 0.5":               "p.yaml:7:19: the result is not a finite number",
		"10 ** (x * 200)":              "p.yaml:7:14: the result is not a finite number",
		"surroundings - 10 * rise":     "p.yaml:7:24: the result is a temperature below absolute zero",
		"vapour - difference":          "p.yaml:7:18: the result is a pressure below vacuum",
		"y > 1 ? 1 : 2 / (x - 2)":      "",
		"half_rings ? 2 / (x - 2) : 1": "p.yaml:7:26: division by zero",
	} {
		_, err := compile(t, text).eval(env)
		if got := text; err != nil {
			got = err.Error()
			if got != want {
				t.Errorf("%s: %s; want %s", text, got, want)
			}
		} else if want != "" {
			t.Errorf("%s: no error; want %s", text, want)
		}
	}
}

// TestNames holds what a formula says of itself.
func TestNames(t *testing.T) {
	f := compile(t, `known(gap) and joints["cap"].torque > q("2 N.m") and built.seal == "packing"`)
	if got := strings.Join(f.Names(), " "); got != "built.seal gap joints.cap.torque" {
		t.Error(got)
	}
	if f.Type().Sort != YesNo || !strings.HasPrefix(f.Text(), "known") {
		t.Error(f.Type(), f.Text())
	}
	f = compile(t, `torque(nut_factor("oiled"), joints.head.thread, preload(joints.head.thread, "8.8", ratio)) * 2`)
	var calls []string
	for _, fn := range f.Functions() {
		calls = append(calls, fn.Name)
	}
	if got := strings.Join(calls, " "); got != "nut_factor preload stress_area proof_strength torque thread_diameter" {
		t.Error(got)
	}
	if f.Type().String() != "torque" {
		t.Error(f.Type())
	}
}

// TestLines counts places over the lines of a literal block.
func TestLines(t *testing.T) {
	_, probs := check("gap +\nwidth +\n  mas", scope, at)
	if len(probs) != 1 || probs[0].Pos != (diag.Pos{File: "p.yaml", Line: 9, Col: 13}) {
		t.Error(probs)
	}
}

// TestInvolved holds chains within chains, each of which doubles the work, to an
// end.
func TestInvolved(t *testing.T) {
	text := strings.Repeat("(x < ", 100) + "x" + strings.Repeat(" < x)", 100)
	if f, probs := check(text, scope, at); f != nil || len(probs) > 3 || !strings.Contains(fmt.Sprint(probs), "too involved") {
		t.Error(len(probs), f)
	}
}

// TestConcurrent runs one formula from several goroutines; the race detector
// watches.
func TestConcurrent(t *testing.T) {
	f := compile(t, `y > 1 or torque(0.2, "M12", q("20 kN")) > q("40 N.m")`)
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for range 200 {
				if r, err := f.eval(env); err != nil || !r.Value.Yes {
					t.Error(r, err)
				}
			}
		})
	}
	wg.Wait()
}

func BenchmarkEval(b *testing.B) {
	for name, text := range map[string]string{
		"arithmetic": "(gap + width) * ratio / x",
		"condition":  `built.seal == "component" and temperature > q("50 degC")`,
		"function":   `torque(0.2, joints.head.thread, q("20 kN"))`,
	} {
		f := compile(b, text)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := f.eval(env); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func FuzzCompile(f *testing.F) {
	a, err := txtar.ParseFile("testdata/mistakes.txtar")
	if err != nil {
		f.Fatal(err)
	}
	for _, file := range a.Files {
		text, _, _ := strings.Cut(string(file.Data), "\n----\n")
		f.Add(text)
	}
	f.Add(`half_rings ? max(gap, q("3 thou")) : end_clearance.set ** 2 / width`)
	f.Fuzz(func(t *testing.T, text string) {
		formula, probs := check(text, scope, at)
		if (formula == nil) != probs.HasErrors() {
			t.Fatalf("%q: formula %v, problems %v", text, formula, probs)
		}
		lines := strings.Count(text, "\n")
		for _, p := range probs {
			if p.Pos.Line < at.Line || p.Pos.Line > at.Line+lines || p.Pos.Col < at.Col || p.Pos.Col > at.Col+utf8.RuneCountInString(text) {
				t.Fatalf("%q: a place outside the text: %s", text, p.Pos)
			}
			if p.Message == "" || p.Rule == "" {
				t.Fatalf("%q: %+v", text, p)
			}
		}
		if formula == nil {
			return
		}
		r, err := formula.eval(env)
		if err == nil && (math.IsNaN(r.Value.SI) || math.IsInf(r.Value.SI, 0)) {
			t.Fatalf("%q = %v", text, r.Value.SI)
		}
		for _, m := range r.Missing {
			if _, ok := record[m]; ok {
				t.Fatalf("%q: %s is on record", text, m)
			}
		}
	})
}
