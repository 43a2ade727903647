package compose_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"math"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/record"
	"jobsheaf/templates"

	"pgregory.net/rapid"
)

const readingsSite = "../../testdata/readings"

// filesOf copies a site's files, with what changes in them put for what was there.
func filesOf(t testing.TB, dir string, changes ...[3]string) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	err := fs.WalkDir(os.DirFS(dir), ".", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(os.DirFS(dir), file)
		out[file] = &fstest.MapFile{Data: data}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range changes {
		if !bytes.Contains(out[c[0]].Data, []byte(c[1])) {
			t.Fatalf("%s does not hold %q", c[0], c[1])
		}
		out[c[0]].Data = bytes.Replace(out[c[0]].Data, []byte(c[1]), []byte(c[2]), 1)
	}
	return out
}

// units of the readings of the site, by the page's system, with what a number in them is in SI.
var readingUnits = map[string]map[string]float64{"metric": {"mm": 1e-3, "°C": 1}, "us": {"in": 0.0254, "mm": 1e-3, "°F": 5. / 9}}

// What a person works out on the sheet, with the numbers and signs that are printed, is
// what explain gives for the same readings, in both unit systems: each sum as it stands,
// and each column of a table.
func TestWorksheetsByHandAreWhatExplainGives(t *testing.T) {
	// A harder set of formulas than the procedure's own: units that differ, brackets within
	// brackets, min and max, a choice, signs.
	harder := [3]string{"procedures/align-by-dials.yaml", "  low:\n", `  odd:
    what: An odd sum
    is: 'min(readings.rim_bottom, q("1 mm")) - (align.sag - readings.face_bottom) * 2 - (known(align.sag) ? max(readings.face_bottom, -readings.rim_bottom) : q("1 m")) / (30 - readings.rim_bottom / align.gap)'
    source: common practice, no source
    show: 0.01 mm or 0.0005 in
  leak:
    what: Flow that the gap lets by
    is: (readings.rim_bottom + q("2 mm")) * align.rotor_length * q("0.3 m/s")
    source: common practice, no source
    show: 0.1 L/min or 0.1 gal/min
  share:
    what: Share of the gap
    is: 2 - (readings.rim_bottom + 2 * readings.face_bottom) / (readings.rim_left * 3 + align.gap * 4) + max(0.5, readings.face_bottom / align.gap)
    source: common practice, no source
    show: 0.1 %
  low:
`}
	shows := [3]string{"procedures/align-by-dials.yaml", `"Shim the front feet by {shim_front}."`, `"Shim the front feet by {shim_front}, {odd}, {leak}."`}
	share := [3]string{"procedures/align-by-dials.yaml", `{offset.target}."`, `{offset.target}, {share}."`}
	for system, toSI := range readingUnits {
		s := open(t, filesOf(t, readingsSite, harder, shows, share, [3]string{"site.yaml", "units: metric", "units: " + system}))
		job := s.book.Lists["week"].Jobs[0]
		p, problems := s.composer.Make(job)
		if p == nil {
			t.Fatal(problems)
		}
		sums := 0
		rapid.Check(t, func(rt *rapid.T) {
			typed, box := map[string]float64{}, map[string]float64{} // by the name of the reading or value
			units := map[string]string{}
			var flags [][2]string
			for _, name := range []string{"rim_bottom", "face_bottom", "rim_left"} {
				typed[name] = float64(rapid.IntRange(-80, 80).Draw(rt, name)) / 100
			}
			eachStep(p, func(st *packet.Step) {
				for _, w := range st.Work {
					for _, b := range w.Blanks() {
						for name := range typed {
							if isBoxOf(b.ID, name) {
								units[name] = b.Unit
								box[b.ID] = typed[name]
							}
						}
					}
				}
			})
			for name, x := range typed {
				flags = append(flags, [2]string{name, fmt.Sprintf("%v %s", x, units[name])})
			}
			got, list, err := s.composer.WorkOut(job, flags, nil)
			if err != nil || list.HasErrors() {
				rt.Fatalf("%v %v", err, list)
			}
			si := map[string]float64{}
			for _, e := range got.Entries {
				si[e.Name] = *e.SI
			}
			results := map[string]float64{}
			eachStep(p, func(st *packet.Step) {
				for _, w := range st.Work {
					if w.Sum == nil {
						continue
					}
					last := w.Sum.Terms[len(w.Sum.Terms)-1].Blank
					for _, term := range w.Sum.Terms[:len(w.Sum.Terms)-2] {
						if term.Blank != nil {
							for name, x := range results {
								if isBoxOf(term.Blank.ID, name) {
									box[term.Blank.ID] = x
								}
							}
						}
					}
					h := &byHand{rt, w.Sum.Terms, box}
					x := h.sum()
					if h.next() != "=" || len(h.terms) != 2 {
						rt.Fatalf("%s: %d terms are left", last.ID, len(h.terms))
					}
					name := w.Sum.What[0].Entry
					results[name] = x
					unit := toSI[last.Unit]
					switch last.Unit {
					case "%":
						unit = 0.01
					case "L/min":
						unit = 1e-3 / 60
					case "gal/min":
						unit = 231 * 0.0254 * 0.0254 * 0.0254 / 60
					}
					// Terms print to six figures. In a share, terms of about 1 cancel: what is
					// left is as exact as they are, a fiftieth of its grain.
					near := 2e-5 * (math.Abs(si[name]) + unit)
					if last.Unit == "%" {
						near = max(near, 0.002*unit)
					}
					if math.Abs(x*unit-si[name]) > near {
						rt.Fatalf("%s (%s): by hand %v %s, explain says %v in SI", name, system, x, last.Unit, si[name])
					}
					sums++
				}
			})
		})
		if sums < 600 {
			t.Errorf("%d sums were worked out", sums)
		}
		eachStep(p, func(st *packet.Step) {
			for _, w := range st.Work {
				if w.Lookup == nil {
					continue
				}
				unit := map[string]string{"metric": "degC", "us": "degF"}[system]
				for i, at := range w.Lookup.At {
					got, _, err := s.composer.WorkOut(job, [][2]string{{"metal", strings.ReplaceAll(at, "−", "-") + " " + unit}}, []string{"gap"})
					if err != nil {
						t.Fatal(err)
					}
					if printed, _, _ := strings.Cut(got.Entries[0].Printed, "\u00a0"); printed != w.Lookup.Rows[0].Cells[i] {
						t.Errorf("at %s %s the table says %s, explain %s", at, unit, w.Lookup.Rows[0].Cells[i], printed)
					}
				}
				if len(w.Lookup.At) < 10 {
					t.Errorf("the table has %d columns", len(w.Lookup.At))
				}
			}
		})
	}
}

