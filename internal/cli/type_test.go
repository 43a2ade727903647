package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/page"
	"jobsheaf/internal/register"
	"jobsheaf/internal/typein"
)

// clearances gives a site whose register holds the job K-1, which asks for so many
// clearances, of 0.09 to 0.13 mm, at the steps 1.1, 1.2 ... and for the cause of failure.
func clearances(t *testing.T, n int) (site string) {
	t.Helper()
	site = t.TempDir()
	m := manifest.From(page.Doc{ID: "0000000A", Pages: make([]page.Page, 1)}, manifest.Job{ID: "K-1", Unit: "P-214"})
	p := &m.Pages[0]
	p.Sheet, p.W, p.H = "steps", 210, 297
	for i := 1; i <= n; i++ {
		p.Boxes = append(p.Boxes, manifest.Box{ID: fmt.Sprintf("s1.%d", i), Ask: &manifest.Ask{For: manifest.ForReading, Step: fmt.Sprintf("1.%d", i), Label: "Smallest",
			Unit: "mm", Low: new(0.09), High: new(0.13), Limits: "0.09 to 0.13\u00a0mm", Last: "0.10\u00a0mm, 2025-03-04", Tool: "feeler gauge"}})
	}
	p.Boxes = append(p.Boxes, manifest.Box{ID: "signoff.cause", Ask: &manifest.Ask{For: manifest.ForWords, Label: "Cause of failure"}})
	for i := range p.Boxes {
		b := &p.Boxes[i]
		b.Kind, b.X, b.Y, b.W, b.H = "blank", 20, 20, 20, 6
	}
	raw, err := m.Encode()
	must(t, err)
	inRegister(t, site, func(r *register.Register) error {
		_, err := r.Enter(t.Context(), register.By{Who: "planner", At: time.Now()}, func(yield func(register.Print, error) bool) {
			yield(register.Print{Job: "K-1", Unit: "P-214", Procedure: "rebuild", Day: "2026-11-30", Fingerprint: "0000000A", Pages: 1, Manifest: raw}, nil)
		})
		return err
	})
	return site
}

func inRegister(t *testing.T, site string, f func(*register.Register) error) {
	t.Helper()
	r, err := register.Open(t.Context(), filepath.Join(site, register.FileName))
	must(t, err)
	defer r.Close()
	must(t, f(r))
}

// inBoxes gives what the register holds of the first print, box by box: value or text, and
// the reason.
func inBoxes(t *testing.T, site string) map[string]string {
	t.Helper()
	out := map[string]string{}
	inRegister(t, site, func(r *register.Register) error {
		all, err := r.Readings(t.Context(), 1)
		for id, is := range all {
			out[id] = strings.TrimSpace(is.Who + " " + is.Value + " " + is.Text + " " + is.Why)
		}
		return err
	})
	return out
}

// pipe runs a command that reads its lines from a pipe.
func pipe(lines string, args ...string) outcome {
	var out, errs bytes.Buffer
	code := Main(args, Streams{In: strings.NewReader(lines), Out: &out, Err: &errs})
	return outcome{code, out.String(), errs.String()}
}

