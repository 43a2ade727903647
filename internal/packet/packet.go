// Package packet is what a job packet says, as plain data with no place on
// paper: sheets of blocks, every number with its working, every blank with its
// target. It prints as JSON.
//
// Entry point: Packet. Compose makes it, layout places it. It belongs here if a
// reader of the packet would see it. It is not for computing or for measuring.
package packet

import (
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/words"
)

// Packet is the whole packet of one job.
type Packet struct {
	Job         Job             `json:"job"`
	Site        string          `json:"site"`
	Fingerprint string          `json:"fingerprint"` // eight hexadecimal digits, upper case
	Link        string          `json:"link,omitempty"`
	Paper       string          `json:"paper"`  // one that layout has a size for
	System      string          `json:"system"` // the unit system that comes first: metric or us
	Language    string          `json:"language"`
	Decimal     string          `json:"decimal"` // the decimal sign of the language
	Words       words.Catalogue `json:"-"`       // the fixed words of the pages, by key
	Sheets      []Sheet         `json:"sheets"`  // that are carried to the unit
	Annex       []Sheet         `json:"annex"`   // for whoever checks: a document of its own, whose pages count by themselves
	Needs       Needs           `json:"-"`       // for the front matter; made again with the packet
	Working     []Entry         `json:"working"`
	Program     string          `json:"program"` // name and version of what made it
	Parts       []Part          `json:"parts"`   // what the fingerprint was taken of
	Inputs      []byte          `json:"-"`       // what the packet was made from, as it carries it
}

// Part is one of the inputs that a packet was computed from.
type Part struct {
	Name   string `json:"name"`   // such as "units/P-214.yaml: unit P-214"
	Digest string `json:"digest"` // 16 hexadecimal digits
}

// Job says which job on which unit by which procedure.
type Job struct {
	ID        string `json:"id"`
	Unit      string `json:"unit"`
	UnitName  string `json:"unit_name"`
	Procedure string `json:"procedure"`
	Title     string `json:"title"`
	Revision  string `json:"revision"`
	Day       string `json:"day"` // YYYY-MM-DD
	Crew      string `json:"crew,omitempty"`
	Print     int    `json:"print,omitempty"`    // which print of the job, from 2
	Replaces  string `json:"replaces,omitempty"` // the fingerprint of the print that it replaces
}

// Sheet is one sheet of the packet; it starts on a page of its own. Those of the annex
// follow one another on the same page where they have as many columns.
type Sheet struct {
	ID    string `json:"id"` // cover, card, job, steps, wear, signoff, strip; of the annex working, aside and more
	Title string `json:"title"`
	// Index is what the foot of each page calls the sheet; "" where its headings stand there.
	Index string `json:"index,omitempty"`
	// Columns is 2 for a sheet of short lines, set in two columns.
	Columns int `json:"columns,omitempty"`
	// Pages is set for a sheet that is read in one look: how many it may take. Its gaps and
	// rows are narrow, and the more so where it would take more.
	Pages int `json:"pages,omitempty"`
	// Front is set for a sheet that is hung up, handed over or cut out: on paper that is
	// printed on both sides it begins a leaf.
	Front bool `json:"front,omitempty"`
	// Follow is set for a sheet that may begin below the one before it, on the same page.
	Follow bool    `json:"follow,omitempty"`
	Blocks []Block `json:"blocks"`
}

// Style says how a span of text is set.
type Style string

const (
	Plain   Style = ""
	Strong  Style = "strong"  // a number or word that must be found at a glance
	Key     Style = "key"     // in the annex, the key of an entry of the working, such as W12
	Missing Style = "missing" // NOT ON RECORD, set in a hatched box
	Soft    Style = "soft"    // of less weight, such as a source
)

// Span is text of one style.
type Span struct {
	Text  string `json:"text"`
	Style Style  `json:"style,omitempty"`
	Entry string `json:"entry,omitempty"` // of a number, the name of its entry of the working; it is not printed
}

// Phrase is running text.
type Phrase []Span

