// Package manifest says what was printed where: page by page the corner marks,
// the codes and every box to write in, in mm from the paper's top left corner.
// It is all that a reader of scans knows about a packet.
//
// Entry points: From, Manifest.Ask, Manifest.Encode and Decode. It belongs here if a
// reader of scans needs it. It is not for deciding what a box asks for (compose does)
// nor for reading images.
package manifest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"iter"

	"jobsheaf/internal/page"
)

// version is the version of the file's shape, and oldest the first one that is still read:
// format 1 does not say what its boxes ask for.
const (
	version = 2
	oldest  = 1
)

// readable says of a format whether it is read here.
func readable(format int) error {
	if format < oldest || format > version {
		return fmt.Errorf("manifest: format is %d; this program reads %d to %d", format, oldest, version)
	}
	return nil
}

// MM is a length in mm. It is written with two decimals, rounded to the nearest.
type MM float64

// Manifest is what was printed of one job.
type Manifest struct {
	Format      int    `json:"format"`
	Job         string `json:"job"`
	Unit        string `json:"unit"`
	Procedure   string `json:"procedure"`
	Revision    string `json:"revision"`
	Day         string `json:"day"`
	Fingerprint string `json:"fingerprint"`
	Program     string `json:"program"`
	Annex       int    `json:"annex"` // pages of the annex, a document of its own with nothing to read back
	Pages       []Page `json:"pages"`
}

// Job names what a document was printed for.
type Job struct {
	ID, Unit, Procedure, Revision, Day, Program string
	Annex                                       int // pages of its annex
}

// Page is one printed page. Marks are the centres of the corner marks: top left,
// top right, bottom left, bottom right.
type Page struct {
	Number int      `json:"page"` // from 1
	Of     int      `json:"of"`
	Sheet  string   `json:"sheet"`
	W      MM       `json:"w"`
	H      MM       `json:"h"`
	Marks  [4][2]MM `json:"marks"`
	Codes  []Code   `json:"codes"`
	Boxes  []Box    `json:"boxes"`
}

// Code is a page's code without its quiet zone.
type Code struct {
	X       MM     `json:"x"`
	Y       MM     `json:"y"`
	Size    MM     `json:"size"`
	Text    string `json:"text"`
	Level   string `json:"level"` // error correction: L, M, Q or H
	Version int    `json:"version"`
}

// Box is a box to write in, by the middle of its outline. Printed is the ink that
// is in it before anyone writes.
type Box struct {
	ID      string    `json:"id"`
	Kind    string    `json:"kind"` // tick, sign or blank
	X       MM        `json:"x"`
	Y       MM        `json:"y"`
	W       MM        `json:"w"`
	H       MM        `json:"h"`
	Hatched bool      `json:"hatched,omitempty"`
	Printed []Printed `json:"printed,omitempty"`
	Ask     *Ask      `json:"ask,omitempty"` // what is to be written into it
}

// Ask is what a box asks for, as the page says it: enough to type a reading in beside
// its picture, and to see what is missing on a page that came back.
type Ask struct {
	For    For      `json:"for"`
	Step   string   `json:"step,omitempty"`   // the number of the step at which it stands, such as 10.4
	Of     string   `json:"of,omitempty"`     // what it is about: a feature, an isolation point, an instrument, a role; of rows to be filled in, which
	Label  string   `json:"label,omitempty"`  // as the page has it; of a step that is done, the beginning of its text
	Unit   string   `json:"unit,omitempty"`   // in which a reading is written
	Low    *float64 `json:"low,omitempty"`    // limits as they are printed, in that unit; both belong to the band
	High   *float64 `json:"high,omitempty"`   //
	Limits string   `json:"limits,omitempty"` // target or limits, as the page has them
	Last   string   `json:"last,omitempty"`   // the reading of last time, as the page or the record has it
	Tool   string   `json:"tool,omitempty"`   // the instrument
	Keep   string   `json:"keep,omitempty"`   // the name that a reading has in the unit's history, such as "as_left end_clearance"
	// Optional is whether the records do not settle that it is asked for: "only where ..." stands there.
	Optional bool `json:"optional,omitempty"`
}

// For says what is written into a box.
type For string

// What boxes are for.
const (
	ForDone    For = "done"     // the tick of a step
	ForStage   For = "stage"    // initials, and the time, of a stage; Step is its number
	ForReading For = "reading"  // a number; of a wear sheet's too
	ForWords   For = "words"    // free text
	ForTick    For = "tick"     // any other box to tick
	ForInitial For = "initial"  // initials of any other kind
	ForWhen    For = "when"     // a date or a time of any other kind
	ForVerdict For = "verdict"  // reuse, replace or replaced, as Label has it; Of is the feature
	ForHold    For = "hold"     // name, signature and time of a hold point; Of is the role
	ForHeld    For = "held"     // the tick of a hold point on the sign-off; Step is its number, "" of zero energy
	ForZero    For = "zero"     // name, signature and time of the proof of zero energy
	ForSign    For = "sign"     // name, signature and time at the end; Of is the role
	ForLock    For = "lock"     // a lock's number; Of is the point, or a person's row
	ForLockOn  For = "lock_on"  // initials: it was put on
	ForProved  For = "proved"   // initials: it was proved
	ForLockOff For = "lock_off" // initials: it was taken off
	ForNumber  For = "number"   // the number of an instrument; Of is it, or the feature measured
	ForDue     For = "due"      // when its calibration is due
	ForNotDone For = "not_done" // a row of what was not done: step, why, by; Of is the row
	ForMissed  For = "missed"   // room of a short job for all that was not done
	ForSupply  For = "supply"   // the tick of a kit, a part, a tool or a paper that was brought
)

