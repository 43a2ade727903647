// Package procedure reads procedure templates: stages of steps with conditions,
// blanks, cautions, figures, and formulas that were parsed and not checked. It
// works in the fragments that procedures use, finds the value that a name stands
// for and the order in which values are computed, and translates the texts into the
// language of the pages.
//
// Entry points: Load, Library.Procedure and Procedure.Find. It belongs here
// if it is about the syntax of templates (templates/README.md) or about one
// procedure as a whole. It is not for the meaning of a formula (formula), for what
// records say, for the fixed words (words), nor for any one unit (compute).
package procedure

import (
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/order"
	"jobsheaf/internal/quantity"
)

// Ref is a name that stands by itself: a value, a term, an instrument, a figure.
type Ref struct {
	Name string
	At   diag.Pos
}

// Text is running text with names in braces.
type Text struct {
	Parts []Part
	At    diag.Pos // of its first rune

	original string // as the template has it, where it was put into another language
}

// Part is a stretch of literal text, or a name that stands in braces.
type Part struct {
	Literal string
	Name    string   // "" for literal text
	At      diag.Pos // of the literal's or the name's first rune
}

// Procedure is a template with the fragments that it uses worked in: what they
// hold stands before what the procedure itself holds, and their stages stand
// where the procedure places them.
type Procedure struct {
	Name     string
	at       diag.Pos
	Title    Text
	Revision string
	language string
	Machines []Ref           // the kinds of machine that it is for; nil for all
	For      *formula.Expr   // which units it is for; nil for all
	People   int             // 0 where the template does not say
	Hours    *quantity.Value // of time; nil where the template does not say
	Scope    []Item
	Pages    int      // how many a packet may have; 0 where the template does not say
	PagesAt  diag.Pos // of that number
	Strip    *bool    // whether the paper strip is printed; nil: as the site says

	values       []Value
	eachJoint    []Value  // named joint.NAME among themselves, joints.J.NAME elsewhere
	eachFeature  []Value  // feature.NAME, features.F.NAME
	eachAssembly []Value  // assembly.NAME, assemblies.A.NAME
	Order        []*Value // all of these, each after those that it is computed from

	Cover   Cover
	Job     JobSheet
	Numbers Numbers
	Wear    Wear
	Stages  []Stage
	Holds   []Hold

	// Files are the bytes of this template and of the fragments it uses, in
	// order of path: what the fingerprint is computed from.
	Files []File

	index    index
	readings map[string]Taken
}

// ForMachine reports whether the procedure is for a kind of machine.
func (p *Procedure) ForMachine(kind string) bool {
	return p.Machines == nil || slices.ContainsFunc(p.Machines, func(r Ref) bool { return r.Name == kind })
}

// MachineNames names the kinds of machine that the procedure is for.
func (p *Procedure) MachineNames() string {
	var names []string
	for _, r := range p.Machines {
		names = append(names, r.Name)
	}
	return strings.Join(names, ", ")
}

// File is the bytes of a template.
type File struct {
	Path    string // as problems name it
	Line    int    // of the file, where the template begins
	BuiltIn bool   // came with the program, not from the site
	Raw     []byte
}

// Value is a named value with its formula, or those of a band's ends and target.
type Value struct {
	Name              string
	Group             Group
	At                diag.Pos // of the name
	What              Text
	is                *formula.Expr
	low, high, target *formula.Expr
	Show              *quantity.Show // nil: as its kind is printed; the zero Show for "show: text"
	ShowAt            diag.Pos
	BuiltIn           bool // a site cannot mend its lines
	Instrument        *Ref // its resolution rounds the band inward
	Finer             *Ref // nil, or the instrument for amounts that Instrument is too coarse for
	Source            Text
	Reads             Text     // its formula in the notation of a handbook
	Letters           []Letter // of Reads
	Language          string   // of its template: the texts that its formula comes to are in it
	Annex             bool     // of a group: its column stands in the annex alone
	Paper             *Paper   // how it stands on paper where it draws on readings; nil: as a worksheet
}

// Letter is a sign of a formula in the notation of a handbook, and the name that it
// stands for.
type Letter struct {
	Letter string
	Name   Ref
}

// Item is a line of a list.
type Item struct {
	Say   Text
	When  *formula.Expr
	Annex bool // of the job sheet's lists: it stands in the annex alone
}

// Signal is the signal word of an alert: danger, warning, caution or notice.
type Signal string