// Say makes a plain phrase.
func Say(text string) Phrase {
	if text == "" {
		return nil
	}
	return Phrase{{Text: text}}
}

// String gives the phrase's characters.
func (p Phrase) String() string {
	if len(p) == 1 { // as most have
		return p[0].Text
	}
	n := 0
	for _, s := range p {
		n += len(s.Text)
	}
	b := make([]byte, 0, n)
	for _, s := range p {
		b = append(b, s.Text...)
	}
	return string(b)
}

// Block is one of these; exactly one field is set.
type Block struct {
	Heading *Heading `json:"heading,omitempty"`
	Para    *Para    `json:"para,omitempty"`
	Hazard  *Hazard  `json:"hazard,omitempty"`
	Alert   *Alert   `json:"alert,omitempty"`
	Facts   *Facts   `json:"facts,omitempty"`
	List    *List    `json:"list,omitempty"`
	Table   *Table   `json:"table,omitempty"`
	Step    *Step    `json:"step,omitempty"`
	Done    *Done    `json:"done,omitempty"`
	Sign    *SignOff `json:"sign,omitempty"`
	Figures []Figure `json:"figures,omitempty"` // side by side where they fit
	Notes   *Notes   `json:"notes,omitempty"`
	Working *Working `json:"working,omitempty"` // of the annex, as Index is
	Index   *Index   `json:"index,omitempty"`
	Keep    []Block  `json:"keep,omitempty"` // blocks that stay on one page
	Beside  *Beside  `json:"beside,omitempty"`
}

// Beside is blocks in two columns side by side, which stay on one page.
type Beside struct {
	Left  []Block `json:"left"`
	Right []Block `json:"right"`
	Share float64 `json:"share,omitempty"` // of the width, for the left column; 0: half
}

// Heading opens a part of a sheet. It stays with what follows.
type Heading struct {
	Text  string `json:"text"`
	Level int    `json:"level"`          // 1 for a stage, 2 within it
	Turn  bool   `json:"turn,omitempty"` // it begins a page
	// Index is what the foot of each page calls it where it says on which page things are.
	Index string `json:"index,omitempty"`
}

// Para is a paragraph.
type Para struct {
	Text  Phrase `json:"text"`
	Small bool   `json:"small,omitempty"`
}

// Hazard is the panel of the liquid on the cover.
type Hazard struct {
	Signal     string      `json:"signal"` // the GHS signal word in the page's language, or ""
	Liquid     string      `json:"liquid"`
	Condition  Phrase      `json:"condition"`  // temperature and pressure as found in service
	Pictograms []string    `json:"pictograms"` // GHS01 to GHS09
	Statements []Statement `json:"statements"`
	Source     Phrase      `json:"source,omitempty"` // the safety data sheet and its date
}

// Statement is a GHS hazard statement. The code never replaces the text.
type Statement struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

// Alert is a danger, warning, caution or notice. It holds no action.
type Alert struct {
	Signal string `json:"signal"` // danger, warning, caution or notice
	Word   string `json:"word"`   // the same in the page's language, upper case
	Text   Phrase `json:"text,omitempty"`
	// Lines is set in place of Text where one panel says all hazards of its signal
	// word, a line each.
	Lines []Phrase `json:"lines,omitempty"`
}

// Facts is a grid of labels with their values.
type Facts struct {
	Columns int    `json:"columns"`
	Rows    []Fact `json:"rows"`
}

// Fact is one label with its value.
type Fact struct {
	Label string `json:"label"`
	Value Phrase `json:"value,omitempty"`
}

// List is a list of items, each with a tick box where Tick is set.
type List struct {
	Tick  bool       `json:"tick,omitempty"`
	Items []ListItem `json:"items"`
}

// ListItem is one item; ID names its tick box. A sign stands beside its item, once
// for those of one sign that follow each other.
type ListItem struct {
	ID   string `json:"id,omitempty"`
	Text Phrase `json:"text"`
	Sign string `json:"sign,omitempty"` // a figure, such as what to wear

	Ask *manifest.Ask `json:"-"` // of its tick box, without its label
}

