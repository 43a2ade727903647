package quantity

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"strconv"
	"strings"
	"testing"
)

// bands are kinds with the ways in which templates and instruments print them, and
// between which amounts, in SI.
var bands = []struct {
	kind     Kind
	show     string
	low, top float64
}{
	{KindLength, "0.01 mm or 0.0005 in", 1e-5, 0.3}, {KindLength, "0.001 mm or 0.0001 in", -5e-5, 5e-4}, {KindLength, "0.5 mm or 1/64 in", 1e-3, 0.5},
	{KindTorque, "0.5 N.m or 0.5 ft.lbf", 5, 900}, {KindTorque, "0.1 N.m or 1 in.lbf", 0.3, 15},
	{KindTemperature, "1 degC or 1 degF", 210, 620}, {KindGaugePressure, "0.1 bar(g) or 1 psi(g)", -1e5, 4e6}, {KindAbsolutePressure, "0.01 bar(a) or 0.1 psi(a)", 1e3, 6e6},
	{KindPressure, "1 bar or 10 psi", 1e5, 3e7}, {KindFlow, "0.1 m3/h or 0.5 gal/min", 1e-5, 0.1}, {KindMass, "0.5 kg or 1 lb", 0.5, 900},
	{KindPower, "0.1 kW or 0.1 hp", 50, 4e5}, {KindForce, "1 kN or 100 lbf", 1e3, 5e5}, {KindVolume, "0.1 L or 0.1 gal", 1e-4, 0.8},
	{KindDynamicViscosity, "0.1 mPa.s or 0.1 cP", 2e-4, 60}, {KindVelocity, "0.01 m/s or 0.1 ft/s", 0.01, 30}, {KindPressureVelocity, "0.01 MPa.m/s or 100 psi.ft/min", 1e4, 1e7},
	{KindTemperatureDifference, "1 K or 1 delta degF", 1, 200},
}

// Bands of random amounts, printed in both systems and read back by GNU Units, lie
// within what was to be printed, and by less than a step: each system is rounded
// inward by itself, from the amount and not from what the other one prints.
func TestBandsInBothSystemsAgainstGNUUnits(t *testing.T) {
	const each = 20 // of each kind, in both systems, at both ends
	rng := rand.New(rand.NewPCG(5, 6))
	type end struct {
		what       string
		want, step float64 // SI
		upper      bool
	}
	var ends []end
	var ask bytes.Buffer
	for _, c := range bands {
		show, err := ParseShow(c.show)
		if err != nil {
			t.Fatal(err)
		}
		for range each {
			lo := c.low + (c.top-c.low)*math.Pow(rng.Float64(), 3)
			for _, g := range show.Grain {
				step := g.Step * g.Unit.Factor
				hi := lo + step*(1+20*rng.Float64())
				l, h := Of(lo, c.kind), Of(hi, c.kind)
				text, ok := g.BandText(Band{&l, &h}, ".", [3]string{"to", "at least", "at most"})
				if !ok {
					t.Fatalf("a band of %v to %v is closed by %s", lo, hi, c.show)
				}
				number := strings.TrimRight(strings.TrimSuffix(text, g.Unit.Symbol), "\u00a0")
				one, other, both := strings.Cut(number, " to ")
				if !both {
					t.Fatalf("%q is no band", text)
				}
				name, known := gnu[g.Unit.Symbol]
				if !known {
					name = strings.TrimSuffix(strings.TrimSuffix(g.Unit.Symbol, "(g)"), "(a)")
				}
				for i, printed := range []string{one, other} {
					printed = strings.Replace(strings.Replace(printed, "−", "-", 1), " ", "+", 1) // 1 3/64 is 1+3/64
					printed = strings.ReplaceAll(printed, "/", "|")
					switch {
					case c.kind == KindTemperature:
						fmt.Fprintf(&ask, "temp%s(%s)\nK\n", strings.TrimPrefix(g.Unit.Symbol, "°"), printed)
					default:
						fmt.Fprintf(&ask, "(%s) %s\n%s\n", printed, name, si(c.kind.Type()))
					}
					ends = append(ends, end{text, []float64{lo, hi}[i], step, i == 1})
				}
			}
		}
	}
	cmd := exec.Command("units", "-t", "-d", "15")
	cmd.Stdin = &ask
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("GNU Units did not run (testdata/install-tools installs it): %v", err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(lines) != len(ends) {
		t.Fatalf("asked for %d amounts, %d answers", len(ends), len(lines))
	}
	for i, e := range ends {
		got, err := strconv.ParseFloat(strings.TrimSpace(lines[i]), 64)
		if err != nil {
			t.Fatalf("%s: GNU Units says %q", e.what, lines[i])
		}
		inward := got - e.want
		if e.upper {
			inward = -inward
		}
		if inward < -1e-6*e.step || inward >= e.step*(1+1e-6) {
			t.Errorf("%q: an end of %.9g is printed as %.9g, %.3g of a step inward", e.what, e.want, got, inward/e.step)
		}
	}
	t.Logf("%d ends of bands", len(ends))
}
