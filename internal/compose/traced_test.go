package compose_test

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/record"
	"jobsheaf/templates"
)

var (
	digit = regexp.MustCompile(`[0-9]`)
	// measured is a number with a unit behind it.
	measured = regexp.MustCompile(`[0-9][0-9./ ]*[\x{a0} ]?(?:mm²/s|mm|µm|µin|m³/h|gal/min|gal|kPa|MPa·m/s|MPa|psi·ft/min|psi|bar|°C|°F|N·m|ft·lbf|in·lbf|kN|lbf|kW|hp|rpm|kg|lb|mPa·s|cP|cSt|m/s|ft/s|thou|in³|in|L|g|oz|h|%|°)(?:[^\pL\d]|$)`)
	number   = regexp.MustCompile(`[0-9][0-9./]*`)
	place    = regexp.MustCompile(`^(.+):(\d+):(\d+)$`)
)

// phrases gives every phrase of the sheets that are carried, and of what the annex has
// beside its working.
func phrases(p *packet.Packet) []packet.Phrase {
	var out []packet.Phrase
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		if v.Type() == reflect.TypeFor[packet.Phrase]() {
			if v.Len() > 0 {
				out = append(out, v.Interface().(packet.Phrase))
			}
			return
		}
		switch v.Kind() {
		case reflect.Pointer:
			if !v.IsNil() {
				walk(v.Elem())
			}
		case reflect.Slice:
			for i := range v.Len() {
				walk(v.Index(i))
			}
		case reflect.Struct:
			for i := range v.NumField() {
				walk(v.Field(i))
			}
		}
	}
	for _, s := range withAside(p) {
		walk(reflect.ValueOf(s))
	}
	return out
}

// figures gives every figure of a packet.
func figures(p *packet.Packet) []packet.Figure {
	data, err := json.Marshal(slices.Concat(p.Sheets, p.Annex))
	if err != nil {
		panic(err)
	}
	var sheets any
	if err := json.Unmarshal(data, &sheets); err != nil {
		panic(err)
	}
	var out []packet.Figure
	var walk func(v any)
	walk = func(v any) {
		switch v := v.(type) {
		case []any:
			for _, x := range v {
				walk(x)
			}
		case map[string]any:
			for k, x := range v {
				if k == "figures" {
					raw, _ := json.Marshal(x)
					var list []packet.Figure
					if json.Unmarshal(raw, &list) == nil {
						out = append(out, list...)
					}
				}
				walk(x)
			}
		}
	}
	walk(sheets)
	return out
}