// Table is a table that may break over pages; its headings are then repeated. A
// Double one has two rows side by side where the page allows, and a Small one is
// for looking up at a desk.
type Table struct {
	ID      string   `json:"id"`
	Double  bool     `json:"double,omitempty"`
	Small   bool     `json:"small,omitempty"`
	Title   string   `json:"title,omitempty"`
	Columns []Column `json:"columns"`
	Rows    []Row    `json:"rows"`
	Note    Phrase   `json:"note,omitempty"`
}

// Column is a table's column. Weight shares out the width that is left when
// every column has its least width.
type Column struct {
	Title  string  `json:"title"`
	Weight float64 `json:"weight"`
	Least  float64 `json:"least,omitempty"` // mm; 0: as wide as its longest word or blank
	Right  bool    `json:"right,omitempty"` // numbers are set flush right
}

// Row is one row. A row with a Group and no cells is a band across the table.
type Row struct {
	Group string `json:"group,omitempty"`
	Cells []Cell `json:"cells,omitempty"`
	Index string `json:"index,omitempty"` // what the annex calls the part of the table that begins here
}

// Cell holds text above blanks; either may be absent. A cell with a figure has nothing
// else.
type Cell struct {
	Figure *Figure `json:"figure,omitempty"` // small; left out where it has no drawing of what it is asked for
	Text   Phrase  `json:"text,omitempty"`
	Blanks []Blank `json:"blanks,omitempty"`
}

// BlankKind says what is written into a blank.
type BlankKind string

const (
	Reading BlankKind = "reading" // a number with its unit
	Words   BlankKind = "words"   // free text
	Tick    BlankKind = "tick"    // one of the tick boxes side by side
	Initial BlankKind = "initial" // initials
	Sign    BlankKind = "sign"    // a signature
	When    BlankKind = "when"    // a date or a time
)

// Blank is a place to write. A blank of a Tick kind is a box with its label
// beside it.
type Blank struct {
	ID         string    `json:"id"` // unique in the packet, such as "s12.travel"
	Kind       BlankKind `json:"kind"`
	Label      string    `json:"label,omitempty"`
	Unit       string    `json:"unit,omitempty"`
	Target     Phrase    `json:"target,omitempty"` // or limits, as printed beside the blank
	Instrument string    `json:"instrument,omitempty"`
	Characters int       `json:"characters,omitempty"` // the longest reading of its kind
	// NotOnRecord names what is missing where the blank stands for a number
	// that could not be computed: the blank is then hatched.
	NotOnRecord string `json:"not_on_record,omitempty"`
	// Ask says what for, but for what the fields above and the place of the blank say.
	Ask *manifest.Ask `json:"-"`
}

// Step is one action with what guards it and what is read at it.
type Step struct {
	ID     string   `json:"id"`
	Number string   `json:"number"` // "10.4"
	Alerts []Alert  `json:"alerts,omitempty"`
	Text   Phrase   `json:"text"`
	How    []Phrase `json:"how,omitempty"`  // lines below the action, lettered and without boxes
	Only   Phrase   `json:"only,omitempty"` // "only where ..." when the records do not say
	Blanks []Blank  `json:"blanks,omitempty"`
	Work   []Work   `json:"work,omitempty"` // worked out from what was read, below the blanks
	Hold   *Hold    `json:"hold,omitempty"`
	Figure []Figure `json:"figures,omitempty"`
	Index  string   `json:"index,omitempty"` // as of a heading

	Optional bool `json:"-"` // the records do not settle whether it or its stage is asked for
}

// Done closes a stage: who did it, and when.
type Done struct {
	Text   string  `json:"text"`
	Blanks []Blank `json:"blanks"`
}

// Hold is a hold point: work stops until the named role signs.
type Hold struct {
	Role   string  `json:"role"`
	Blanks []Blank `json:"blanks"` // name, signature, date and time
}

