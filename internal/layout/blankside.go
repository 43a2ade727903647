package layout

import "jobsheaf/internal/page"

// BlankSide is a page of print files with nothing on it but a line that says so: the
// back of a leaf whose other side ends a packet.
func BlankSide(paper, says string) page.Page {
	w, h, _ := paperSize(paper)
	return page.Page{W: w, H: h, Sheet: "blank", Texts: []page.Text{{X: marginLeft, Y: marginLeft, Size: sizeLabel, Face: page.Regular, Ink: black, S: says}}}
}