// Alert warns before what it guards. It holds no action.
type Alert struct {
	Signal Signal
	Say    Text
	When   *formula.Expr
	At     diag.Pos
}

// Cover is what a procedure adds to the cover sheet.
type Cover struct {
	Hazards []Alert
	Wear    []Sign
	// FirstAid stands before what the liquid's record says of it.
	FirstAid []Item
	Prove    []Item // zero-energy proof, a tick each
	Stop     []Item // stop-work triggers
}

// Sign is something to wear, with the sign that shows it.
type Sign struct {
	Sign Ref
	Say  Text
	When *formula.Expr
}

// JobSheet is what a procedure adds to the job sheet.
type JobSheet struct {
	Tools, Papers, Parts []Item
	Kits                 bool // the design's kits and consumables are pulled for it
	Figures              []Figure
}

// Numbers is what stands on the sheet of numbers.
type Numbers struct {
	Joints  []Joint
	Table   []Row
	Figures []Figure
}

// Joint names a bolted joint that the job turns.
type Joint struct {
	Joint Ref
	When  *formula.Expr
}

// Row is a value in the table of clearances and fits.
type Row struct {
	Value Ref
	How   Text // how to measure; may be empty
	Index Text // of a part of the annex that begins with it; may be empty
	When  *formula.Expr
	Annex bool // it stands in the annex alone
}

// Wear is what stands on the sheet of wear.
type Wear struct {
	All      bool  // every feature of the unit's size
	Features []Ref // else these
	Renews   []Ref // parts that the job replaces whatever is read on them, as features name them under replaces
	Figures  []Figure
}

// Sheet says on which sheet a stage stands.
type Sheet string

const (
	Steps   Sheet = "steps"
	Service Sheet = "service" // back in service
)

// Stage is a part of the work.
type Stage struct {
	Title  Text
	Sheet  Sheet
	When   []*formula.Expr // all must hold; a used fragment's stage may have two
	Alerts []Alert         // hazards of all its steps, said once at its head
	Steps  []Step
}

// Step is one action, with what guards it and what is read at it.
type Step struct {
	Do      Text
	How     []Item // the motions that it is made of, lettered below it
	When    *formula.Expr
	Alerts  []Alert
	Blanks  []Blank
	Hold    Text // the role that signs before work goes on; empty for none
	Index   Text // what the foot of the pages calls the step; empty where it is not named there
	Figures []Figure
	Does    []Doing // to the machine, in order
	// ProvesZero: zero energy is proved and signed for at this step, and not before.
	ProvesZero bool

	place *Ref // of no step, but of where those that are put there stand
}

// Hold is something that the rules of order ask of a unit, and when it is so.
type Hold struct {
	Fact Ref
	When *formula.Expr
}

// Doing is one thing that a step does to the machine, for the rules of order.
type Doing struct {
	order.Action
	When *formula.Expr // nil: whenever its step applies
}

// Kind says what is written into a blank. The words are those of packet.BlankKind.
type Kind string

const (
	Reading Kind = "reading"
	Written Kind = "words"
	Tick    Kind = "tick"
	Initial Kind = "initial"
	Signed  Kind = "sign"
	Moment  Kind = "when"
)

// Blank is a place to write.
type Blank struct {
	Name              *Ref // by which formulas know the reading; nil: they do not
	Label             Text
	Kind              Kind
	Unit              *quantity.Unit // of a reading; nil: that of its target or limits
	Low, High, Target *Ref
	Instrument        *Ref
	Keep              *Keep // where the reading goes in the unit's history; nil: nowhere
	When              *formula.Expr
}

// Keep says of a reading where it goes in the unit's history: among those as found or as
// left, and under which name.
type Keep struct {
	left bool
	Name Ref // a feature, or a term of the size
}

// String writes it as templates have it, such as "as_left end_clearance".
func (k *Keep) String() string {
	if k.left {
		return "as_left " + k.Name.Name
	}
	return "as_found " + k.Name.Name
}

// Figure is a drawing by name, with what it is drawn from.
type Figure struct {
	Figure  Ref
	Joint   *Ref // the bolted joint that it shows
	Feature *Ref // the worn feature that it shows
	Caption Text
	Numbers []Number // in the order of the template
	Texts   []Label
	When    *formula.Expr
	Annex   bool // it stands in the annex alone
}

// Number is a number of a figure.
type Number struct {
	Key string
	Is  *formula.Expr
}

// Label is a text of a figure.
type Label struct {
	Key string
	Say Text
}
