package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/manifest"
	"jobsheaf/testdata/scribble"
)

// backs is a site whose packets come back.
type backs struct {
	t         *testing.T
	site, out string
}

// printedSite prints jobs of the demo site and enters them.
func printedSite(t *testing.T, jobs ...string) backs {
	t.Helper()
	b := backs{t, t.TempDir(), t.TempDir()}
	demo(t, "soapworks").write(t, b.site)
	b.does(exitDone, append([]string{"make", "--out", b.out, "--no-register=false", "--who", "planner 1"}, jobs...)...)
	return b
}

// does runs a command on the site.
func (b backs) does(want int, args ...string) outcome {
	b.t.Helper()
	got := jobsheaf(append(args, "--site", b.site)...)
	if got.code != want {
		b.t.Fatalf("%v: exit code %d, want %d\n%.2000s\n%.2000s", args, got.code, want, got.out, got.err)
	}
	return got
}

// packet opens what was printed of a job.
func (b backs) packet(job string) *scribble.Packet {
	b.t.Helper()
	raw, err := os.ReadFile(filepath.Join(b.out, job+".json"))
	if err != nil {
		b.t.Fatal(err)
	}
	m, err := manifest.Decode(raw)
	if err != nil {
		b.t.Fatal(err)
	}
	return scribble.Open(filepath.Join(b.out, job+".pdf"), m)
}

// shot gives a page of a packet as it comes back.
func (b backs) shot(p *scribble.Packet, page int, condition string, seed uint64) scribble.Shot {
	b.t.Helper()
	c, ok := scribble.Named(condition)
	if !ok {
		b.t.Fatalf("no condition is named %q", condition)
	}
	s, err := p.Shoot(b.t.Context(), page, c, seed, scribble.Ordinary)
	if err != nil {
		b.t.Fatal(err)
	}
	return s
}

// pdf writes shots as a scan.
func (b backs) pdf(name string, codec scribble.Codec, shots ...scribble.Shot) string {
	b.t.Helper()
	var raw bytes.Buffer
	if err := scribble.WritePDF(&raw, shots, codec); err != nil {
		b.t.Fatal(err)
	}
	return b.file(name, raw.Bytes())
}

func (b backs) file(name string, raw []byte) string {
	b.t.Helper()
	path := filepath.Join(b.t.TempDir(), name)
	if err := os.WriteFile(path, raw, 0o644); err != nil {
		b.t.Fatal(err)
	}
	return path
}

// pictureFile writes a picture as PNG.
func (b backs) pictureFile(name string, img image.Image) string {
	b.t.Helper()
	var raw bytes.Buffer
	if err := png.Encode(&raw, img); err != nil {
		b.t.Fatal(err)
	}
	return b.file(name, raw.Bytes())
}

// readPage is what read --json says of a page.
type readPage struct {
	At      int
	New     bool
	State   string
	Job     string
	Page    int
	Paper   int64
	Remark  string
	Error   string
	Picture string
	Boxes   []struct{ ID, Is string }
}

// read reads scans in and gives what became of each page.
func (b backs) read(want int, scans ...string) []readPage {
	b.t.Helper()
	var out []readPage
	got := jobsheaf(append([]string{"read", "--json", "--who", "planner 2", "--site", b.site}, scans...)...)
	defer func() {
		if got.code == want {
			return
		}
		for _, p := range out {
			if p.State != "placed" || p.Remark != "" {
				b.t.Logf("page %d: %s %d, %s: %s%s", p.At, p.Job, p.Page, p.State, p.Remark, p.Error)
			}
		}
		b.t.Fatalf("read ends with %d, want %d\n%s", got.code, want, got.err)
	}()
	for line := range strings.Lines(got.out) {
		var p readPage
		if err := json.Unmarshal([]byte(line), &p); err != nil {
			b.t.Fatalf("%v: %s", err, line)
		}
		out = append(out, p)
	}
	return out
}

// faults counts what was read of a page against what was written on it.
func faults(p readPage, truth scribble.Truth) (wrong []string, unsure int) {
	for i, box := range p.Boxes {
		switch m := truth[i]; {
		case box.ID != m.Box:
			wrong = append(wrong, fmt.Sprintf("box %d is %s, want %s", i, box.ID, m.Box))
		case box.Is == "unsure":
			unsure++
		case m.Lost || strings.Contains(m.Hand, "pencil"): // which black and white may lose
		case (box.Is == "marked") != m.Marked:
			wrong = append(wrong, fmt.Sprintf("%s is %s, and what was done to it is %q (%s)", box.ID, box.Is, m.What, m.Hand))
		}
	}
	return wrong, unsure
}

