// Package scan reads a page that was written on: which page it is, by its code, and which
// of its boxes are marked.
//
// Entry points: Codes, then Read with the page's entry of the manifest. It belongs here if
// it looks at the pixels of one page. It is not for opening files (scan/sheets), nor for
// what becomes of a page (intake). It never reads handwriting: what a figure says, a
// person types in beside its picture.
//
// A box is marked, blank or unsure. Unsure is for a person to settle; marked and blank
// are told only where the ink leaves no doubt. README.md says how often they are wrong.
package scan

import (
	"errors"
	"fmt"
	"image"
	"slices"

	"jobsheaf/internal/manifest"
)

// picturePerMM is how many pixels of a Sheet's picture there are to a mm of the page.
const picturePerMM = 6

// largest is the longest side of paper that is read, mm: it bounds what is drawn.
const largest = 500

// State says what was seen in a box.
type State string

// States of a box.
const (
	Marked State = "marked"
	Blank  State = "blank"
	Unsure State = "unsure" // for a person to look at
)

// Box is what was seen in a box of the manifest.
type Box struct {
	ID  string
	Is  State
	Ink float64 // mm² of ink that is its own, inside it
	f   findings
}

// Quality says how well a page could be read.
type Quality struct {
	PerMM    float64 // pixels of the picture to a mm, in the middle of the page
	Marks    int     // corner marks found, of 4
	Edges    int     // outlines of boxes found, of len(Boxes)
	Misfit   float64 // mm, root mean square, by which marks and outlines are off
	Contrast float64 // of the print: 0 to 1; 1 is black on white
	Bilevel  bool    // black and white only: a pencil leaves no trace in such a picture
	Look     string  // why a person should look at the page; "" where nothing is amiss
}

// Sheet is a page that was read.
type Sheet struct {
	Picture *image.Gray // the page squared up, picturePerMM pixels to a mm: a box is cut out by the manifest's mm
	Boxes   []Box       // as in the manifest, in its order
	Quality Quality
	Rotated int // degrees clockwise by which the page lay turned: 0, 90, 180 or 270
}

// errNotSquare is Read's error for a page whose marks and boxes are not where the
// manifest has them: nothing that it says may be used.
var errNotSquare = errors.New("the page cannot be squared up")

// Read squares a page up and reads its boxes. The code is one that Codes found in this
// picture; p is the entry of the page in the manifest of the same print. The error wraps
// errNotSquare where the picture does not show that page, whole and flat enough.
//
// A manifest is taken as Decode gives it. Memory: about 5 bytes a pixel of the page at
// 200 dpi, beside the picture itself.
func Read(g *image.Gray, code Code, p *manifest.Page) (Sheet, error) {
	if g == nil || p == nil || g.Bounds().Empty() {
		return Sheet{}, fmt.Errorf("%w: there is no picture or no page", errNotSquare)
	}
	if !slices.ContainsFunc(p.Codes, func(c manifest.Code) bool { return c.Text == code.Text }) {
		return Sheet{}, fmt.Errorf("%w: its code says %q, and this page of the manifest has another", errNotSquare, code.Text)
	}
	if p.W > largest || p.H > largest {
		return Sheet{}, fmt.Errorf("%w: paper of %v by %v mm is larger than any that is printed", errNotSquare, p.W, p.H)
	}
	r := &reader{plane: planeOf(g), page: p}
	if err := r.square(code); err != nil {
		return Sheet{}, err
	}
	return r.sheet(), nil
}

// reader is one page while it is read.
type reader struct {
	plane plane
	page  *manifest.Page

	warp   warp
	pairs  []pair    // what the warp was fitted to
	marks  int       // corner marks among them
	misfit float64   // mm
	print  float64   // contrast of the print: 1 less the grey of its black over that of the paper
	edges  []outline // of each box
}
