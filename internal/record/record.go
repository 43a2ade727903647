// Package record holds what a site keeps: the site itself, its units, designs
// with their size tables, liquids, instruments and lists of jobs, and what is
// built in: the terms, the kinds of machine, the GHS statements, the common
// instruments.
//
// Entry points: Load, which reads a site into a Book; Book.Scalar for a single
// value in the view of one unit; Book.Refusal for why a job may not be printed.
// It belongs here if it is the meaning of a key in a site's files. It is not for
// rules that hold between records (check), nor for procedures (procedure), nor
// for computing anything from a record (compute).
//
// A record with an error is kept and marked, so that what depends on it can say
// where the error is, and everything else goes on.
package record

import (
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/source"
)

// Text is a value as its record has it, with its place. Its zero value stands for
// what is not on record.
type Text = source.Text

// Amount is a quantity with its text and place.
type Amount = source.Amount

// Band is a band of quantities with its text and place.
type Band = source.Band

// Record is what every record has.
type Record struct {
	Kind     string   // unit, design, liquid, instrument, list, history, site, machine, terms, statements
	ID       string   // its name, "" for terms and statements
	At       diag.Pos // of its first key
	Span     source.Span
	BuiltIn  bool // came with the program, not from the site
	Problems diag.List

	doc *source.Doc
}

// Broken reports whether an error was found in the record: nothing that depends on
// it may then be printed.
func (r *Record) Broken() bool { return r.Problems.HasErrors() }

// Raw gives the record's own text: what the fingerprint is taken of. A change of
// one character in the record changes it, one elsewhere in its file does not.
func (r *Record) Raw() []byte {
	if r.doc == nil {
		return nil
	}
	return r.doc.Raw()
}

// String names the record as messages do, such as "unit P-214".
func (r *Record) String() string {
	if r.ID == "" {
		return r.Kind
	}
	return r.Kind + " " + r.ID
}

// Book is everything that a site has on record together with what is built in.
type Book struct {
	Site        *Site // nil where site.yaml is missing
	Units       map[string]*Unit
	Designs     map[string]*Design
	Liquids     map[string]*Liquid
	Instruments map[string]*Instrument
	Lists       map[string]*List
	Histories   []*History
	Machines    map[string]*Machine
	// DefaultMachine is the kind of a design that names none; nil where no kind says
	// that it is.
	DefaultMachine *Machine
	Terms          map[string]*Term
	Statements     map[string]*Statement // by code, such as H314
	Precedence     []Precedence
	Relations      []Relation
	Records        []*Record // all of them, in the order of their places
}

// Form says what a scalar is.
type Form uint8

const (
	FormAmount Form = iota + 1 // a quantity; Scalar.Value
	FormBand                   // a band; Scalar.Band
	FormWords                  // a text; Scalar.Text
	FormYesNo                  // true or false; Scalar.Yes
	FormNone                   // "none": known to be without; only a Scalar has it
)

func (f Form) String() string {
	return [...]string{"", "a quantity", "a band", "words", "true or false", "none"}[f]
}

// Term says what one single value may be: its kind and range. Terms are data, in
// terms.yaml. Beside each term with a band stand NAME.low and NAME.high, and
// beside each that may be none NAME.none (true or false); those have Of set.
type Term struct {
	Name      string
	What      string // in words, for sheets and messages
	Form      Form
	Kind      quantity.Kind // of an amount or a band
	bounds    quantity.Band // the ends count as within
	Show      quantity.Show // how it is printed; the kind's plain way where the term says nothing
	Words     []string      // the words that may stand there; nil allows any
	Whole     bool          // a whole number
	mayBeNone bool          // the record may say none
	Fact      string        // its label on the job sheet; "": it does not stand there
	Of        string        // the term that this one is an end of; "" for a term that records may write
	At        diag.Pos

	machines []string // the kinds of machine that have it; nil: all
	broken   bool
}

// Scalar is one single value of a record.
type Scalar struct {
	Name    string // such as end_clearance.set, built.seal, liquid.flash_point
	Term    *Term
	Form    Form
	Value   quantity.Value // FormAmount
	Band    quantity.Band  // FormBand
	Text    string         // FormWords
	Yes     bool           // FormYesNo
	Written string         // as the record has it
	At      diag.Pos
	Source  string // where the record has it from; "" where the record itself is the source
}

