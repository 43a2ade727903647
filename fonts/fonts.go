// Package fonts embeds the open typefaces that packets are set in.
//
// Entry point: Files. It belongs here if it is a font file or its licence. It
// is not for reading or measuring fonts; that is typeface.
//
// The text faces are IBM Plex Sans and IBM Plex Sans Condensed: they tell
// 1, l, I, 0 and O apart. They lack a few signs (⌀ among them), which come from
// DejaVu Sans; readings and identifiers are set in DejaVu Sans Mono. All have
// TrueType (glyf) outlines, which the PDF writer needs. The files are as their
// makers released them (the Plex files unpacked from WOFF, table by table).
package fonts

import _ "embed"

//go:embed IBMPlexSans-Regular.ttf
var sans string

//go:embed IBMPlexSans-Bold.ttf
var sansBold string

//go:embed IBMPlexSansCondensed-Regular.ttf
var condensed string

//go:embed IBMPlexSansCondensed-Bold.ttf
var condensedBold string

//go:embed DejaVuSansMono.ttf
var mono string

//go:embed DejaVuSans.ttf
var signs string

//go:embed DejaVuSans-Bold.ttf
var signsBold string

// PlexLicence is the licence of the IBM Plex files: SIL Open Font License 1.1.
//
//go:embed IBMPlex-LICENSE.txt
var PlexLicence string

// DejaVuLicence is the licence of the DejaVu files: Bitstream Vera and Arev.
//
//go:embed DejaVu-LICENSE.txt
var DejaVuLicence string

// The files, as indices into Files.
const (
	Sans = iota
	SansBold
	Condensed
	CondensedBold
	Mono
	Signs     // for what Sans and Condensed lack
	SignsBold // for what SansBold and CondensedBold lack
	Count     // the number of files
)

// File is one font file.
type File struct {
	Name string // PostScript name
	TTF  string // the file's bytes; a string, so that nobody can change them
}

// Files are the font files, by the indices above.
var Files = [Count]File{
	Sans:          {"IBMPlexSans", sans},
	SansBold:      {"IBMPlexSans-Bold", sansBold},
	Condensed:     {"IBMPlexSansCond", condensed},
	CondensedBold: {"IBMPlexSansCond-Bold", condensedBold},
	Mono:          {"DejaVuSansMono", mono},
	Signs:         {"DejaVuSans", signs},
	SignsBold:     {"DejaVuSans-Bold", signsBold},
}
