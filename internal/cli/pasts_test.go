package cli

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/origin"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/pdfread"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/record"
)

// lastEntry is the last entry of P-214's history as its own record has it, and lastPages
// as the register gives it.
const lastEntry = "  - {job: K-21190, day: 2025-03-04, as_found: {end_clearance: 0.13 mm}, as_left: {end_clearance: 0.10 mm, idler_pin_diameter: 31.94 mm, idler_bushing_bore: 32.15 mm, bracket_bushing_bore: 40.12 mm}}\n"

var lastPages = []record.PageHistory{
	{Unit: "P-214", Job: "K-21190", Day: "2025-03-04", Page: 12, Readings: []record.PageReading{{Name: "end_clearance", Value: "0.13 mm"}, {Name: "end_clearance", Left: true, Value: "0.10 mm"}}},
	{Unit: "P-214", Job: "K-21190", Day: "2025-03-04", Page: 14, Readings: []record.PageReading{
		{Name: "idler_pin_diameter", Left: true, Value: "31.94 mm"}, {Name: "idler_bushing_bore", Left: true, Value: "32.15 mm"}, {Name: "bracket_bushing_bore", Left: true, Value: "40.12 mm"}}},
}

// pagesOfAnnex is how the annex names them among the records that were used.
const pagesOfAnnex = `{"text":[{"text":"register/K-21190/","style":"strong"},{"text":" page-12.yaml"},{"text":", page-14.yaml"}]},`

// madeOf prints a job of a site, which has no problem.
func madeOf(t *testing.T, fsys fs.FS, job string) printjob.Made {
	t.Helper()
	st := readSite(fsys)
	for _, p := range st.problems {
		t.Errorf("%s", p)
	}
	i := slices.IndexFunc(st.jobs(), func(j *record.Job) bool { return j.ID.S == job })
	made, err := (&printjob.Maker{Composer: st.composer, Annex: true}).Print(st.jobs()[i])
	if err != nil || made.Packet == nil {
		t.Fatal(err, made.Problems)
	}
	return made
}

// What the register knows of a unit's past is as good as what its record says: the packet
// says the same, each number names the register's page, and it is proved with neither.
func TestPastOfTheRegister(t *testing.T) {
	const unit = "units/saponification.yaml"
	plain := demo(t, "soapworks")
	own := madeOf(t, plain.files(), "K-24817")
	without := demo(t, "soapworks")
	without.replace(t, unit, lastEntry, "  # "+lastEntry[4:]) // the lines below stay where they are
	site := record.WithRegister(without.files(), lastPages)
	got := madeOf(t, site, "K-24817")

	names, fromPages := 0, map[string]int{}
	for i, e := range got.Packet.Working {
		was := own.Packet.Working[i]
		if e.Name != was.Name || e.Printed != was.Printed || e.Exactly != was.Exactly || len(e.Inputs) != len(was.Inputs) {
			t.Errorf("%s is %s, and was %s", e.Name, e.Printed, was.Printed)
		}
		note := func(at packet.Place) {
			if strings.HasPrefix(at.File, "register/") {
				fromPages[at.String()]++
			}
		}
		note(e.At)
		for _, in := range e.Inputs {
			note(in.At)
		}
		names++
	}
	for _, at := range []string{"register/K-21190/page-12.yaml:7:22", "register/K-21190/page-12.yaml:9:22", "register/K-21190/page-14.yaml:7:27", "register/K-21190/page-14.yaml:8:27", "register/K-21190/page-14.yaml:9:29"} {
		if fromPages[at] == 0 {
			t.Errorf("no number is from %s", at)
		}
	}
	if len(fromPages) != 5 || names != len(own.Packet.Working) {
		t.Errorf("numbers are from %v", fromPages)
	}
	if got.Packet.Fingerprint == own.Packet.Fingerprint {
		t.Error("the fingerprint does not know the register")
	}
	for _, c := range []struct{ was, is []packet.Sheet }{{own.Packet.Sheets, got.Packet.Sheets}, {own.Packet.Annex, got.Packet.Annex}} {
		a, _ := json.Marshal(c.was)
		b, err := json.Marshal(c.is)
		b = bytes.Replace(b, []byte(pagesOfAnnex), nil, 1)
		if err != nil || !bytes.Equal(a, b) {
			at := 0
			for at < min(len(a), len(b)) && a[at] == b[at] {
				at++
			}
			t.Errorf("the sheets say something else, %v:\n%s\n%s", err, a[max(0, at-100):min(len(a), at+100)], b[max(0, at-100):min(len(b), at+100)])
		}
	}
	if sheets, _ := json.Marshal(got.Packet.Annex); !bytes.Contains(sheets, []byte(`"name":"trend"`)) {
		t.Error("no trend is drawn")
	}
	f, err := pdfread.Read(got.Files[0].Data)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(f.Attachments, func(a pdfread.Attached) bool { return a.Name == printjob.InputsName })
	for _, want := range []string{"-- register/K-21190/page-12.yaml --\nhistory: P-214\n", "      end_clearance: \"0.13 mm\"\n", "register/K-21190/page-14.yaml 1 "} {
		if !strings.Contains(string(f.Attachments[i].Data), want) {
			t.Errorf("the packet does not carry %q", want)
		}
	}
	in, err := origin.Read(f.Attachments[i].Data)
	if err != nil || len(in.Altered) > 0 {
		t.Errorf("%v, altered %v", err, in.Altered)
	}
	for _, file := range got.Files {
		if !strings.HasSuffix(file.Name, ".pdf") {
			continue
		}
		if r := proof(file.Data); !r.Same {
			t.Errorf("%s is not the same: %+v", file.Name, r.Findings)
		}
	}
}

