// Package page is a finished page as plain data: text, shapes, codes and boxes
// at fixed places, in millimetres from the top left corner of the paper.
//
// Entry point: Doc. The layout makes it, the PDF writer and the manifest read
// it. It belongs here if it has a place on paper and no meaning beyond it.
// It is not for breaking lines, measuring text or knowing what a step is.
package page

// Ink is a colour as 8-bit red, green and blue.
type Ink struct{ R, G, B uint8 }

// Face is one of the embedded typefaces.
type Face uint8

const (
	Regular Face = iota
	Bold
	Condensed
	BoldCondensed
	Mono
	FaceCount // the number of faces
)

// Text is one run of text on one line, set left-aligned from X with its
// baseline at Y. Layout has measured it: what draws it neither wraps nor
// aligns. Every rune has a glyph in the face.
type Text struct {
	X, Y float64 // mm
	Size float64 // pt
	Face Face
	Ink  Ink
	S    string
	Turn float64 // degrees counter-clockwise about (X, Y); 0 for most
}

// Op is a path segment's kind.
type Op uint8

const (
	Move  Op = iota // to P[0], P[1]
	Line            // to P[0], P[1]
	Curve           // cubic Bézier: controls P[0..1] and P[2..3], end P[4..5]
	Close
)

// Seg is one segment of a path, in mm.
type Seg struct {
	Op Op
	P  [6]float64
}

// Path is a shape that is filled, stroked or both.
type Path struct {
	Segs   []Seg
	Fill   *Ink      // nil: not filled
	Stroke *Ink      // nil: not stroked
	Width  float64   // stroke width in mm
	Dash   []float64 // mm on, mm off; nil: solid
	Round  bool      // round caps and joins; else butt and mitre
	Even   bool      // even-odd fill rule; else non-zero winding
}

// Code is a QR symbol: Modules[row][col] is true where dark. X, Y and Size are
// those of the symbol without its quiet zone, which the layout keeps clear.
type Code struct {
	X, Y, Size float64
	Modules    [][]bool
	Text       string // what the symbol says
	Level      string // error correction level: L, M, Q or H
	Version    int
}

// BoxKind says what a box is for.
type BoxKind string

const (
	Tick  BoxKind = "tick"
	Sign  BoxKind = "sign"
	Blank BoxKind = "blank"
)

// Printed is ink inside a box that is there before anyone writes, such as a
// unit. It is given so that a reader of scans can tell it from handwriting.
type Printed struct {
	Text       string  `json:"text"`
	X, Y, W, H float64 // mm
}

// Box is a place to write, drawn as a solid outline 0.265 mm (0.75 pt) wide. X, Y, W and H
// are of the outline's centre line.
type Box struct {
	ID         string
	Kind       BoxKind
	X, Y, W, H float64
	Printed    []Printed
	Hatched    bool // not on record: filled with light hatching
}

// Image is a picture in grey, row by row from the top, 0 black and 255 white.
type Image struct {
	X, Y, W, H    float64 // mm
	Columns, Rows int
	Grey          []byte // Columns times Rows
}

// Page is one side of a sheet. Painting order: images, paths, boxes, codes, text.
type Page struct {
	W, H   float64 // mm
	Sheet  string  // the sheet's identifier, such as "cover"
	Title  string  // the sheet's printed title
	Marks  [4][2]float64
	Images []Image // on few pages: a small picture each, not a whole scan
	Paths  []Path
	Boxes  []Box
	Codes  []Code
	Texts  []Text
}

// Mark is an entry of the outline (bookmarks): a title and the page it is on,
// counted from 0. Level 0 is outermost.
type Mark struct {
	Title string
	Page  int
	Level int
}

// Attachment is a file carried inside the document.
type Attachment struct {
	Name, MIME, Description string
	Relationship            string // PDF/A-3 AFRelationship: Source, Data or Supplement
	Data                    []byte
	Packed                  bool   // it is compressed in itself and is carried as it is
	Deflated                []byte // Data as zlib packs it, where two documents carry it; nil: it is packed when it is written
}

// Doc is a finished document.
type Doc struct {
	Title, Subject, Language string // Language as BCP 47, such as "en"
	// Created is the document's date as RFC 3339. It comes from the records,
	// never from the clock, so that the same inputs give the same bytes.
	Created     string
	ID          string // hexadecimal fingerprint, from which the file identifier is made
	Pages       []Page
	Outline     []Mark
	Attachments []Attachment
}