// Site is the one site record.
type Site struct {
	Record
	Name          Text
	Paper         string           // such as A4
	Units         quantity.Systems // in which pages print
	Language      string           // such as en
	Link          Text             // what a page's code begins with
	EnergyControl Text             // the site's own procedure for the control of energy
	Emergency     Text
	Strip         bool // the paper strip is printed, where neither job nor procedure says
	Crews         map[string]*Crew
	Signs         map[string]Text   // by role in lower case: who may sign in it
	Dates         string            // one of DateOrders; "" where the record does not say
	Columns       map[string][]Text // by key of a job: the headings that planners' lists have for it
	Scalars       map[string]Scalar // site.*
	Confirmed     []Confirmed
}

// Seats are the heads of bolts that a drawing knows; a joint may name another.
var Seats = []string{"hex", "socket"}

// dateOrders are the orders in which a site may write its dates.
var dateOrders = []string{"year-month-day", "day-month-year", "month-day-year"}

// JobKeys are the keys of a job in a list.
var JobKeys = []string{"job", "unit", "procedure", "day", "crew", "people", "hours", "reason", "strip"}

// Crew is the people who come on one shift.
type Crew struct {
	Name   string
	People Amount // whole, 1 to 200
	Hours  Amount // time, up to 24 h
}

// Unit is one machine in its place.
type Unit struct {
	Record
	Name, Area, Serial Text
	DesignName         Text
	SizeName           Text
	LiquidName         Text // duty.liquid
	Isolate            []IsolationPoint
	History            []HistoryEntry // of its own record, where check wants the oldest first, and of those apart
	Notes              []Text
	Scalars            map[string]Scalar // built.*, duty.*, piping.*, drive.*, unit.*
	Confirmed          []Confirmed

	Machine *Machine // its design's kind; nil where that is not known
	Design  *Design  // nil where the name is not on record
	Size    *Size
	Liquid  *Liquid

	apart []*Record // of its history
}

// IsolationPoint is where one energy is shut off.
type IsolationPoint struct {
	Point  Text // a name, such as E1
	Energy Text // one of Energies
	Device Text
	Where  Text
	Put    Text // into which state, such as "open and locked"
	Prove  Text // how zero energy is proved
	Spot   Text // one of the places of the unit's kind; unknown where the record does not say
	At     diag.Pos

	place *Place // of Spot; nil where that is not known
}

// energies are the kinds of energy that are isolated.
var energies = []string{"electrical", "mechanical", "liquid", "pressure", "heat", "gravity", "air", "chemical"}

// Energies lists the kinds of energy that are isolated.
func Energies() []string { return slices.Clone(energies) }

// Orders are the ways round a bolted joint.
var Orders = []string{"cross", "ring"}

// HistoryEntry is what an earlier job left behind.
type HistoryEntry struct {
	Job      Text
	Day      Text // YYYY-MM-DD
	Replaced []Text
	AsFound  map[string]Amount // by the name of a feature or a term, of its kind
	AsLeft   map[string]Amount

	Apart []*Record // those that it was read from, but for the unit's own
}

// Design is a family of machines with its size table.
type Design struct {
	Record
	Name    Text
	Source  Text
	Machine *Machine // its kind; nil where that is not on record
	Sizes   map[string]*Size
}

// Size is one size of a design: what all sizes share, overlaid by its own.
type Size struct {
	Name       string
	Design     *Design
	Source     string // its own, else the design's
	Scalars    map[string]Scalar
	Joints     map[string]*Joint
	Features   map[string]*Feature
	Assemblies map[string]*Assembly
	// The orders in which the record has them.
	JointOrder, FeatureOrder, AssemblyOrder []string
	Kits                                    []Kit
	Supplies                                []Supply
	Confirmed                               []Confirmed
	At                                      diag.Pos
	From, To                                diag.Pos // its own entry in the table; To is where the next begins
	problems                                diag.List
}

// Broken reports whether an error was found in the size's own entry or in what
// all sizes share.
func (s *Size) Broken() bool { return s.problems.HasErrors() }

