package compose_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/origin"
	"jobsheaf/internal/packet"
	"jobsheaf/templates"
)

// loose gives the files of a demo site, which a test may change.
func loose(t testing.TB, name string) fstest.MapFS { return demo(t, name).(fstest.MapFS) }

// again makes a packet from what another carries.
func again(t testing.TB, p *packet.Packet) (*packet.Packet, *origin.Carried) {
	t.Helper()
	in, err := origin.Read(p.Inputs)
	if err != nil {
		t.Fatalf("%s: %v", p.Job.ID, err)
	}
	s, _ := read(in.Site)
	if in.Blank {
		s.composer = s.composer.Forms()
	}
	q, problems := s.composer.Make(in.Job)
	if q == nil {
		t.Fatalf("%s: %v", p.Job.ID, problems)
	}
	return q, in
}

func made(t testing.TB, fsys fs.FS, list string) []*packet.Packet {
	t.Helper()
	s, problems := read(fsys)
	if s.book.Lists[list] == nil {
		t.Fatalf("no list %s: %v", list, problems)
	}
	var out []*packet.Packet
	for _, j := range s.book.Lists[list].Jobs {
		p, problems := s.composer.Make(j)
		if p == nil {
			t.Fatalf("%s: %v", j.ID.S, problems)
		}
		out = append(out, p)
	}
	return out
}

// What a packet carries is enough to make it again, to the last character.
func TestInputsMakeThePacketAgain(t *testing.T) {
	for _, name := range sites {
		for _, p := range made(t, loose(t, name), "week-49") {
			q, in := again(t, p)
			if !reflect.DeepEqual(p, q) {
				a, _ := json.Marshal(p)
				b, _ := json.Marshal(q)
				i := 0
				for i < min(len(a), len(b)) && a[i] == b[i] {
					i++
				}
				t.Errorf("%s differs from itself made again: %.200q, %.200q", p.Job.ID, a[max(0, i-60):], b[max(0, i-60):])
			}
			if len(in.Altered) != 0 || in.Program != "test" {
				t.Errorf("%s: altered %v, program %q", p.Job.ID, in.Altered, in.Program)
			}
		}
	}
}