// A packet knows nothing of what was read after its job, nor of its own readings: printed
// again it is the same. The job after it does.
func TestPastIsBeforeTheJob(t *testing.T) {
	p := demo(t, "soapworks")
	before, next := madeOf(t, p.files(), "K-24817"), madeOf(t, p.files(), "K-24827")
	left := []record.PageReading{{Name: "end_clearance", Value: "0.14 mm"}, {Name: "end_clearance", Left: true, Value: "0.11 mm"}, {Name: "idler_pin_diameter", Left: true, Value: "32.00 mm"}}
	site := record.WithRegister(p.files(), []record.PageHistory{
		{Unit: "P-214", Job: "K-24817", Day: "2026-11-30", Page: 14, Readings: left, Replaced: []string{"idler_pin"}},
		{Unit: "P-214", Job: "K-30000", Day: "2027-01-11", Page: 4, Readings: left[:2]},
		{Unit: "P-214", Job: "K-24818", Day: "2026-11-30", Page: 4, Readings: left[1:2]}, // later on the same day
	})
	if again := madeOf(t, site, "K-24817"); !bytes.Equal(again.Files[0].Data, before.Files[0].Data) {
		t.Errorf("the packet %s is printed again as %s", before.Packet.Fingerprint, again.Packet.Fingerprint)
	}
	if then := madeOf(t, site, "K-24827"); then.Packet.Fingerprint == next.Packet.Fingerprint {
		t.Error("the next packet does not know of the one before it")
	} else if r := proof(then.Files[0].Data); !r.Same {
		t.Errorf("%+v", r.Findings)
	}
}

// Which print a packet is, and which one it replaces, is an input like any other: it is
// in the fingerprint, and the packet proves it from what it carries.
func TestReplacedPrintIsAnInput(t *testing.T) {
	st := readSite(demo(t, "soapworks").files())
	job := *st.jobs()[1]
	first, err := (&printjob.Maker{Composer: st.composer}).Print(&job)
	if err != nil || first.Packet == nil {
		t.Fatal(err, first.Problems)
	}
	job.Print, job.Replaces = 2, first.Packet.Fingerprint
	second, err := (&printjob.Maker{Composer: st.composer, Annex: true}).Print(&job)
	if err != nil || second.Packet == nil {
		t.Fatal(err, second.Problems)
	}
	if second.Packet.Fingerprint == first.Packet.Fingerprint {
		t.Error("the fingerprint does not know which print it is")
	}
	for _, file := range second.Files {
		if r := proof(file.Data); strings.HasSuffix(file.Name, ".pdf") && !r.Same {
			t.Errorf("%s is not the same: %+v", file.Name, r.Findings)
		}
	}
}