// Pages come back in any order, of several packets mixed, in files of every kind: each is
// found, and its boxes are read.
func TestPagesComeBack(t *testing.T) {
	b := printedSite(t, "K-24818", "K-24834")
	one, two := b.packet("K-24818"), b.packet("K-24834")
	grey := b.pdf("monday.pdf", scribble.DCT, b.shot(two, 6, "skew 1", 1), b.shot(one, 4, "turned 180", 2), b.shot(one, 2, "jpeg 40", 3))
	black := b.pdf("tuesday.pdf", scribble.G4, b.shot(one, 5, "bilevel 300", 4), b.shot(two, 2, "bilevel 300", 9))
	photo := b.pictureFile("photo.png", b.shot(one, 6, "photo, mild", 6).Image)
	var tiff bytes.Buffer
	if err := scribble.WriteTIFF(&tiff, []scribble.Shot{b.shot(one, 1, "clean 200", 7), b.shot(one, 3, "creases", 8)}, scribble.Flate); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "wednesday.tif"), tiff.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	got := b.read(exitDone, grey, black, photo, dir)
	shots := []scribble.Shot{b.shot(two, 6, "skew 1", 1), b.shot(one, 4, "turned 180", 2), b.shot(one, 2, "jpeg 40", 3), b.shot(one, 5, "bilevel 300", 4), b.shot(two, 2, "bilevel 300", 9),
		b.shot(one, 6, "photo, mild", 6), b.shot(one, 1, "clean 200", 7), b.shot(one, 3, "creases", 8)}
	if len(got) != len(shots) {
		t.Fatalf("%d pages were read, want %d: %+v", len(got), len(shots), got)
	}
	boxes, unsure := 0, 0
	for i, p := range got {
		job := one.Manifest.Job
		if i == 0 || i == 4 {
			job = two.Manifest.Job
		}
		if p.State != "placed" || !p.New || p.Job != job || p.Page != shots[i].Page || strings.Contains(p.Remark, "before") || strings.Contains(p.Remark, "newer") {
			t.Errorf("page %d is %+v, want page %d of %s", i, p, shots[i].Page, job)
			continue
		}
		wrong, n := faults(p, shots[i].Truth)
		boxes, unsure = boxes+len(p.Boxes), unsure+n
		for _, w := range wrong {
			t.Errorf("%s page %d, %s: %s", p.Job, p.Page, shots[i].Condition, w)
		}
		if _, err := os.Stat(filepath.Join(b.site, "scans", p.Picture[:2], p.Picture+".jpg")); err != nil {
			t.Error(err)
		}
	}
	if unsure*8 > boxes {
		t.Errorf("%d of %d boxes are left to be settled", unsure, boxes)
	}
	before := b.does(exitDone, "register", "verify", "--pictures").out
	for i, p := range b.read(exitDone, dir, photo, black, grey) {
		if p.New {
			t.Errorf("page %d is new when it is read again: %+v", i, p)
		}
	}
	if after := b.does(exitDone, "register", "verify", "--pictures").out; after != before {
		t.Errorf("reading again changed the register: %s, was %s", after, before)
	}
	if out := b.does(exitDone, "read", grey).out; !strings.Contains(out, "K-24818: all 6 pages") || !strings.Contains(out, "K-24834: 2 of 6 pages; page 1, 3, 4, 5 missing") {
		t.Errorf("at the end it says\n%s", out)
	}
}

