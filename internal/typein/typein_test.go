package typein

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/page"
	"jobsheaf/internal/register"
)

var mia = register.By{Who: "Mechanic 1", At: time.Date(2026, 12, 1, 9, 0, 0, 0, time.UTC)}

// printed enters a print of a job with boxes on two pages, and gives its event.
func printed(t testing.TB, r *register.Register, job, fingerprint string, boxes ...manifest.Box) int64 {
	t.Helper()
	m := manifest.From(page.Doc{ID: fingerprint, Pages: make([]page.Page, 2)}, manifest.Job{ID: job, Unit: "P-214"})
	for i := range m.Pages {
		m.Pages[i].W, m.Pages[i].H = 210, 297
	}
	m.Pages[0].Sheet, m.Pages[1].Sheet = "steps", "signoff"
	for _, b := range boxes {
		b.X, b.Y, b.W, b.H = 20, 20, 20, 6
		if b.Kind == "" {
			b.Kind = "blank"
		}
		at := 0
		if strings.HasPrefix(b.ID, "signoff.") || strings.HasPrefix(b.ID, "wear.") {
			at = 1
		}
		m.Pages[at].Boxes = append(m.Pages[at].Boxes, b)
	}
	raw, err := m.Encode()
	if err != nil {
		t.Fatal(err)
	}
	_, err = r.Enter(t.Context(), mia, func(yield func(register.Print, error) bool) {
		yield(register.Print{Job: job, Unit: "P-214", Procedure: "rebuild", Day: "2026-11-30", Fingerprint: fingerprint, Pages: 2, Manifest: raw}, nil)
	})
	if err != nil {
		t.Fatal(err)
	}
	j, err := r.Job(t.Context(), job)
	if err != nil {
		t.Fatal(err)
	}
	return j.Print
}

// asked gives boxes of every kind that matters here.
func asked() []manifest.Box {
	words := func(f manifest.For, step, of, label string) *manifest.Ask {
		return &manifest.Ask{For: f, Step: step, Of: of, Label: label}
	}
	wear := &manifest.Ask{For: manifest.ForReading, Of: "idler_pin_diameter", Label: "A", Unit: "mm", Low: new(31.91), Limits: "at least 31.91\u00a0mm", Keep: "as_found idler_pin_diameter"}
	return []manifest.Box{
		{ID: "s1.2.told", Ask: words(manifest.ForWords, "1.2", "", "Operator told")},
		{ID: "s10.4.done", Kind: "tick", Ask: words(manifest.ForDone, "10.4", "", "Measure")},
		{ID: "s10.4.smallest", Ask: mm()},
		{ID: "s10.4.hold.name", Ask: words(manifest.ForHold, "10.4", "second", "Name")},
		{ID: "instrument.feeler.number", Ask: words(manifest.ForNumber, "", "feeler gauge", "Number")},
		{ID: "instrument.feeler.due", Ask: words(manifest.ForDue, "", "feeler gauge", "Cal. due")},
		{ID: "papers.permit", Ask: words(manifest.ForWords, "", "", "Work permit no.")},
		{ID: "old"}, // it does not say what it asks for
		{ID: "wear.idler_pin_diameter.A", Ask: wear},
		{ID: "wear.idler_pin_diameter.reuse", Kind: "tick", Ask: words(manifest.ForVerdict, "", "idler_pin_diameter", "reuse")},
		{ID: "signoff.not-done.1.why", Ask: words(manifest.ForNotDone, "", "1", "Why")},
		{ID: "signoff.not-done.1.by", Kind: "sign", Ask: words(manifest.ForNotDone, "", "1", "By")},
		{ID: "signoff.cause", Ask: words(manifest.ForWords, "", "", "Cause of failure")},
	}
}

func opened(t testing.TB) *register.Register {
	t.Helper()
	r, err := register.Open(t.Context(), filepath.Join(t.TempDir(), register.FileName))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r
}