// So it is with the line ends of Windows, without an end to the last line, with
// the records spread and packed otherwise, and with templates, instruments and
// terms of the site's own.
func TestInputsOfUntidyFiles(t *testing.T) {
	m := loose(t, "soapworks")
	var units strings.Builder
	units.WriteString("\ufeff")
	for path, f := range m {
		if strings.HasPrefix(path, "units/") {
			fmt.Fprintf(&units, "# %s\n\n---\n# a comment\n\n%s\n\n\n", path, f.Data)
			delete(m, path)
		}
	}
	m["units/all.yaml"] = &fstest.MapFile{Data: []byte(strings.ReplaceAll(units.String(), "\n", "\r\n"))}
	for _, f := range m {
		f.Data = bytes.TrimRight(f.Data, "\r\n")
	}
	own, err := fs.ReadFile(templates.FS, "procedures/end-clearance.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m["procedures/own/mine.yaml"] = &fstest.MapFile{Data: append([]byte("# ours\n"), bytes.ReplaceAll(own, []byte("feeler gauge"), []byte("our gauge"))...)}
	m["instruments/ours.yaml"] = &fstest.MapFile{Data: []byte("instrument: other gauge\nresolution: 0.5 mm\n---\ninstrument: our gauge\nresolution: 0.01 mm or 0.001 in\nuncertainty: 0.01 mm\nsource: invented\n")}
	m["terms.yaml"] = &fstest.MapFile{Data: []byte("terms:\n  own.thing: {what: A thing of ours, kind: length, range: 1 mm to 2 mm}\n")}
	found := map[string]bool{}
	for _, p := range made(t, m, "week-49") {
		q, in := again(t, p)
		if !reflect.DeepEqual(p, q) {
			t.Errorf("%s differs from itself made again: %s, %s", p.Job.ID, p.Fingerprint, q.Fingerprint)
		}
		for path := range m {
			if b, err := fs.ReadFile(in.Site, path); err == nil {
				found[path] = true
				if bytes.Contains(b, []byte("other gauge")) {
					t.Errorf("%s carries an instrument that it did not use", p.Job.ID)
				}
			}
		}
	}
	for _, want := range []string{"procedures/own/mine.yaml", "instruments/ours.yaml", "terms.yaml", "units/all.yaml"} {
		if !found[want] {
			t.Errorf("no packet carries %s", want)
		}
	}
}

// Every place in the working is a place in what is carried: the text stands there.
func TestInputsKeepPlacesTrue(t *testing.T) {
	looked := 0
	for _, p := range made(t, loose(t, "soapworks"), "week-49") {
		in, err := origin.Read(p.Inputs)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range p.Working {
			for _, i := range e.Inputs {
				file, line := i.At.File, i.At.Line
				if file == "" || strings.HasPrefix(file, "built-in/") {
					continue
				}
				b, err := fs.ReadFile(in.Site, file)
				if err != nil {
					t.Errorf("%s: %s is not carried", p.Job.ID, i.At)
					continue
				}
				lines := strings.Split(string(b), "\n")
				if looked++; line < 1 || line > len(lines) || !strings.Contains(lines[line-1], strings.Fields(i.Text)[0]) {
					t.Errorf("%s: %q does not stand at %s", p.Job.ID, i.Text, i.At)
				}
			}
		}
	}
	if looked < 500 {
		t.Errorf("only %d places were looked at", looked)
	}
}

// A line that was altered is named; the packet of another unit is not touched by
// what this one does not use.
func TestAlteredInputsAreNamed(t *testing.T) {
	p := made(t, loose(t, "soapworks"), "week-49")[0]
	lines := strings.Split(string(p.Inputs), "\n")
	in, err := origin.Read(p.Inputs)
	if err != nil {
		t.Fatal(err)
	}
	unit, _ := fs.ReadFile(in.Site, "units/saponification.yaml")
	want := 0
	for i, l := range strings.Split(string(unit), "\n") {
		if strings.Contains(l, "serial:") {
			want = i + 1
			for k := range lines {
				if lines[k] == l {
					lines[k] += "9"
				}
			}
			break
		}
	}
	in, err = origin.Read([]byte(strings.Join(lines, "\n")))
	if err != nil || len(in.Altered) != 1 || in.Altered[0].File != "units/saponification.yaml" || in.Altered[0].Line != want {
		t.Errorf("altered is line %d of the unit; said is %v (%v)", want, in.Altered, err)
	}
}

// What is used decides the fingerprint, and nothing else does.
func TestFingerprintCountsWhatIsUsed(t *testing.T) {
	m := loose(t, "soapworks")
	m["instruments/ours.yaml"] = &fstest.MapFile{Data: []byte("instrument: outside micrometer\nresolution: 0.01 mm or 0.001 in\nuncertainty: 0.01 mm\nsource: invented\n")}
	m["instruments/unused.yaml"] = &fstest.MapFile{Data: []byte("instrument: cubit rod\nresolution: 5 mm\nuncertainty: 9 mm\nsource: invented\n")}
	before := made(t, m, "week-49")[0]
	for _, c := range []struct {
		file, old, new string
		counts         bool
	}{
		{"instruments/ours.yaml", "source: invented", "source: guessed", true},
		{"instruments/unused.yaml", "source: invented", "source: guessed", false},
		{"liquids/caustic.yaml", "name: ", "name: Strong ", true},
		{"liquids/water.yaml", "a", "e", false},
		{"units/perfumery.yaml", "name: ", "name: New ", false},
		{"site.yaml", "name: ", "name: New ", true},
	} {
		old := m[c.file].Data
		m[c.file].Data = bytes.Replace(old, []byte(c.old), []byte(c.new), 1)
		if bytes.Equal(old, m[c.file].Data) {
			t.Fatalf("%s has no %q", c.file, c.old)
		}
		s, _ := read(m)
		p, problems := s.composer.Make(s.book.Lists["week-49"].Jobs[0])
		if p == nil {
			t.Fatal(problems)
		}
		if (p.Fingerprint != before.Fingerprint) != c.counts {
			t.Errorf("%s: fingerprint %s, was %s", c.file, p.Fingerprint, before.Fingerprint)
		}
		m[c.file].Data = old
	}
}

// A line that would be taken for the name of a file refuses the packet.
func TestInputsRefuseALineLikeAFileName(t *testing.T) {
	m := loose(t, "soapworks")
	m["site.yaml"].Data = append(m["site.yaml"].Data, "\nemergency: \"call\n-- units/x.yaml --\n5555\"\n"...)
	m["site.yaml"].Data = bytes.Replace(m["site.yaml"].Data, []byte("\nemergency:"), []byte("\n# emergency:"), 1)
	s, _ := read(m)
	p, problems := s.composer.Make(s.book.Lists["week-49"].Jobs[0])
	if p != nil || len(problems) == 0 || problems[0].Rule != "not-carried" {
		t.Errorf("made: %v, %v", p != nil, problems)
	}
}

func FuzzReadInputs(f *testing.F) {
	for _, p := range made(f, loose(f, "candleworks-us"), "week-49") {
		f.Add(p.Inputs)
	}
	f.Add([]byte("program: x\n-- job.yaml --\nlist: a\njobs: [{job: a, unit: b, procedure: c, day: 2025-01-01}]\n-- site.yaml --\nsite: x\n-- sums --\nsite.yaml 99999999 00 00\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		if in, err := origin.Read(b); err == nil && (in.Job == nil || in.Site == nil) {
			t.Fatal("neither an error nor a job and a site")
		}
	})
}
