package compose_test

import (
	"strings"
	"testing"

	"jobsheaf/internal/packet"
)

// sheetOf gives a sheet of a packet; nil where it has none of that name.
func sheetOf(p *packet.Packet, id string) *packet.Sheet {
	for i := range p.Sheets {
		if p.Sheets[i].ID == id {
			return &p.Sheets[i]
		}
	}
	return nil
}

func pack(t *testing.T, unit, procedure string, edits ...edit) *packet.Packet {
	t.Helper()
	p, problems := open(t, demo(t, "soapworks", edits...)).composer.Make(formJob(unit, procedure))
	if p == nil {
		t.Fatal(problems)
	}
	return p
}

// The wear sheet has a row for each part that can be replaced, with a drawing, room for
// readings, a verdict and the part as left. What the job replaces anyway is not judged,
// and what is set has no row.
func TestWearSheet(t *testing.T) {
	rows := func(procedure string) map[string][]string {
		out := map[string][]string{}
		for _, row := range sheetOf(pack(t, "P-214", procedure), "wear").Blocks[1].Table.Rows {
			name := row.Cells[0].Figure.Texts["feature"]
			for _, c := range row.Cells {
				for _, b := range c.Blanks {
					out[name] = append(out[name], strings.TrimPrefix(b.ID, "wear."+name+"."))
				}
			}
		}
		return out
	}
	for procedure, want := range map[string]map[string]string{
		"rebuild-component-seal":  {"idler_pin_diameter": "A B reuse replace as-left number due", "idler_length": "A B C reuse replace as-left number due", "bracket_bushing_bore": "A B reuse replace as-left number due", "end_clearance": ""},
		"rebuild-bracket-bushing": {"idler_pin_diameter": "A B reuse replace as-left number due", "bracket_bushing_bore": "replaced as-left number due"},
	} {
		got := rows(procedure)
		for name, places := range want {
			if s := strings.Join(got[name], " "); s != places {
				t.Errorf("%s: the row of %s asks for %q, want %q", procedure, name, s, places)
			}
		}
		if len(got) != 10 {
			t.Errorf("%s: the wear sheet has %d rows, want 10", procedure, len(got))
		}
	}
	if s := sheetOf(pack(t, "P-214", "reset-end-clearance"), "wear"); s != nil {
		t.Error("a job that measures no worn part has a wear sheet")
	}
}

// The sign-off says who may sign: beside the role's signature, or where it has none, at
// its hold point.
func TestWhoMaySign(t *testing.T) {
	signs := edit{"site.yaml", "signs:\n", "signs:\n  seal fitter: one of the two seal fitters\n"}
	s := sheetOf(pack(t, "P-214", "rebuild-component-seal", signs), "signoff")
	said := ""
	for _, b := range s.Blocks {
		for _, k := range b.Keep {
			if k.Sign != nil {
				for _, row := range k.Sign.Rows {
					said += row.Role + ": " + row.For.String() + "\n"
				}
			}
			if k.List != nil {
				for _, it := range k.List.Items {
					said += it.Text.String() + "\n"
				}
			}
		}
	}
	for _, want := range []string{"Second person: fitter with lock-out training, not of this job\n", "Operations: shift lead\n", ": second person\n"} {
		if !strings.Contains(said, want) {
			t.Errorf("the sign-off does not say %q:\n%s", want, said)
		}
	}
	if strings.Contains(said, "second person, fitter") {
		t.Error("a hold point says who may sign in a role that has a row of its own")
	}
	own := edit{"site.yaml", "signs:\n  mechanic", "signs:\n  Planner: another\n  mechanic"}
	if p, _ := open(t, demo(t, "soapworks", edit{"site.yaml", "  planner: rotating equipment planner\n", ""}, own)).composer.Make(formJob("P-214", "rebuild-component-seal")); p == nil || !strings.Contains(toText(sheetOf(p, "signoff")), "another") {
		t.Error("a role in capitals is not found")
	}
}

func toText(s *packet.Sheet) string {
	out := ""
	for _, b := range s.Blocks {
		for _, k := range b.Keep {
			if k.Sign != nil {
				for _, row := range k.Sign.Rows {
					out += row.For.String() + "\n"
				}
			}
		}
	}
	return out
}