// isBoxOf reports whether a box is for a reading or value: there may be several.
func isBoxOf(id, name string) bool {
	base, _, _ := strings.Cut(id, "-")
	return strings.HasSuffix(base, "."+name)
}

func eachStep(p *packet.Packet, visit func(*packet.Step)) {
	for i := range p.Sheets {
		for j := range p.Sheets[i].Blocks {
			if st := p.Sheets[i].Blocks[j].Step; st != nil {
				visit(st)
			}
		}
	}
}

// What draws on readings prints nowhere as a number nor as NOT ON RECORD; the annex says at
// which step each is read and worked out, and those steps are the ones that print.
func TestWhatDrawsOnReadingsPrintsNoNumber(t *testing.T) {
	s := open(t, os.DirFS(readingsSite))
	p, problems := s.composer.Make(s.book.Lists["week"].Jobs[0])
	if p == nil {
		t.Fatal(problems)
	}
	of := map[string]bool{"low": true, "shim_front": true, "shim_back": true, "gap": true, "offset": true}
	spans := 0
	for i := range p.Sheets {
		for step, span := range p.Sheets[i].Numbers() {
			if !of[span.Entry] {
				continue
			}
			spans++
			if !strings.Contains(span.Text, "the result") && !(span.Entry == "offset" && span.Text == "at most 0.05\u00a0mm") && !strings.HasPrefix(step, "2.") {
				t.Errorf("%s prints as %q at %q", span.Entry, span.Text, step)
			}
			if span.Style == packet.Missing || strings.Contains(span.Text, "NOT ON RECORD") {
				t.Errorf("%s prints as not on record", span.Entry)
			}
		}
	}
	if spans < 8 {
		t.Errorf("%d places show what draws on readings", spans)
	}
	for _, e := range p.Working {
		if of[e.Name] && (e.SI != nil || !strings.HasPrefix(e.Printed, "as worked out at step 2.") || e.Formula == "" || len(e.Inputs) < 2) {
			t.Errorf("the working of %s is %+v", e.Name, e)
		}
		for _, in := range e.Inputs {
			if name, is := strings.CutPrefix(in.Name, "readings."); is && !strings.HasPrefix(in.Text, "as read at step ") {
				t.Errorf("the reading %s is %q in the working", name, in.Text)
			}
		}
	}
	at := map[string]string{}
	eachStep(p, func(st *packet.Step) {
		for _, w := range st.Work {
			what := packet.Phrase{}
			if w.Sum != nil {
				what = w.Sum.What
			} else {
				what = w.Lookup.What
			}
			at[what[0].Entry] = st.Number
			for _, b := range w.Blanks() {
				if !strings.HasPrefix(b.ID, st.ID+".") {
					t.Errorf("the box %s is not of step %s", b.ID, st.Number)
				}
			}
		}
	})
	for _, e := range p.Working {
		if want := "as worked out at step " + at[e.Name]; of[e.Name] && !strings.HasPrefix(e.Printed, want) {
			t.Errorf("%s: the working says %q, it is worked out at step %s", e.Name, e.Printed, at[e.Name])
		}
	}
}

