package layout

import (
	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
)

// tie says how strongly a piece holds on to the piece before it. A page ends
// before the piece of the weakest tie, the last of those that fit.
type tie uint8

const (
	loose  tie = iota // a page may end here
	apart             // before a step's drawing
	near              // between what is read and who signs for it
	paged             // within a group that stays on one page, in one column or two
	kept              // within a group that stays whole
	joined            // within a step
	fast              // between a heading or an alert and what it is for
)

// piece is a strip across the page that is never cut.
type piece struct {
	span
	h     float64 // without the gap
	gap   float64 // above it; dropped at the top of a page
	over  float64 // weight of the line above it, over the body's width; dropped with the gap
	tie   tie
	foot  int32 // 1 + the index of the heads that stand below it where the next piece begins a column; 0: none
	head  int32 // 1 + the index of the heads that stand above it where it begins a page; 0: none
	title int32 // 1 + the index of the heading that it is; 0: none

	// first and last are the steps or keys by which its page is found; "" for none.
	first, last string
	key         string // of the entry or source that it begins; "" for none
}

// heads is what a table repeats at the top of a page that begins within it, or what
// stands at the end of one column and the head of the next: a span of the canvas and its
// height.
type heads struct {
	span
	h float64
}

// title is a heading for the outline.
type title struct {
	text   string
	level  int
	index  string // what the foot of the pages calls it; "" where it is not named there
	within bool   // it is a step or a drawing, and what it stands in goes on behind it
}

// flow is a packet's body as a row of pieces, before it is cut into pages.
type flow struct {
	canvas
	setter
	scratch
	pieces []piece
	heads  []heads
	titles []title

	left, width float64 // of the body, or of its columns
	halved      bool    // the sheet in hand is set in two columns
	dense       bool    // it is to take a number of pages, and set with narrow gaps
	squeeze     int     // how closely it is set for that
	large       bool    // its tables are set in the type of running text
	annex       bool    // it is one of the annex
	tall        float64 // height of a page's body
	words       *fixedWords
	problems    *diag.List
	packet      *packet.Packet
	sheet       string  // identifier of the sheet in hand, for messages
	open        span    // of the piece in hand
	lastStep    [2]int  // where the last step begins and ends
	inStage     int     // steps of the stage in hand so far
	holdNext    bool    // the next piece holds fast to the last: that was a heading
	head        int32   // of the table in hand
	pad         float64 // between a rule and the text of a row
	unruled     bool    // no rule parts the rows: boxes side by side do
}

// scratch is room that is used again for each block, so that a packet costs few
// allocations. What it holds is good until the next block.
type scratch struct {
	blanks    []placed
	shared    []packet.Blank // blanks whose captions stand once for several of them
	cells     []cell
	lower     []packet.Blank // of the lower level of the row in hand
	lowerEnds []int          // where each line of them ends
	cols      []colNeed
	tried     [2][]colNeed
	naturals  []float64 // widths of the texts of a table, each on one line
	figures   []drawn
	phrase    packet.Phrase
	labels    [2]packet.Span
	plan      []planned
	endings   [][2]ending
}

// halve sets what follows in two columns of a page so wide, or in one.
func (f *flow) halve(two bool, w float64) {
	f.halved, f.width = two, w-marginLeft-marginRight
	if two {
		f.width = (f.width - columnGap) / 2
	}
}

// gap is what of a gap the sheet in hand has.
func (f *flow) gap(g float64) float64 {
	if f.dense {
		return g * denser[f.squeeze]
	}
	return g
}

// blockGap is the gap above a block: a line at its head is clear of the boxes above.
func (f *flow) blockGap() float64 { return max(f.gap(gapBlock), tickClose+rule/2) }

// body is the face of running text; narrower where the sheet would take too many pages.
func (f *flow) body() face {
	if f.squeeze > 0 {
		return faceTableDense
	}
	return faceBody
}

// begin opens a piece; what is drawn next belongs to it, with its top at 0.
func (f *flow) begin() { f.open = f.from() }

// end closes the piece.
func (f *flow) end(gap, h float64, t tie) {
	if f.holdNext {
		t, f.holdNext = fast, false
	}
	f.pieces = append(f.pieces, piece{span: f.upTo(f.open), h: h, gap: gap, tie: t, head: f.head})
}

// ruled gives the last piece a line above it.
func (f *flow) ruled(weight float64) { f.pieces[len(f.pieces)-1].over = weight }

// here marks a place in the row of pieces for bind.
func (f *flow) here() int { return len(f.pieces) }

// found says by which steps or keys the pieces from a mark on are found.
func (f *flow) found(mark int, first, last string) {
	if mark < len(f.pieces) {
		f.pieces[mark].first, f.pieces[mark].last = first, last
	}
}

// bind ties the pieces from a mark on to each other where they fit on one page
// together, and says whether they do.
func (f *flow) bind(mark int, t tie) bool {
	if mark >= len(f.pieces) || f.height(mark) > f.tall {
		return false
	}
	for i := mark + 1; i < len(f.pieces); i++ {
		f.pieces[i].tie = max(f.pieces[i].tie, t)
	}
	return true
}

// pairEnds keeps the first two and the last two of the pieces from a mark on
// together, so that no page has just one line of a list or row of a table.
func (f *flow) pairEnds(mark int) {
	if n := len(f.pieces); n-mark >= 2 {
		f.pieces[mark+1].tie = max(f.pieces[mark+1].tie, kept)
		f.pieces[n-1].tie = max(f.pieces[n-1].tie, kept)
	}
}

// height is that of the pieces from a mark on, at the top of a page.
func (f *flow) height(mark int) float64 {
	h := 0.0
	for i, p := range f.pieces[mark:] {
		if i > 0 {
			h += p.gap
		}
		h += p.h
	}
	return h
}

// part is how high a piece may be where what it is part of is higher than a
// page: then heads and a heading still fit above it.
func (f *flow) part() float64 { return f.tall / 2 }

// errorf notes that something cannot be placed.
func (f *flow) errorf(rule, hint, format string, args ...any) {
	f.problems.Errorf(diag.Pos{File: f.packet.Job.ID + " " + f.sheet}, rule, hint, format, args...)
}

// warnf notes that something is placed less well than it could be.
func (f *flow) warnf(rule, hint, format string, args ...any) {
	f.problems.Warnf(diag.Pos{File: f.packet.Job.ID + " " + f.sheet}, rule, hint, format, args...)
}

// saved is how far the flow has come, so that something can be tried.
type saved struct {
	span
	segs, printed, pieces int
	holdNext              bool
	errors                diag.List
}

func (f *flow) save() saved {
	return saved{f.from(), len(f.segs), len(f.printed), len(f.pieces), f.holdNext, *f.problems}
}

// restore forgets what was drawn since.
func (f *flow) restore(s saved) {
	f.texts, f.paths, f.boxes = f.texts[:s.t0], f.paths[:s.p0], f.boxes[:s.b0]
	f.segs, f.printed, f.pieces = f.segs[:s.segs], f.printed[:s.printed], f.pieces[:s.pieces]
	f.holdNext, *f.problems = s.holdNext, s.errors
}

// placing is how far the placing of a block's blanks has come, so that a way to place
// them can be tried.
type placing struct{ blanks, runs, lines int }

func (f *flow) mark() placing { return placing{len(f.blanks), len(f.runs), len(f.lines)} }

// forget takes back what was placed since.
func (f *flow) forget(p placing) {
	f.blanks, f.runs, f.lines = f.blanks[:p.blanks], f.runs[:p.runs], f.lines[:p.lines]
}