// Joint is a bolted joint. Every field may be not on record.
type Joint struct {
	What         Text
	Count        Amount   // of bolts, whole, 1 to 48
	Thread       Text     // such as M12 or 3/8-16
	Grade        Text     // such as 8.8 or SAE 5
	Seat         Text     // hex, socket: what the head bears on
	Circle       Amount   // length: diameter of the bolt circle
	Condition    Text     // of the threads, such as oiled
	Method       Text     // of tightening
	Fraction     Amount   // of proof load, 0.05 to 0.95
	Passes       []Amount // fractions of the torque, rising, the last 1
	Order        string   // cross or ring
	Torque       Band     // recorded instead of computed
	TorqueSource Text
	At           diag.Pos
}

// Feature is what wears and is measured.
type Feature struct {
	Name        string
	Part, What  Text
	New         Amount // of any kind, as are
	RejectBelow Amount
	RejectAbove Amount
	Instrument  Text
	Places      []Text // where to measure, such as A1
	IfWorn      Text
	Points      Text // the drawing of where to measure
	Replaces    Text // the part whose replacement renews it, as history names it

	reads    quantity.Kind // what its instrument reads, where
	hasReads bool          // that is on record
}

// Assembly is what is lifted as one.
type Assembly struct {
	What Text
	Mass Amount // 0.01 kg to 20 t
}

// Kit is a set of spare parts with one number.
type Kit struct {
	Kit        Text
	Number     Text
	When       Text // a condition, compiled by the formula room
	FromSerial Text
	ToSerial   Text
	Items      []Text
}

// Supply is a lubricant or consumable.
type Supply struct {
	Item   Text
	Amount Amount // of any kind, above zero
	Where  Text
	When   Text // a condition
}

// Liquid is what a unit pumps.
type Liquid struct {
	Record
	Name       Text
	Issuer     Text // of the safety data sheet held on site
	SheetDay   Text
	Revision   Text
	Statements []Text // GHS codes
	Wear       []Sign
	FirstAid   []Text
	Spill      []Text
	Say        []Text
	Scalars    map[string]Scalar // liquid.*
	Confirmed  []Confirmed
}

// Sign is what to wear, with the sign that shows it.
type Sign struct {
	Sign, Say Text
}

// Instrument is what a reading is taken with.
type Instrument struct {
	Record
	Resolution  Text
	Show        quantity.Show // the grain in both systems
	Uncertainty Amount        // expanded, k = 2; of the resolution's kind
	Stated      Text          // the uncertainty as it is written, in one system or both
	Confirmed   []Confirmed
}

// List is a list of jobs.
type List struct {
	Record
	Jobs      []*Job
	Cancelled []Text // the IDs of jobs that the list calls off, at their places; none is among Jobs
}

// Job is one unit and one procedure on a day.
type Job struct {
	ID        Text
	Unit      Text
	Procedure Text
	Day       Text // YYYY-MM-DD
	Crew      Text
	People    Amount // whole, 1 to 200
	Hours     Amount // time, up to 1000 h
	Reason    Text   // why the job is done
	Strip     *bool  // whether the paper strip is printed; nil where the entry does not say
	Print     int    // which print of the job it is, from 2; 0 where it replaces none
	Replaces  string // the fingerprint of the print that it replaces; "" for none
	Confirmed []Confirmed
	List      *List // nil for a job that was asked for on the command line
	At        diag.Pos
	from, to  diag.Pos // its entry in the list; to is where the next begins
	Problems  diag.List
}

// Broken reports whether an error was found in the job's own entry.
func (j *Job) Broken() bool { return j.Problems.HasErrors() }

// Statement is a GHS hazard statement.
type Statement struct {
	Code       string // such as H314
	Text       string
	Signal     string   // danger, warning or none
	Pictograms []string // GHS01 to GHS09
	At         diag.Pos
}

// Precedence says that one pictogram hides another for some statements.
type Precedence struct {
	Shown string   // the pictogram that hides
	For   []string // codes that ask for it; nil for any
	Hides string   // the pictogram that is hidden
	Of    []string // codes that ask for it
}