// A feature of any kind of quantity has its limits drawn in by its instrument, its last
// reading and its forecast, each in its own unit.
func TestFeaturesOfFiveKinds(t *testing.T) {
	s := open(t, os.DirFS(readingsSite))
	p, problems := s.composer.Make(s.book.Lists["week"].Jobs[0])
	if p == nil {
		t.Fatal(problems)
	}
	want := map[string]string{
		"features.winding_resistance.keep": "at least 5.4\u00a0MΩ", "features.bearing_temperature.keep": "at most 88\u00a0°C",
		"features.backlash.keep": "at most 0.59\u00a0mm", "features.oil_pressure.keep": "at least 1.25\u00a0bar(g)", "features.drops.keep": "at most 9",
		"features.oil_pressure.last": "1.85\u00a0bar(g)", "features.winding_resistance.last": "950.0\u00a0MΩ",
	}
	kinds := map[string]string{"features.bearing_temperature.keep": "temperature", "features.winding_resistance.new": "resistance", "features.drops.keep": "number"}
	for _, e := range p.Working {
		if w, ok := want[e.Name]; ok {
			if e.Printed != w {
				t.Errorf("%s prints as %q, want %q", e.Name, e.Printed, w)
			}
			delete(want, e.Name)
		}
		if k, ok := kinds[e.Name]; ok && e.Kind != k {
			t.Errorf("%s is a %s, want a %s", e.Name, e.Kind, k)
		}
	}
	if len(want) > 0 {
		t.Errorf("not printed: %v", want)
	}
	var annex strings.Builder
	for i := range p.Annex {
		for _, b := range p.Annex[i].Blocks {
			if b.Index != nil {
				for _, row := range b.Index.Rows {
					annex.WriteString(row.Text.String() + "\n")
				}
			}
		}
	}
	text := strings.ReplaceAll(annex.String(), "\u00a0", " ")
	for _, w := range []string{"MΩ a year", "bar a year", "K a year"} {
		if !strings.Contains(text, w) {
			t.Errorf("the annex has no rate in %s:\n%s", w, text)
		}
	}
}

