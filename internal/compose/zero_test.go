package compose_test

import (
	"os"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
)

// plantPack is the packet of a unit of the plant that presses on the procedures.
func plantPack(t *testing.T, unit, procedure string, edits ...edit) *packet.Packet {
	t.Helper()
	p, problems := open(t, edited(t, os.DirFS("../../testdata/plants/pressing"), edits...)).composer.Make(formJob(unit, procedure))
	if p == nil {
		t.Fatal(problems)
	}
	return p
}

// said is all that a sheet says in headings, lists, alerts, signatures and steps, a line
// each.
func said(s *packet.Sheet) string {
	var out strings.Builder
	var walk func([]packet.Block)
	walk = func(blocks []packet.Block) {
		for i := range blocks {
			b := &blocks[i]
			if b.Heading != nil {
				out.WriteString("# " + b.Heading.Text + "\n")
			}
			if b.List != nil {
				for _, it := range b.List.Items {
					out.WriteString(it.Text.String() + "\n")
				}
			}
			if b.Alert != nil {
				for _, l := range append(b.Alert.Lines, b.Alert.Text) {
					out.WriteString(l.String() + "\n")
				}
			}
			if b.Sign != nil {
				for _, row := range b.Sign.Rows {
					out.WriteString(row.Role + ": " + row.For.String() + "\n")
				}
			}
			if s := b.Step; s != nil {
				out.WriteString(s.Number + " " + s.Text.String() + "\n")
				for _, l := range s.How {
					out.WriteString(l.String() + "\n")
				}
			}
			if b.Beside != nil {
				walk(b.Beside.Left)
				walk(b.Beside.Right)
			}
			walk(b.Keep)
		}
	}
	walk(s.Blocks)
	return strings.ReplaceAll(out.String(), "\u00a0", " ")
}

// The ticks of zero energy name the step at which they are made, and who on this site
// may make them.
func TestZeroEnergyNamesItsStep(t *testing.T) {
	for procedure, step := range map[string]string{"rebuild-component-seal": "2.3", "reset-end-clearance": "2.1"} {
		p := pack(t, "P-214", procedure)
		cover, steps := said(sheetOf(p, "cover")), said(sheetOf(p, "steps"))
		for _, want := range []string{"# Zero energy: tick at step " + step + ", not before\n", "by a second person: fitter with lock-out training, not of this job\n"} {
			if !strings.Contains(cover, want) {
				t.Errorf("%s: the cover does not say %q:\n%s", procedure, want, cover)
			}
		}
		if !strings.Contains(steps, step+" Prove zero energy") {
			t.Errorf("%s: step %s does not prove zero energy", procedure, step)
		}
	}
}

// Of a gas that kills the first aid begins with nobody going in, and its limit stands on
// the cover; of another gas the limit alone.
func TestGasThatKills(t *testing.T) {
	const liquids = "liquids/liquids.yaml"
	cover := said(sheetOf(plantPack(t, "P-501", "rebuild-component-seal"), "cover"))
	for _, want := range []string{"# First aid\nDo not go in for someone down from hydrogen sulphide. Call.", "The gas meter passes 5.0 ppm.\n"} {
		if !strings.Contains(cover, want) {
			t.Errorf("the cover does not say %q:\n%s", want, cover)
		}
	}
	cover = said(sheetOf(plantPack(t, "P-501", "rebuild-component-seal", edit{liquids, "gas_limit: 5\n", "gas_limit: 20\n"}), "cover"))
	if strings.Contains(cover, "Do not go in") || !strings.Contains(cover, "The gas meter passes 20.0 ppm.\n") {
		t.Errorf("a gas with a limit of 20 ppm:\n%s", cover)
	}
}

// What runs from the jacket, what is slung and where the tracing is shut off print where
// it is done, as NOT ON RECORD where the record does not say.
func TestJacketDriveAndTracing(t *testing.T) {
	const units = "units/units.yaml"
	for name, c := range map[string]struct {
		edits []edit
		want  []string
	}{
		"on record": {nil, []string{"thermal oil: up to 14.0 L, at 220 °C.", "Sling the drive, 120.0 kg,", "First shut off and lock the electric tracing, E2.", "take all locks off the tracing, E2,", "Sling it, 45.0 kg."}},
		"not": {[]edit{
			{units, ", jacket_volume: 14 L, jacket_temperature: 220 degC, tracing: electric", ""}, {units, ", mass: 120 kg", ""},
			{units, "  - {point: E2, energy: electrical, device: tracing breaker 01T, where: switch room 2, put: off and locked, prove: its ammeter reads zero, at: tracing}\n", ""},
		}, []string{"thermal oil: up to NOT ON RECORD, at NOT ON RECORD.", "Sling the drive, NOT ON RECORD,", "May apply: First shut off and lock the NOT ON RECORD tracing"}},
	} {
		text := said(sheetOf(plantPack(t, "P-501", "rebuild-component-seal", c.edits...), "steps"))
		for _, want := range c.want {
			if !strings.Contains(text, want) {
				t.Errorf("%s: the steps do not say %q:\n%s", name, want, text)
			}
		}
	}
}