func TestTypeFromAPipe(t *testing.T) {
	site := clearances(t, 4)
	run := func(lines string, more ...string) outcome {
		return pipe(lines, append([]string{"type", "K-1", "--site", site, "--who", "Mechanic 1"}, more...)...)
	}
	if got := pipe("0.11\n", "type", "K-1", "--site", site); got.code != exitWrong || !strings.Contains(got.err, "say who types with --who") || len(inBoxes(t, site)) != 0 {
		t.Errorf("nobody types: %+v", got)
	}
	// What has no end of line was cut off.
	if got := run("0.11\n0.1"); got.code != exitDone || got.out != "kept s1.1: 0.11 mm; within\n" || !strings.Contains(got.err, "has no end and is not taken") || !strings.Contains(got.err, "1 kept, 4 boxes left") {
		t.Errorf("exit code %d\n%s%s", got.code, got.out, got.err)
	}
	// A line that cannot be kept ends the run: the next would land in the wrong box.
	for lines, why := range map[string]string{
		"1,234\n0.11\n": "1,234 may be 1.234 or 1234", "0.15\n0.11\n": `another number, "0.11", follows`, "0.15\n\n0.11\n": "a reason is not said",
		"ten\n0.11\n": "does not begin with a number", "-\n0.11\n": "another number",
	} {
		if got := run(lines); got.code != exitRefused || got.out != "" || !strings.Contains(got.err, why) || !strings.Contains(got.err, "the run ends at box s1.2") {
			t.Errorf("%q: exit code %d\n%s%s", lines, got.code, got.out, got.err)
		}
	}
	if got := run(strings.Repeat("9", 70_000) + "\n"); got.code != exitWrong || !strings.Contains(got.err, "a line has more than") {
		t.Errorf("a long line: %d %s", got.code, got.err)
	}
	// It goes on where it stopped; an empty line skips, and the next run asks again.
	if got := run("0,15\nlet through by the engineer\n\n-\ngauge missing\nran dry\nmore\n", "--json"); got.code != exitDone || strings.Count(got.out, "\n") != 3 ||
		!strings.Contains(got.out, `"box":"s1.2"`) || !strings.Contains(got.out, `"verdict":{"is":"outside","by":"0.02 mm above 0.13 mm"}`) {
		t.Errorf("exit code %d\n%s%s", got.code, got.out, got.err)
	}
	want := map[string]string{"s1.1": "Mechanic 1 0.11 0.11", "s1.2": "Mechanic 1 0.15 0,15 let through by the engineer", "s1.4": "Mechanic 1  - gauge missing", "signoff.cause": "Mechanic 1  ran dry"}
	if got := inBoxes(t, site); fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("the register holds %v, want %v", got, want)
	}
	if got := run(""); !strings.Contains(got.err, "1 box to type, 4 typed before") || !strings.Contains(got.err, "1.3 Smallest, mm; 0.09 to 0.13\u00a0mm; last 0.10\u00a0mm, 2025-03-04; feeler gauge\n") {
		t.Errorf("what is left: %s", got.err)
	}
	for _, again := range []string{"s1.1", "1.1"} {
		value := "0.1" + fmt.Sprint(len(again))
		if got := run(value+"\n", "--again", again); got.code != exitDone || !strings.Contains(got.err, "; Mechanic 1 typed 0.1") || !strings.HasPrefix(inBoxes(t, site)["s1.1"], "Mechanic 1 "+value) && value != "0.14" {
			t.Errorf("again %s: %+v, %v", again, got, inBoxes(t, site))
		}
	}
	if got := run("", "--again", "9.9"); got.code != exitWrong {
		t.Errorf("a box that is not there: %+v", got)
	}
	if got := jobsheaf("register", "verify", "--site", site); got.code != exitDone {
		t.Errorf("%+v", got)
	}
	for _, args := range [][]string{{"type"}, {"type", "K-1", "--csv", "x.csv"}, {"type", "K-9"}, {"type", "K-1", "--print", "2"}, {"type", "--csv", "nowhere.csv", "--who", "M"}, {"type", "--csv", "nowhere.csv"}} {
		if got := jobsheaf(append(args, "--site", site)...); got.code != exitWrong || got.out != "" {
			t.Errorf("%v: %+v", args, got)
		}
	}
	inRegister(t, site, func(r *register.Register) error {
		return r.Decide(t.Context(), register.By{Who: "planner", At: time.Now()}, register.Decision{Kind: register.Close, Print: 1})
	})
	if got := run("0.11\n"); got.code != exitWrong || !strings.Contains(got.err, "job K-1 is closed; open it again first") {
		t.Errorf("a closed job: %+v", got)
	}
}

// byHand types lines as a person does, and gives what was said.
func byHand(t *testing.T, site, who string, in io.Reader) (out, errs string, err error) {
	t.Helper()
	var o, e bytes.Buffer
	inRegister(t, site, func(r *register.Register) error {
		p, err1 := typein.Load(t.Context(), r, "K-1", 0, false)
		must(t, err1)
		d := (&typing{site: site, who: who}).keyboard(Streams{In: in, Out: &o, Err: &e}, r, p)
		d.person = true
		err = d.run(t.Context())
		return nil
	})
	return o.String(), e.String(), err
}