// Printed is ink inside a box: a text, or a line where Text is empty.
type Printed struct {
	Text string `json:"text,omitempty"`
	X    MM     `json:"x"`
	Y    MM     `json:"y"`
	W    MM     `json:"w"`
	H    MM     `json:"h"`
}

// From takes a manifest from a finished document. The fingerprint is the
// document's ID.
func From(doc page.Doc, job Job) Manifest {
	m := Manifest{
		Format: version, Job: job.ID, Unit: job.Unit, Procedure: job.Procedure, Revision: job.Revision,
		Day: job.Day, Program: job.Program, Fingerprint: doc.ID, Annex: job.Annex, Pages: make([]Page, len(doc.Pages)),
	}
	for i := range doc.Pages {
		p := &doc.Pages[i]
		out := &m.Pages[i]
		*out = Page{Number: i + 1, Of: len(doc.Pages), Sheet: p.Sheet, W: MM(p.W), H: MM(p.H),
			Codes: make([]Code, len(p.Codes)), Boxes: make([]Box, len(p.Boxes))}
		for k, at := range p.Marks {
			out.Marks[k] = [2]MM{MM(at[0]), MM(at[1])}
		}
		for k, c := range p.Codes {
			out.Codes[k] = Code{X: MM(c.X), Y: MM(c.Y), Size: MM(c.Size), Text: c.Text, Level: c.Level, Version: c.Version}
		}
		for k, b := range p.Boxes {
			box := Box{ID: b.ID, Kind: string(b.Kind), X: MM(b.X), Y: MM(b.Y), W: MM(b.W), H: MM(b.H), Hatched: b.Hatched}
			for _, q := range b.Printed {
				box.Printed = append(box.Printed, Printed{q.Text, MM(q.X), MM(q.Y), MM(q.W), MM(q.H)})
			}
			out.Boxes[k] = box
		}
	}
	return m
}

// Ask says what the boxes ask for, each by its ID.
func (m *Manifest) Ask(asks iter.Seq2[string, Ask]) {
	boxes := map[string]*Box{}
	for i := range m.Pages {
		for k := range m.Pages[i].Boxes {
			boxes[m.Pages[i].Boxes[k].ID] = &m.Pages[i].Boxes[k]
		}
	}
	for id, a := range asks {
		if b := boxes[id]; b != nil {
			b.Ask = &a
		}
	}
}

// Decode reads what Encode wrote. It refuses unknown keys, another format, and
// whatever a printed packet cannot have.
func Decode(raw []byte) (Manifest, error) {
	var m Manifest
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(&m); err != nil {
		return Manifest{}, fmt.Errorf("manifest: %w", err)
	}
	if d.More() {
		return Manifest{}, fmt.Errorf("manifest: more follows at byte %d; a file holds one manifest", d.InputOffset())
	}
	if err := readable(m.Format); err != nil {
		return Manifest{}, err
	}
	return m, m.check()
}

// check reports what cannot be of a printed packet.
func (m Manifest) check() error {
	seen := map[string]int{}
	for i, p := range m.Pages {
		if p.Number != i+1 || p.Of != len(m.Pages) {
			return fmt.Errorf("manifest: entry %d is page %d of %d; expected page %d of %d", i+1, p.Number, p.Of, i+1, len(m.Pages))
		}
		if !(p.W > 0 && p.H > 0 && p.W <= 2000 && p.H <= 2000) {
			return fmt.Errorf("manifest: page %d is %v by %v mm; paper is at most 2000 mm a side", p.Number, p.W, p.H)
		}
		for _, b := range p.Boxes {
			if was, twice := seen[b.ID]; twice {
				return fmt.Errorf("manifest: the box %q is on page %d and again on page %d", b.ID, was, p.Number)
			}
			seen[b.ID] = p.Number
			switch page.BoxKind(b.Kind) {
			case page.Tick, page.Sign, page.Blank:
			default:
				return fmt.Errorf("manifest: page %d, box %q: kind is %q; it must be tick, sign or blank", p.Number, b.ID, b.Kind)
			}
			if !(b.W > 0 && b.H > 0 && b.X >= 0 && b.Y >= 0 && b.X+b.W <= p.W && b.Y+b.H <= p.H) {
				return fmt.Errorf("manifest: page %d, box %q: %v by %v mm at %v, %v lies outside the paper", p.Number, b.ID, b.W, b.H, b.X, b.Y)
			}
		}
	}
	return nil
}