// SignOff is a block of signatures.
type SignOff struct {
	Rows []SignRow `json:"rows"`
}

// SignRow is who signs for what.
type SignRow struct {
	Role   string  `json:"role"`
	For    Phrase  `json:"for,omitempty"`
	Blanks []Blank `json:"blanks"`
}

// Figure is a drawing by name, with what it is drawn from.
type Figure struct {
	Name    string               `json:"name"`
	Caption Phrase               `json:"caption,omitempty"`
	Numbers map[string]float64   `json:"numbers,omitempty"` // lengths in mm, angles in degrees, counts
	Texts   map[string]string    `json:"texts,omitempty"`
	Lists   map[string][]string  `json:"lists,omitempty"`
	Series  map[string][]float64 `json:"series,omitempty"`  // as Numbers, several in order
	Exact   bool                 `json:"exact,omitempty"`   // printed 1:1, never scaled
	Entries []string             `json:"entries,omitempty"` // of the working, by name, of the numbers that its texts have
	Index   string               `json:"index,omitempty"`   // as of a heading
}

// Notes is lined room to write, as many lines high as said.
type Notes struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	Lines int    `json:"lines"`

	Ask *manifest.Ask `json:"-"` // without its label
}

// Index is small lines for looking up at a desk.
type Index struct {
	Rows []Looked `json:"rows"`
}

// Looked is one of them: what it is found by, if anything stands before it, and what it
// says.
type Looked struct {
	Head string `json:"head,omitempty"`
	Text Phrase `json:"text"`
}

// Working is the working of the numbers that are printed at one place, in the annex.
type Working struct {
	At      string  `json:"at"`              // in words, such as Step 9.4; "" for the sheet's heading alone
	To      string  `json:"to,omitempty"`    // the last of several places at which every number stands again
	Entries []Entry `json:"-"`               // of those that are printed nowhere before; Packet.Working has them
	Again   Phrase  `json:"again,omitempty"` // the others, each with the key of its entry
}

// Entry is the working of one printed number.
type Entry struct {
	Key      string   `json:"key"`  // W12, in the order of the annex
	Name     string   `json:"name"` // travel, joints.head.torque
	What     string   `json:"what"`
	Formula  string   `json:"formula"`     // as the template has it, or "as recorded"
	At       Place    `json:"at,omitzero"` // of the formula; of a recorded number, in the record
	Inputs   []Input  `json:"inputs,omitempty"`
	Sources  []string `json:"sources,omitempty"` // where the formula and the inputs come from
	SI       *float64 `json:"si,omitempty"`      // unrounded, in SI units
	Kind     string   `json:"kind,omitempty"`    // of the quantity, as quantity.Kind names it; "" for a text
	Low      *float64 `json:"low,omitempty"`     // of a band, SI, unrounded
	High     *float64 `json:"high,omitempty"`
	Exactly  string   `json:"exactly,omitempty"`  // the unrounded result with its unit
	Printed  string   `json:"printed"`            // as it stands on the sheets; "" for a step of the working
	Rounded  string   `json:"rounded,omitempty"`  // to what Printed is rounded, in words, where its figures do not show it
	Recorded bool     `json:"recorded,omitempty"` // taken from a record as it is; At is its place there
	Governed string   `json:"governed,omitempty"` // which of several limits it took, and why
	Reads    string   `json:"reads,omitempty"`    // the formula in the notation of a handbook
	Stands   []Spot   `json:"stands,omitempty"`   // where it is printed, in the order of the sheets
}

// Input is one value that a formula used.
type Input struct {
	Name   string `json:"name"`
	Letter string `json:"letter,omitempty"` // that it has in Entry.Reads
	Text   string `json:"text"`
	At     Place  `json:"at,omitzero"`   // in the record, of a recorded one
	Key    string `json:"key,omitempty"` // of its own entry, of a computed one
	// Table is the function that looked it up in a table of the program, such as nut_factor.
	Table string `json:"table,omitempty"`
}