func TestTypeAtATerminal(t *testing.T) {
	site := clearances(t, 4)
	out, said, err := byHand(t, site, "", strings.NewReader(strings.Join([]string{
		"", "Mechanic 2", // who, asked until it is said
		"back",                     // nothing is before
		"?", "1,234", "±1", "0.11", // help; what cannot be kept is asked again
		"1.1", "0.12", // outside, which was a slip: the number again
		"back", "0.13", // corrected
		"",                                    // the third is skipped
		"0.15", "", "?", "12", "-", "because", // why: words are wanted; a number is taken as the reading
		"stop", ""}, "\n")))
	if err != nil {
		t.Fatal(err)
	}
	if want := "kept s1.1: 0.11 mm; within\nkept s1.2: 0.12 mm; within\nkept s1.2: 0.13 mm; within\nkept s1.4: not measured; because\n"; out != want {
		t.Errorf("kept are\n%s, want\n%s\n%s", out, want, said)
	}
	for _, want := range []string{"this is the first", "nothing was measured; a reason is asked for", "not kept: 1,234 may be", "not kept: ± is not", "1.1 mm: OUTSIDE: 0.97 mm above 0.13 mm; 0.11 mm would be within; coarser",
		"Mechanic 2 typed 0.12 mm", "not kept: a reason is not said", "4 kept, 2 boxes left"} {
		if !strings.Contains(said, want) {
			t.Errorf("it does not say %q:\n%s", want, said)
		}
	}
	// Slips are asked about; yes keeps them.
	var asked = strings.NewReader("-\n!\nno gauge\nback\n0.15\nback\n")
	if out, said, err = byHand(t, site, "M", asked); err != nil || !strings.Contains(said, "is no reason") || out != "kept s1.3: not measured; no gauge\n" {
		t.Errorf("%v\n%s%s", err, out, said)
	}
}

// What another person typed meanwhile is told, and the box is asked for again.
func TestTypeMeanwhile(t *testing.T) {
	site := clearances(t, 1)
	in, w := io.Pipe()
	go func() {
		io.WriteString(w, "0.11\n")
		io.WriteString(w, "0.12\nstop\n")
		w.Close()
	}()
	// The other one types before this one's first line is read.
	first := true
	read := readFunc(func(b []byte) (int, error) {
		if first {
			first = false
			inRegister(t, site, func(r *register.Register) error {
				_, err := r.Type(t.Context(), register.By{Who: "Other", At: time.Now()}, register.Reading{Print: 1, Box: "s1.1", Text: "0.10", Value: "0.10", Unit: "mm"})
				return err
			})
		}
		return in.Read(b)
	})
	out, said, err := byHand(t, site, "M", read)
	if err != nil || out != "kept s1.1: 0.12 mm; within\n" || !strings.Contains(said, `Other said "0.10"`) || !strings.Contains(said, "Other typed 0.10 mm") {
		t.Errorf("%v\n%s%s", err, out, said)
	}
	if got := inBoxes(t, site)["s1.1"]; got != "M 0.12 0.12" {
		t.Errorf("the register holds %s", got)
	}
}

type readFunc func([]byte) (int, error)

func (f readFunc) Read(b []byte) (int, error) { return f(b) }

func TestTypeShowsThePicture(t *testing.T) {
	site := clearances(t, 2)
	sum := strings.Repeat("b", 64)
	inRegister(t, site, func(r *register.Register) error {
		_, _, err := r.See(t.Context(), register.By{Who: "M", At: time.Now()}, register.Paper{State: register.Placed, Scan: strings.Repeat("a", 64), File: "s.pdf", At: 1, Print: 1, Page: 1, Picture: sum,
			Boxes: []register.Box{{ID: "s1.1", Is: register.Blank}, {ID: "s1.2", Is: register.Unsure}}})
		return err
	})
	if _, said, _ := byHand(t, site, "M", strings.NewReader("")); strings.Contains(said, ".jpg") {
		t.Errorf("a picture that is not there is shown: %s", said)
	}
	path := filepath.Join(site, "scans", "bb", sum+".jpg")
	must(t, errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, nil, 0o644)))
	_, said, err := byHand(t, site, "M", strings.NewReader("\n\n"))
	if err != nil || !strings.Contains(said, "page 1, steps: "+path+"\n") || !strings.Contains(said, "blank on the paper: Enter skips") || !strings.Contains(said, "perhaps blank on the paper: look") {
		t.Errorf("%v\n%s", err, said)
	}
}