func load(t testing.TB, r *register.Register, n int, all bool) *Packet {
	t.Helper()
	p, err := Load(t.Context(), r, "k-1", n, all)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// see enters the first page of a print, with what is in some boxes.
func see(t testing.TB, r *register.Register, print int64, boxes ...register.Box) register.Paper {
	t.Helper()
	p, _, err := r.See(t.Context(), mia, register.Paper{State: register.Placed, Scan: strings.Repeat("a", 64), File: "s.pdf", At: 1, Print: print, Page: 1, Picture: strings.Repeat("b", 64), Boxes: boxes})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func order(p *Packet) string {
	var ids []string
	for i := range p.Boxes {
		id := p.Boxes[i].ID
		if p.Boxes[i].Seen != "" {
			id += "=" + string(p.Boxes[i].Seen)
		}
		ids = append(ids, id)
	}
	return strings.Join(ids, " ")
}

func TestWhichBoxesAreTypedAndInWhichOrder(t *testing.T) {
	r := opened(t)
	first := printed(t, r, "K-1", "00000001", asked()...)
	p := load(t, r, 0, false)
	if want := "s10.4.smallest wear.idler_pin_diameter.A s1.2.told instrument.feeler.number instrument.feeler.due signoff.not-done.1.why signoff.cause"; order(p) != want {
		t.Errorf("the order is\n%s, want\n%s", order(p), want)
	}
	if got := order(load(t, r, 0, true)); got != "s10.4.smallest wear.idler_pin_diameter.A s1.2.told s10.4.hold.name instrument.feeler.number instrument.feeler.due papers.permit signoff.not-done.1.why signoff.not-done.1.by signoff.cause" {
		t.Errorf("all are %s", got)
	}
	if p.Sign != '.' {
		t.Errorf("the decimal sign is %q", p.Sign)
	}
	for i, want := range []string{"10.4 Smallest", "idler pin diameter A", "1.2 Operator told", "feeler gauge Number", "feeler gauge Cal. due", "not done, row 1 Why", "Cause of failure"} {
		if got := p.Boxes[i].Name(); got != want {
			t.Errorf("box %s is named %q, want %q", p.Boxes[i].ID, got, want)
		}
	}

	see(t, r, first, register.Box{ID: "s10.4.smallest", Is: register.Blank}, register.Box{ID: "instrument.feeler.number", Is: register.Blank}, register.Box{ID: "instrument.feeler.due", Is: register.Unsure})
	if err := r.Settle(t.Context(), mia, register.Settled{Print: first, Box: "s1.2.told", Is: register.Blank}); err != nil {
		t.Fatal(err)
	}
	second := printed(t, r, "K-1", "00000002", asked()[2])
	p = load(t, r, 0, false)
	if p.Print.Event != first {
		t.Errorf("typed is print %d; paper of print 1 came back", p.Print.N)
	}
	if want := "s10.4.smallest=blank wear.idler_pin_diameter.A instrument.feeler.due=unsure signoff.not-done.1.why signoff.cause"; order(p) != want || p.Blank != 2 {
		t.Errorf("with paper the order is\n%s, %d blank, want\n%s", order(p), p.Blank, want)
	}
	if b := p.Boxes[0]; b.Picture != strings.Repeat("b", 64) || b.Page != 1 {
		t.Errorf("the first is on page %d, picture %q", b.Page, b.Picture)
	}
	if p = load(t, r, 2, false); p.Print.Event != second || order(p) != "s10.4.smallest" {
		t.Errorf("print 2 gives print %d: %s", p.Print.N, order(p))
	}
	for _, n := range []int{-1, 3} {
		if _, err := Load(t.Context(), r, "K-1", n, false); err == nil || !strings.Contains(err.Error(), "no print") {
			t.Errorf("print %d gives %v", n, err)
		}
	}
	if _, err := Load(t.Context(), r, "K-2", 0, false); err == nil {
		t.Error("a job that is not there was loaded")
	}
}

func TestWhatTheRegisterGets(t *testing.T) {
	r := opened(t)
	see(t, r, printed(t, r, "K-1", "00000001", asked()...))
	b := &load(t, r, 0, false).Boxes[1]
	b.paper = 7
	typed, err := Read("32,0 mm", &b.Ask, '.')
	if err != nil {
		t.Fatal(err)
	}
	got := b.Reading(typed, "why")
	if got.Value != "32.0" || got.Text != "32,0 mm" || got.Unit != "mm" || *got.Low != 31.91 || got.High != nil || got.Keep != "as_found idler_pin_diameter" || got.Page != 2 || got.Paper != 7 || got.Why != "why" || got.Before != 0 {
		t.Errorf("the reading is %+v", got)
	}
	if _, err := r.Type(t.Context(), mia, got); err != nil {
		t.Fatal(err)
	}
	b = &load(t, r, 0, false).Boxes[1]
	if again := b.Reading(typed, ""); again.Before != b.Was.Event || b.Was.Event == 0 {
		t.Errorf("a correction of %+v is %+v", b.Was, again)
	}
}

// csvOf puts a file together.
func csvOf(lines ...string) string { return strings.Join(lines, "\n") + "\n" }

func TestAFileOfReadings(t *testing.T) {
	r := opened(t)
	printed(t, r, "K-1", "00000001", asked()...)
	printed(t, r, "K-3", "00000003", asked()...)
	if err := r.Decide(t.Context(), mia, register.Decision{Kind: register.Close, Print: 2}); err != nil {
		t.Fatal(err)
	}
	const head = "job,box,value,why"
	for name, c := range map[string]struct {
		file    string
		entered int
		faults  string
	}{
		"by box":           {csvOf(head, "k-1,s10.4.smallest,0.11,", `K-1,signoff.cause,"dry, and worn",`), 2, ""},
		"by step":          {csvOf("Job;Step;Label;Value;Remark", "K-1;10.4;smallest;0,11;x", "K-1;;Cause of failure;dry;"), 2, ""},
		"with tabs":        {csvOf("job\tbox\tvalue", "K-1\ts10.4.smallest\t0.11"), 1, ""},
		"BOM and CRLF":     {"\ufeffjob,box,value\r\nK-1,s10.4.smallest,0.11\r\n", 1, ""},
		"units":            {csvOf("job,box,value,unit", "K-1,s10.4.smallest,0.0045,in", "K-1,wear.idler_pin_diameter.A,31.94,mm"), 2, ""},
		"two units":        {csvOf("job,box,value,unit", "K-1,s10.4.smallest,0.0045 in,thou"), 0, `2:3: 10.4 Smallest: "in thou" is not a unit`},
		"nothing filled":   {csvOf(head, "K-1,s10.4.smallest,,", "K-1,no such,,"), 0, ""},
		"names of all":     {csvOf(head, "K-1,s10.4.hold.name,M. 2,"), 1, ""},
		"outside":          {csvOf(head, "K-1,s10.4.smallest,0.15,"), 0, "2:4: 10.4 Smallest: 0.15 is OUTSIDE: 0.02 mm above 0.13 mm: say why"},
		"outside, and why": {csvOf(head, "K-1,s10.4.smallest,0.15,let through"), 1, ""},
		"a slip":           {csvOf(head, "K-1,wear.idler_pin_diameter.A,319.4,"), 0, "2:4: idler pin diameter A: 319.4 is within; 10 times the 31.91 mm of the page"},
		"not measured":     {csvOf(head, "K-1,s10.4.smallest,-,gauge missing"), 1, ""},
		"and not why":      {csvOf(head, "K-1,s10.4.smallest,n/a,"), 0, "2:4: 10.4 Smallest: n/a is not measured: say why"},
		"all in order": {csvOf(head, "K-1,no,1,", "K-2,s10.4.smallest,0.11,", "K-1,s10.4.smallest,x,", "K-1,s10.4.smallest,0.11,", "K-3,signoff.cause,x,", ",signoff.cause,x,", "K-1,signoff.cause,,y", "K-1,s10.4.done,1,", `K-1,"a`, "K-1"), 0,
			`2:2: print 1 of job K-1 has no box "no"|3:1: job K-2: it is not in the register|4:3: 10.4 Smallest: "x" does not begin|5:2: box s10.4.smallest is on line 4 too|6:1: job K-3 is closed|7:1: the row names no job|8:4: there is a reason and no value|9:2: print 1 of job K-1 has no box "s10.4.done"|10:0: the line cannot be taken apart`},
		"unknown step":    {csvOf("job,step,label,value", "K-1,10.5,Smallest,1"), 0, `2:2: job K-1 has 0 boxes at step "10.5"`},
		"print":           {csvOf("job,print,box,value", "K-1,1,s10.4.smallest,0.11", "K-1,2,s10.4.smallest,0.11", "K-1,x,s10.4.smallest,0.11"), 1, "3:1: job K-1 was printed 1 times; there is no print 2|4:2: \"x\" is not the number of a print"},
		"no column":       {csvOf("job,box,reading", "K-1,x,1"), 0, "1:0: the first line must head columns"},
		"a column twice":  {csvOf("job,box,value,value", "K-1,x,1,2"), 0, "1:0: two columns are headed value"},
		"empty":           {"", 0, "0:0: the file is empty"},
		"not text":        {"\x00\x01\xff\xfe", 0, "1:0: the first line must head columns"},
		"not text within": {csvOf(head, "K-1,signoff.cause,a\xffb,"), 0, "2:3: Cause of failure: the text is not in UTF-8"},
		"a formula":       {csvOf(head, "K-1,s10.4.smallest,=1+1,"), 0, "does not begin with a number"},
	} {
		readings, faults, err := FromCSV(t.Context(), r, strings.NewReader(c.file))
		var all []string
		for _, f := range faults {
			all = append(all, fmt.Sprintf("%d:%d: %s", f.Line, f.Cell, f.Text))
		}
		wants := strings.Split(c.faults, "|")
		if c.faults == "" {
			wants = nil
		}
		ok := err == nil && len(readings) == c.entered || len(wants) > 0 && err == nil
		if len(wants) != len(all) {
			ok = false
		}
		for i := range min(len(wants), len(all)) {
			ok = ok && strings.Contains(all[i], wants[i])
		}
		if !ok {
			t.Errorf("%s: %d readings (%v), faults\n%s\nwant %d and\n%s", name, len(readings), err, strings.Join(all, "\n"), c.entered, strings.Join(wants, "\n"))
		}
	}
}

// What stands in the register is passed over where the file says the same, and is no
// other's to change unsaid.
func TestAFileThatWasEntered(t *testing.T) {
	r := opened(t)
	printed(t, r, "K-1", "00000001", asked()...)
	file := csvOf("job,box,value,why", "K-1,s10.4.smallest,0.15,let through", "K-1,signoff.cause,dry,")
	enter := func(file string) (int, []Fault) {
		t.Helper()
		readings, faults, err := FromCSV(t.Context(), r, strings.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		if len(faults) > 0 {
			return 0, faults
		}
		n, err := r.Type(t.Context(), mia, readings...)
		if err != nil {
			t.Fatal(err)
		}
		return n, nil
	}
	for _, want := range []int{2, 0} {
		if n, faults := enter(file); n != want || faults != nil {
			t.Errorf("%d entered, want %d: %v", n, want, faults)
		}
	}
	if _, faults := enter(strings.Replace(file, "0.15", "0.12", 1)); len(faults) != 1 || !strings.Contains(faults[0].Text, `Mechanic 1 typed "0.15"`) || !strings.Contains(faults[0].Text, "--again s10.4.smallest") {
		t.Errorf("another reading gives %v", faults)
	}
	// The form that is written has what is missing, and can be read back.
	var form bytes.Buffer
	if err := load(t, r, 0, false).Template(&form); err != nil {
		t.Fatal(err)
	}
	if strings.Count(form.String(), "\n") != 6 || strings.Contains(form.String(), "s10.4.smallest") {
		t.Errorf("the form is\n%s", form.String())
	}
	filled := strings.Replace(form.String(), "31.91\u00a0mm,,,mm,", "31.91\u00a0mm,,31.95,mm,", 1)
	if n, faults := enter(filled); n != 1 || faults != nil {
		t.Errorf("of the filled form %d are entered: %v\n%s", n, faults, filled)
	}
}

// A file of many rows, spread over many jobs, is read and entered in one go; 100,000 over
// 1,000 jobs take five times as long.
func TestALargeFile(t *testing.T) {
	const jobs, each = 200, 100
	r := opened(t)
	var boxes []manifest.Box
	for i := range each {
		boxes = append(boxes, manifest.Box{ID: fmt.Sprintf("b%d", i), Ask: mm()})
	}
	for j := range jobs {
		printed(t, r, fmt.Sprintf("K-%d", j), fmt.Sprintf("%08X", j), boxes...)
	}
	var file strings.Builder
	file.WriteString("job,box,value\n")
	for i := range each {
		for j := range jobs {
			fmt.Fprintf(&file, "K-%d,b%d,0.%d\n", j, i, 10+(i+j)%4)
		}
	}
	began := time.Now()
	readings, faults, err := FromCSV(t.Context(), r, strings.NewReader(file.String()))
	if err != nil || len(faults) != 0 || len(readings) != jobs*each {
		t.Fatalf("%d readings, %d faults (%v)", len(readings), len(faults), err)
	}
	read := time.Since(began)
	n, err := r.Type(t.Context(), mia, readings...)
	if err != nil || n != jobs*each {
		t.Fatalf("%d entered (%v)", n, err)
	}
	t.Logf("read and held to limits in %v, entered in %v", read.Round(time.Millisecond), (time.Since(began) - read).Round(time.Millisecond))
	if _, faults, err = FromCSV(t.Context(), r, strings.NewReader(strings.ReplaceAll(file.String(), ",0.", ",9."))); err != nil || len(faults) != jobs*each {
		t.Errorf("%d faults (%v)", len(faults), err)
	}
}

// Whatever is in a file, it is taken apart without a panic, and each fault has its line.
func FuzzRows(f *testing.F) {
	f.Add("job,box,value\nK-1,b,0.11\n")
	f.Add("job;step;label;value\nK-1;1.1;x;\"a\nb\"\n\"")
	f.Add("\ufeffjob\tbox\tvalue\twhy\r\nK-1\tb\t\tw\r\n")
	f.Fuzz(func(t *testing.T, text string) {
		rows, faults, err := readRows(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range rows {
			if r.line < 2 || r.get("job") == "" || r.get("value") == "" {
				t.Errorf("a row on line %d of job %q: %q", r.line, r.get("job"), r.get("value"))
			}
		}
		for _, f := range faults {
			if f.Text == "" || f.Line == 0 && f.Text != "the file is empty" {
				t.Errorf("a fault on line %d: %q", f.Line, f.Text)
			}
		}
	})
}
