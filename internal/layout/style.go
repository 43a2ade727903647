package layout

import (
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

// This file holds every value of style: the grid, the type scale, the weights
// of lines and the inks. Lengths are in mm, sizes of type in points. Those under
// "reading back" (marks, codes, boxes) were measured, and what reads scans hangs on
// them; the others may be changed here alone.

// The grid. The margins leave text clear of punched holes on the left (ISO 838: 6 mm
// holes, centres 12 mm from the edge) and every code 5 mm from the corner marks.
const (
	marginLeft  = 16.0
	marginRight = 14.0
	headRule    = 23.6 // below the quiet zone of the upper code
	bodyTop     = 26.2
	footRule    = 20.85 // above the lower edge, above the quiet zone of the lower code
	footTall    = 14.95 // of the lines of the footer where they are set close
	bodyFoot    = 22.6  // above the lower edge: nothing of the body comes lower

	// The annex is read at a desk: nobody scans its pages or writes on them, so they
	// have a line above and one below, no codes and no corner marks.
	annexRule = 12.5
	annexTop  = 14.5
	annexFoot = 13.0 // above the lower edge: nothing of the body comes lower

	gutter       = 5.0 // between columns of blocks
	columnGap    = 6.0 // between the two columns of a page
	codeText     = 86  // what the text of a code takes at most beside the lower code
	footLeast    = 25  // what a page must have left for the next sheet to begin there
	gapTight     = 1.2 // between lines that belong together
	gapSmall     = 2.2 // between parts of one block
	gapHow       = 0.5 // above a line that says how
	gapBlock     = 4.5 // between blocks
	gapList      = 2.8 // above a list
	tickGap      = 2.0 // between tick boxes one below the other
	gapAlert     = 1.6 // above an alert at its step
	gapPanel     = 3.0 // above an alert
	gapPart      = 5.0 // before a heading of level 1
	gapStage     = 2.6 // the same in a column
	padPanel     = 2.6 // between a panel's frame and its text
	padAlert     = 1.9 // the same in an alert among the steps
	cellGap      = 3.0 // between the columns of a table
	cellGapDense = 1.8 // the same on a dense sheet
	measure      = 150 // running text is set no wider
	paraWhole    = 60  // a paragraph of less height is never parted

	figureAlone   = 100.0 // width of a figure alone in its row
	figureMost    = 125.0 // and where that makes it lower
	figureLeast   = 60    // nor narrower side by side
	figureSmall   = 64.0  // width of a figure in a column, where that makes it lower
	textBeside    = 56    // what pictograms beside a text leave it at least
	figureCell    = 22.0  // width of a figure in a table
	pictogram     = 23.0
	signSize      = 14.0 // of a sign such as what to wear
	signLeast     = 12.0 // a figure that can be read at this width is a sign
	panelSignal   = 34.0 // width of the signal word's field in an alert
	signRole      = 62.0 // width of the role in a row of signatures
	signRoleDense = 50.0 // the same on a dense sheet, where it takes fewer lines
)

// denser is what of a gap is left on a dense sheet, the more closely it is set.
var denser = [...]float64{0.6, 0.5, 0.4}

// The type scale.
const (
	sizeLabel      = 8.0 // captions of boxes, labels of facts, sources
	sizeTable      = 9.5 // tables
	sizeTableLeast = 8.5 // tables that are read at a desk, where they would cost a page
	sizeAnnex      = 7.9 // the annex, read at a desk beside the records; the least size there is
	sizeTableHead  = 9.5
	sizeBody       = 10.0 // running text
	sizeStep       = 11.0 // actions, alerts
	sizeStage      = 12.0 // headings in a column
	sizeSaid       = 12.0 // what the cover says of the liquid
	sizeLarge      = 14.0 // what is read at arm's length
	sizeTitle      = 20.0 // the sheet's title, the liquid's name
	sizeSignal     = 32.0 // the signal word on the cover
	leading        = 1.2  // from baseline to baseline, in sizes of type
	leadingAnnex   = 1.17 // the same in the annex, whose columns are narrow
	leadingClose   = 1.17 // the same of condensed running text
)

// The weights of lines.
const (
	thin  = 0.2
	rule  = 0.4
	thick = 0.8
	frame = 1.4
)

// The inks: black, two greys and one red. All text is black (or white on black),
// since grey letters fall to dots on a bilevel printer: what weighs less is set
// smaller or narrower. Nothing is told by an ink alone.
var (
	black = page.Ink{}
	mid   = page.Ink{R: 0x8c, G: 0x8c, B: 0x8c} // lines to write on
	light = page.Ink{R: 0xee, G: 0xee, B: 0xee} // bands
	red   = page.Ink{R: 0xc0, G: 0x10, B: 0x20} // the frame of a danger
	white = page.Ink{R: 0xff, G: 0xff, B: 0xff}
)

// Reading back. Source: this project's trials with printed pages, skewed, blurred,
// greased, copied and photographed.
const (
	markSize  = 6.0      // a checker of 2 x 2
	markAt    = 10.0     // its centre from the paper's edges
	codeLarge = 16.0     // the code at the top right, without its quiet zone
	codeSmall = 13.9     // the same code again at the bottom left: askew at 150 dpi, 12 mm does not read
	codeTop   = 5.0      // the upper code from the upper edge
	codeFoot  = 4.6      // the lower code from the lower edge
	codeAside = 18.0     // both from the edge at their side: 5 mm from the corner marks
	quietMost = 4.0 / 21 // of a code's size: 4 modules of version 1, the widest quiet zone
	clear     = 1.5      // nothing is printed nearer to a box outside
	outline   = 0.265    // of a box, 0.75 pt; its half lies outside the box's place

	tickSize  = 4.6
	tickPitch = 13.0 // between the centres of tick boxes side by side
	charWidth = 4.5  // a character written with a glove on
	leastW    = 22.0
	readingH  = 8.0
	wordsH    = 8.0
	signH     = 8.0
	signW     = 40.0
	whenW     = 32.0
	initialW  = 22.0
	wordsW    = 40.0
	noteLine  = 9.0 // between the lines of room for notes
)

// face is how a run of text is set.
type face struct {
	page.Face
	size float64
	ink  page.Ink
}

var (
	faceLabel       = face{page.Regular, sizeLabel, black}
	faceFinder      = face{page.BoldCondensed, sizeLabel, black}
	faceTick        = face{page.Condensed, sizeLabel, black} // above a tick box
	faceTable       = face{page.Condensed, sizeTable, black}
	faceTableDense  = face{page.Condensed, sizeBody, black} // of what is read at the pump
	faceTableSmall  = face{page.Condensed, sizeTable, black}
	faceTableLeast  = face{page.Condensed, sizeTableLeast, black} // the same where it would cost a page
	faceTableHead   = face{page.BoldCondensed, sizeTableHead, black}
	faceBody        = face{page.Regular, sizeBody, black}
	faceSmall       = face{page.Regular, sizeTable, black}
	faceStrong      = face{page.Bold, sizeBody, black}
	faceTarget      = face{page.Condensed, sizeBody, black} // beside a box
	faceStep        = face{page.Regular, sizeStep, black}
	faceSaid        = face{page.Regular, sizeSaid, black}
	faceNumber      = face{page.Bold, sizeBody, black} // of a step
	faceHeading     = face{page.Bold, sizeLarge, black}
	faceTitle       = face{page.Bold, sizeTitle, black}
	faceAnnexHead   = face{page.BoldCondensed, sizeStep, black}
	faceAnnexTitle  = face{page.BoldCondensed, sizeLarge, black}
	faceAnnexPart   = face{page.BoldCondensed, sizeStep, black}
	faceAnnex       = face{page.Condensed, sizeAnnex, black} // two faces do for all of it: each is some 20 KB of the file
	faceAnnexStrong = face{page.BoldCondensed, sizeAnnex, black}
	faceSignal      = face{page.Bold, sizeSignal, white}
)

// hazardFaces set the hazards of the cover, the more closely its sheet is set.
var hazardFaces = [...]face{faceStep, faceBody, faceTableDense}

// set gives the face in which a span of the style is set within text of face f.
func (f face) set(s packet.Style) face {
	switch s {
	case packet.Strong, packet.Missing:
		f.Face = bolder(f.Face)
	case packet.Key:
		f.Face, f.size = page.Condensed, min(f.size, sizeLabel)
	case packet.Soft:
		f.Face = narrower(f.Face)
	}
	return f
}

func bolder(f page.Face) page.Face {
	switch f {
	case page.Regular:
		return page.Bold
	case page.Condensed:
		return page.BoldCondensed
	}
	return f
}

func narrower(f page.Face) page.Face {
	switch f {
	case page.Regular:
		return page.Condensed
	case page.Bold:
		return page.BoldCondensed
	}
	return f
}

// line is the height of a line of text in mm.
func (f face) line() float64 {
	if f.size == sizeAnnex {
		return f.size * typeface.MM * leadingAnnex
	}
	if f.size == sizeBody && f.Face == page.Condensed {
		return f.size * typeface.MM * leadingClose
	}
	return f.size * typeface.MM * leading
}

// rise is how far below the top of its line a baseline lies: capitals stand in
// the middle of the line, which leaves room for accents and descenders.
func (f face) rise() float64 {
	return (f.line() + typeface.CapHeight(f.Face, f.size)) / 2
}