// What is wrong with readings in a procedure is said at its line.
func TestFaultsOfReadings(t *testing.T) {
	const file = "procedures/align-by-dials.yaml"
	for _, c := range []struct{ was, is, say string }{
		{"(readings.rim_bottom + align.sag)", "(readings.rim_botom + align.sag)", ":12:10: error: no blank of procedure align-by-dials is named rim_botom [unknown-reading]"},
		{"(readings.rim_bottom + align.sag)", "(readings.metal + align.sag)", "cannot add length to temperature"},
		{"(readings.rim_bottom + align.sag)", "(readings.rim_bottom + readings.rim_left + align.sag)", "is read at a later step [reading-order]"},
		{"(readings.rim_bottom + align.sag)", "(sqrt(readings.rim_bottom * align.sag) + align.sag)", "cannot be laid out to be worked out by hand [worksheet]"},
		{"{table: readings.metal,", "{table: readings.rim_bottom,", "draws on readings.metal too [paper]"},
		{"{table: readings.metal, from: 0 degC", "{table: readings.metal, from: 0 mm", "the table runs over a temperature"},
		{"step: 5 K or 10 deltadegF", "step: 0.1 K", "the table has 31 columns [paper]"},
		{"    low: guard_low(", "    low: 0 * low + guard_low(", "a value of each joint, feature or assembly cannot draw on readings.rim_bottom [reading-settled]"},
		{"is: low + readings.face_bottom * align.front", "when: x\n    is: low + readings.face_bottom * align.front", "unknown-key"},
		{"- {label: Rim, name: rim_bottom, unit: mm,", "- {label: Rim, name: rim_bottom, target: low,", "low needs low [circle]"},
		{"- {label: Rim, name: rim_bottom, unit: mm,", "- {label: Rim, name: rim_bottom, unit: mm, target: low,", "is held to low, which draws on it [circle]"},
		{"name: face_bottom", "name: rim_bottom", "two blanks of procedure align-by-dials are named rim_bottom [blank-name]"},
		{"- do: Measure how warm", "- when: readings.rim_bottom > align.sag\n        do: Measure how warm", "a condition draws on readings.rim_bottom, which nobody has read when the page is printed [reading-settled]"},
		{"Work the offset out: {offset.target}.", "Write the offset down.", "is shown at no step"},
	} {
		_, problems := read(filesOf(t, readingsSite, [3]string{file, c.was, c.is}))
		if text := fmt.Sprint(problems); !strings.Contains(text, c.say) {
			t.Errorf("%s\ngot  %s\nwant %s", c.is, text, c.say)
		}
	}
	// A step that does not apply to the unit cannot be what its packet works with.
	s, _ := read(filesOf(t, readingsSite, [3]string{file, "- {label: Face, name: face_bottom,", "- {label: Face, when: 'align.sag > q(\"1 mm\")', name: face_bottom,"}))
	if _, problems := s.composer.Make(s.book.Lists["week"].Jobs[0]); !strings.Contains(fmt.Sprint(problems), "[reading-not-taken]") {
		t.Errorf("a reading that is not taken is worked with: %v", problems)
	}
	// A reading of another kind than its feature's, and a feature of two kinds.
	for _, c := range []struct{ file, was, is, say string }{
		{"units/m-11.yaml", "bearing_temperature: 56 degC", "bearing_temperature: 56 mm", `"mm" measures a length where a temperature is wanted`},
		{"designs/drive-set.yaml", "reject_above: 90 degC", "reject_above: 90 bar", "is a pressure, and"},
		{"designs/drive-set.yaml", "new: 1, reject_above: 10, instrument: count", "new: 1, reject_above: 10, instrument: dial indicator", "the feature drops is a number, and the dial indicator reads a length"},
	} {
		_, problems := record.Load(filesOf(t, readingsSite, [3]string{c.file, c.was, c.is}), templates.FS, record.Options{})
		if text := fmt.Sprint(problems); !strings.Contains(text, c.say) {
			t.Errorf("%s\ngot  %s\nwant %s", c.is, text, c.say)
		}
	}
}