// asWritten is what stands on paper just as a person wrote it: the templates, the
// fixed words and the records. A number in it is read, not computed.
func asWritten(t *testing.T, s *site) string {
	var b strings.Builder
	for _, f := range []fs.FS{templates.FS, s.files} {
		err := fs.WalkDir(f, ".", func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			data, err := fs.ReadFile(f, path)
			b.Write(data)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return b.String()
}

// identifiers are the recorded texts that stand out on a sheet though a digit in
// them measures nothing.
func identifiers(s *site, unit string) map[string]bool {
	u := s.book.Units[unit]
	out := map[string]bool{u.ID: true, s.book.Site.EnergyControl.S + ". ": true, s.book.Site.Emergency.S: true}
	for _, k := range u.Size.Kits {
		out[k.Number.S] = true
	}
	for _, i := range u.Size.Supplies {
		out[strings.NewReplacer(" ", "\u00a0", "in3", "in³").Replace(i.Amount.S)] = true
	}
	for _, i := range u.Isolate {
		out[i.Point.S], out[i.Device.S] = true, true
	}
	return out
}

// inRecords puts a printed amount back into the characters of a record.
var inRecords = strings.NewReplacer("\u00a0", " ", "°", "deg", "·", ".", "³", "3")

// untraced gives what is wrong with the working of a packet: numbers without an
// entry, entries without a source, inputs without a place.
func untraced(p *packet.Packet, named map[string]bool, written string) []string {
	var faults []string
	fault := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	byKey, byName := map[string]packet.Entry{}, map[string]packet.Entry{}
	for _, e := range p.Working {
		_, key := byKey[e.Key]
		if _, name := byName[e.Name]; key || name || e.Key == "" || e.Name == "" {
			fault("there are two entries %q, or two of %q", e.Key, e.Name)
		}
		byKey[e.Key], byName[e.Name] = e, e
	}
	shown := map[string]bool{}
	for _, ph := range phrases(p) {
		for _, s := range ph {
			switch {
			case s.Style == packet.Key && !slices.ContainsFunc(ph, func(o packet.Span) bool { return o.Entry != "" && byName[o.Entry].Key == s.Text }):
				fault("the key %q stands behind no number of its entry, in %q", s.Text, ph)
			case s.Entry != "":
				e, ok := byName[s.Entry]
				shown[s.Entry] = true
				switch {
				case !ok:
					fault("%q names no entry, in %q", s.Entry, ph)
				case s.Style != packet.Strong:
					fault("%q of the entry %s does not stand out, in %q", s.Text, s.Entry, ph)
				case !sameNumbers(s.Text, e.Printed):
					fault("%q is of %s, which says %q", s.Text, s.Entry, e.Printed)
				}
			case s.Style == packet.Key || !digit.MatchString(s.Text) || named[s.Text]:
			case s.Style == packet.Strong:
				fault("%q has no entry, in %q", s.Text, ph)
			default:
				for _, m := range measured.FindAllString(s.Text, -1) {
					if m = strings.Trim(m, " .,;:)"); !strings.Contains(written, m) && !strings.Contains(written, inRecords.Replace(m)) {
						fault("%q is computed and has no entry, in %q", m, ph)
					}
				}
			}
		}
	}
	var all strings.Builder
	for _, e := range p.Working {
		all.WriteString(bare(e.Printed + "\n" + e.Exactly + "\n"))
		faults = append(faults, unsourced(e, byKey)...)
		if (e.Printed != "") != shown[e.Name] && !drawn(p, e) && !slices.Equal(e.Stands, inWorking) {
			fault("%s %s prints %q; on the sheets: %t", e.Key, e.Name, e.Printed, shown[e.Name])
		}
	}
	for _, f := range figures(p) {
		texts := slices.Clone(f.Lists["passes"])
		for _, t := range f.Texts {
			texts = append(texts, t)
		}
		for _, t := range texts {
			if measured.MatchString(t) && !strings.Contains(all.String(), bare(t)) {
				fault("figure %s says %q, which no entry does", f.Name, t)
			}
		}
	}
	return faults
}

// sameNumbers reports whether every number of a text stands in another.
func sameNumbers(text, in string) bool {
	return !slices.ContainsFunc(number.FindAllString(text, -1), func(n string) bool { return !slices.Contains(number.FindAllString(in, -1), n) })
}

// bare leaves out the words that say which end of a band is meant.
func bare(s string) string {
	return strings.NewReplacer("at least ", "", "at most ", "", "\u00a0", " ").Replace(s)
}

// drawn reports whether an entry's number stands in a figure.
func drawn(p *packet.Packet, e packet.Entry) bool {
	for _, f := range figures(p) {
		if slices.Contains(f.Entries, e.Name) {
			return true
		}
	}
	return false
}

// unsourced gives what an entry lacks.
func unsourced(e packet.Entry, byKey map[string]packet.Entry) []string {
	var faults []string
	fault := func(format string, args ...any) {
		faults = append(faults, e.Key+" "+e.Name+" "+fmt.Sprintf(format, args...))
	}
	byHand := e.SI == nil && strings.HasPrefix(e.Printed, "as worked out at ") // what it is exactly, the readings decide
	if e.What == "" || e.Formula == "" || e.Exactly == "" && !byHand {
		fault("says not what it is (%q), how it comes about (%q) or what it is exactly (%q)", e.What, e.Formula, e.Exactly)
	}
	switch {
	case e.Recorded && !place.MatchString(e.At.String()):
		fault("is recorded at no place, but at %q", e.At)
	case !e.Recorded && len(e.Sources) == 0:
		fault("is computed and names no source")
	}
	for _, src := range e.Sources {
		if strings.TrimSpace(src) == "" {
			fault("has an empty source")
		}
	}
	for _, in := range e.Inputs {
		if in.Text != "" && (in.Table != "" || strings.HasPrefix(in.Name, "readings.")) { // a reading comes from its step
			continue
		}
		if _, ok := byKey[in.Key]; in.Text == "" || !ok && !place.MatchString(in.At.String()) {
			fault("takes %s = %q from nowhere (%q, %q)", in.Name, in.Text, in.At, in.Key)
		}
	}
	return faults
}

// TestEveryNumberIsTraced holds every number on every packet of the demo sites to
// a working entry with its source, and every place to what stands there.
func TestEveryNumberIsTraced(t *testing.T) {
	for _, name := range sites {
		s := open(t, demo(t, name))
		written := asWritten(t, s)
		for _, j := range s.jobs() {
			p, problems := s.composer.Make(j)
			if p == nil {
				t.Fatalf("%s: %v", j.ID, problems)
			}
			for _, f := range untraced(p, identifiers(s, j.Unit.S), written) {
				t.Errorf("%s: %s", j.ID, f)
			}
			keys := 0
			for _, e := range p.Working {
				switch {
				case !e.Recorded:
				case len(e.Inputs) == 0:
					checkPlace(t, s, j, e.At.String(), e.Exactly)
				case !slices.ContainsFunc(e.Inputs, func(in packet.Input) bool { return in.At == e.At }):
					t.Errorf("%s: %s is recorded at %s, which none of its inputs is", j.ID, e.Name, e.At)
				}
				for _, in := range e.Inputs {
					if in.At != (packet.Place{}) {
						checkPlace(t, s, j, in.At.String(), in.Text)
					}
				}
				keys++
			}
			if keys < 20 { // a regreasing has few
				t.Errorf("%s has %d entries only", j.ID, keys)
			}
		}
	}
}

// checkPlace holds a place to what stands there.
func checkPlace(t *testing.T, s *site, j *record.Job, at, text string) {
	t.Helper()
	m := place.FindStringSubmatch(at)
	if m == nil {
		t.Errorf("%s: %q is no place", j.ID, at)
		return
	}
	var from fs.FS = s.files
	file, builtIn := strings.CutPrefix(m[1], "built-in/")
	if builtIn {
		from = templates.FS
	}
	data, err := fs.ReadFile(from, file)
	if err != nil {
		t.Errorf("%s: %s: %v", j.ID, at, err)
		return
	}
	line, _ := strconv.Atoi(m[2])
	col, _ := strconv.Atoi(m[3])
	lines := strings.Split(string(data), "\n")
	if line > len(lines) || col > len(lines[line-1])+1 {
		t.Errorf("%s: %s is beyond the end of the file", j.ID, at)
		return
	}
	if got := strings.TrimLeft(string([]rune(lines[line-1])[col-1:]), `"'`); !strings.HasPrefix(got, bare(text)) {
		t.Errorf("%s: at %s stands %.20q, not %q", j.ID, at, got, text)
	}
}

// The test above can fail: each way in which a number may lose its working is
// found.
func TestLostWorkingIsFound(t *testing.T) {
	s := open(t, demo(t, "soapworks"))
	written := asWritten(t, s)
	named := identifiers(s, "P-214")
	if f := untraced(s.packet(t, "P-214", "rebuild-component-seal"), named, written); len(f) > 0 {
		t.Fatalf("the sound packet has faults: %v", f)
	}
	computed := func(p *packet.Packet) *packet.Entry {
		i := slices.IndexFunc(p.Working, func(e packet.Entry) bool { return len(e.Inputs) > 0 && e.Inputs[0].At != (packet.Place{}) })
		return &p.Working[i]
	}
	step := func(p *packet.Packet) *packet.Step {
		for _, sh := range p.Sheets {
			for _, b := range sh.Blocks {
				if b.Step != nil && slices.ContainsFunc(b.Step.Text, func(s packet.Span) bool { return s.Entry != "" }) {
					return b.Step
				}
			}
		}
		t.Fatal("no step has a number")
		return nil
	}
	for what, spoil := range map[string]func(*packet.Packet){
		"an entry taken off a number": func(p *packet.Packet) {
			st := step(p)
			st.Text = slices.Clone(st.Text)
			for i := range st.Text {
				st.Text[i].Entry = ""
			}
		},
		"a key beside a number": func(p *packet.Packet) {
			st := step(p)
			st.Text = append(slices.Clone(st.Text), packet.Span{Text: "W1", Style: packet.Key})
		},
		"an entry taken out":  func(p *packet.Packet) { p.Working = p.Working[1:] },
		"a source taken out":  func(p *packet.Packet) { computed(p).Sources = nil },
		"an empty source":     func(p *packet.Packet) { computed(p).Sources = []string{""} },
		"a place taken out":   func(p *packet.Packet) { computed(p).Inputs[0].At = packet.Place{} },
		"a place of a record": func(p *packet.Packet) { p.Working[0].At = packet.Place{File: "units"} },
		"a number that differs": func(p *packet.Packet) {
			st := step(p)
			st.Text = append(packet.Phrase{}, st.Text...)
			spoilNumber(st.Text)
		},
		"a number in plain text": func(p *packet.Packet) {
			st := step(p)
			st.Text = append(packet.Say("Turn it by 17.31 mm. "), st.Text...)
		},
		"a number of no entry": func(p *packet.Packet) {
			st := step(p)
			st.Text = append(slices.Clone(st.Text), packet.Span{Text: "12 mm", Style: packet.Strong, Entry: "nothing"})
		},
	} {
		p := s.packet(t, "P-214", "rebuild-component-seal")
		spoil(p)
		if len(untraced(p, named, written)) == 0 {
			t.Errorf("%s is not found", what)
		}
	}
}

func spoilNumber(p packet.Phrase) {
	for i := range p {
		if p[i].Style == packet.Strong && digit.MatchString(p[i].Text) {
			p[i].Text = "9" + p[i].Text
		}
	}
}