func TestTypeAFile(t *testing.T) {
	site := clearances(t, 2)
	form := jobsheaf("type", "K-1", "--template", "--site", site)
	if want := "job,print,box,page,step,label,limits,last,value,unit,why\nK-1,1,s1.1,1,1.1,Smallest,"; form.code != exitDone || !strings.HasPrefix(form.out, want) {
		t.Fatalf("the form is %+v", form)
	}
	file := filepath.Join(site, "k-1.csv")
	enter := func(text string, more ...string) outcome {
		must(t, os.WriteFile(file, []byte(text), 0o644))
		return jobsheaf(append([]string{"type", "--csv", file, "--site", site, "--who", "Mechanic 1"}, more...)...)
	}
	filled := strings.NewReplacer("2025-03-04\",,mm", "2025-03-04\",0.15,mm").Replace(form.out)
	if got := enter(filled); got.code != exitRefused || got.out != "" || len(inBoxes(t, site)) != 0 ||
		!strings.Contains(got.err, file+":2:11: 1.1 Smallest: 0.15 is OUTSIDE: 0.02 mm above 0.13 mm: say why") || !strings.Contains(got.err, "k-1.csv:3:11") || !strings.Contains(got.err, "2 faults; nothing is entered") {
		t.Errorf("%+v", got)
	}
	filled = strings.ReplaceAll(filled, "0.15,mm,", "0.15,mm,let through")
	for _, want := range []string{"{\"entered\":2}\n", "{\"entered\":0}\n"} {
		if got := enter(filled, "--json"); got.code != exitDone || got.out != want {
			t.Errorf("%+v, want %s", got, want)
		}
	}
	if got := enter(""); got.code != exitRefused || !strings.Contains(got.err, "the file is empty") {
		t.Errorf("%+v", got)
	}
}

// Each number that the packets of the demo ask for can be typed: its unit is known, its own
// limits are within, in both decimal signs, and what was read last time is understood.
func TestTypeTheDemo(t *testing.T) {
	for _, language := range []string{"en", "es"} {
		site := t.TempDir()
		files := demo(t, "soapworks")
		files["site.yaml"] = strings.Replace(files["site.yaml"], "language: en", "language: "+language, 1)
		files.write(t, site)
		if got := jobsheaf("week", "week-49", "--site", site, "--out", t.TempDir(), "--no-register=false", "--quiet"); got.code != exitDone {
			t.Fatalf("%+v", got)
		}
		numbers, limits, lasts := 0, 0, 0
		inRegister(t, site, func(r *register.Register) error {
			var jobs []string
			if err := r.Jobs(t.Context(), register.Query{}, func(j register.Job) error { jobs = append(jobs, j.ID); return nil }); err != nil {
				return err
			}
			for _, job := range jobs {
				p, err := typein.Load(t.Context(), r, job, 0, false)
				if err != nil {
					return err
				}
				for i := range p.Boxes {
					b := &p.Boxes[i]
					if b.Ask.For != manifest.ForReading {
						continue
					}
					numbers++
					for _, limit := range []*float64{b.Ask.Low, b.Ask.High} {
						if limit == nil {
							continue
						}
						limits++
						text := strconv.FormatFloat(*limit, 'f', -1, 64)
						if language == "es" {
							text = strings.Replace(text, ".", ",", 1)
						}
						if is, err := typein.Read(text+" "+b.Ask.Unit, &b.Ask, p.Sign); err != nil || !strings.HasPrefix(is.Verdict.Say(), "within") {
							t.Errorf("%s %s %s: the limit %s %s is %q (%v)", language, job, b.ID, text, b.Ask.Unit, is.Verdict.Say(), err)
						}
					}
					last, _, _ := strings.Cut(b.Ask.Last, ", ")
					if last == "" {
						continue
					}
					lasts++
					if is, err := typein.Read(last, &b.Ask, p.Sign); err != nil || is.Verdict.Doubt != "" && is.Verdict.NeedsWhy() == false {
						t.Errorf("%s %s %s: last %q is %q (%v)", language, job, b.ID, last, is.Verdict.Say(), err)
					}
				}
			}
			return nil
		})
		t.Logf("%s: %d numbers, %d limits, %d with a last reading", language, numbers, limits, lasts)
		if numbers < 300 || limits < 200 || lasts < 20 {
			t.Errorf("%s: %d numbers, %d limits, %d last readings: this test shows nothing", language, numbers, limits, lasts)
		}
	}
}