// A page that is not what it should be is told and kept, and the others are read.
func TestOddPages(t *testing.T) {
	b := printedSite(t, "K-24818")
	first := b.packet("K-24818")
	old := b.shot(first, 4, "clean 150", 1)
	other := printedSite(t, "K-24834").packet("K-24834") // of a print that this register does not hold
	// The site's tag changes, and the job is printed anew.
	unit := filepath.Join(b.site, "units", "saponification.yaml")
	raw, err := os.ReadFile(unit)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(unit, bytes.Replace(raw, []byte("RB40-1127"), []byte("RB40-1128"), 1), 0o644); err != nil {
		t.Fatal(err)
	}
	b.does(exitDone, "make", "K-24818", "--out", b.out, "--no-register=false")
	now := b.packet("K-24818")
	blank := image.NewGray(image.Rect(0, 0, 1240, 1754))
	for i := range blank.Pix {
		blank.Pix[i] = 250
	}
	covered := b.shot(now, 5, "clean 150", 3)
	for _, c := range now.Manifest.Pages[4].Codes {
		const perMM = 150 / 25.4
		for y := int((c.Y - 1) * perMM); y < int((c.Y+c.Size+1)*perMM); y++ {
			for x := int((c.X - 1) * perMM); x < int((c.X+c.Size+1)*perMM); x++ {
				covered.Image.Pix[covered.Image.PixOffset(x, y)] = 255
			}
		}
	}
	scans := []string{
		b.pdf("a.pdf", scribble.DCT, old, b.shot(other, 2, "clean 150", 2)),
		b.pictureFile("b.png", blank),
		b.pictureFile("c.png", covered.Image),
		b.pdf("d.pdf", scribble.DCT, b.shot(now, 2, "clean 150", 4)),
		b.pdf("e.pdf", scribble.Flate, b.shot(now, 2, "clean 150", 5)),
		b.file("f.pdf", []byte("%PDF-1.4\nnot much of one")),
		b.file("g.txt", []byte("a note")),
		b.pdf("h.pdf", scribble.DCT, b.shot(now, 3, "clean 150", 6)),
	}
	got := b.read(exitRefused, scans...)
	want := []string{"placed: of print 1, and print 2 is newer", "unknown: job K-24834: it is not in the register", "error: an empty side", "unplaced: no code of a page", "placed:", "placed: it came before, as page 1 of d.pdf, which counts", "placed:"}
	if len(got) != len(want) {
		t.Fatalf("%d pages were told, want %d: %+v", len(got), len(want), got)
	}
	for i, p := range got {
		is := p.State + ": " + p.Remark
		if p.Error != "" {
			is = "error: " + p.Error
		}
		if !strings.HasPrefix(is, want[i]) {
			t.Errorf("page %d is %q, want %q", i, is, want[i])
		}
	}
	told := b.does(exitRefused, append([]string{"read"}, scans...)...).err
	for _, file := range []string{"f.pdf", "g.txt"} {
		if !strings.Contains(told, file) {
			t.Errorf("nothing is said of %s:\n%s", file, told)
		}
	}
	// A person says what the covered page is; its boxes are then read.
	lost := fmt.Sprint(got[3].Paper)
	if list := b.does(exitDone, "place").out; !strings.HasPrefix(list, fmt.Sprint(got[1].Paper)) || !strings.Contains(list, "\n"+lost+"  c.png 1: no code of a page was read on it; picture ") {
		t.Errorf("to be placed:\n%s", list)
	}
	for _, args := range [][]string{{lost, "K-24818"}, {lost, "K-9", "1"}, {lost, "K-24818", "77"}, {lost, "K-24818", "5", "--print", "3"}, {"x"}, {"999", "K-24818", "5"}, {fmt.Sprint(got[0].Paper), "K-24818", "4"}} {
		b.does(exitWrong, append([]string{"place"}, args...)...)
	}
	placed := b.does(exitDone, "place", lost, "K-24818", "5").out
	if !strings.HasPrefix(placed, "K-24818 page 5: ") || strings.Contains(placed, " 0 marked") {
		t.Errorf("placed by a person it is %s", placed)
	}
	b.does(exitDone, "place", fmt.Sprint(got[1].Paper), "--aside", "of another works")
	if list := b.does(exitDone, "place").out; list != "" {
		t.Errorf("still to be placed:\n%s", list)
	}
	b.does(exitDone, "place", fmt.Sprint(got[5].Paper), "--counts")
	if out := b.does(exitRefused, append([]string{"read"}, scans...)...).out; !strings.Contains(out, "K-24818: 3 of 6 pages; page 1, 4, 6 missing") {
		t.Errorf("at the end it says\n%s", out)
	}
	b.does(exitDone, "register", "verify", "--pictures")
	// Placed as another page than it is, its boxes are not found there.
	covered.Image.Pix[0] ^= 1 // another file
	again := b.read(exitRefused, b.pictureFile("again.png", covered.Image))
	wrongly := b.does(exitDone, "place", fmt.Sprint(again[0].Paper), "K-24818", "2").out
	if !strings.Contains(wrongly, "settle its boxes by hand") {
		t.Errorf("placed as another page it is %s", wrongly)
	}
	if slices.ContainsFunc(b.read(exitDone, scans[2]), func(p readPage) bool { return p.New }) {
		t.Error("what was placed by a person came in again")
	}
}
