package review

import (
	"image"
	"math"
	"unicode/utf8"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

// Pictures gives the picture of a page, squared up, by its SHA-256; nil where there is
// none.
type Pictures func(sum string) *image.Gray

// The pages of pictures, in mm and points: two columns of a picture with a line above it.
const (
	picturesTop    = 26.0
	picturesMargin = 16.0
	picturesGap    = 6.0
	picturesFoot   = 16.0
	captionSize    = 8.0
	titleSize      = 11.0
	captionLine    = 4.5
	around         = 8.0  // of the page around a box
	highest        = 45.0 // that a picture may be
	mostPictures   = 96   // of a packet; who needs more looks at the pages
)

// crop is a part of a page around a box, with what stands above it.
type crop struct {
	caption string
	page.Image
}

// crops gives the picture of each box about which something was found.
func (p *Packet) crops(found []Finding, words Words, pictures Pictures) (out []crop) {
	boxes := map[string]*manifest.Box{}
	sheets := map[int]*manifest.Page{}
	for i := range p.Manifest.Pages {
		sheets[p.Manifest.Pages[i].Number] = &p.Manifest.Pages[i]
		for k := range p.Manifest.Pages[i].Boxes {
			boxes[p.Manifest.Pages[i].Boxes[k].ID] = &p.Manifest.Pages[i].Boxes[k]
		}
	}
	opened := map[string]*image.Gray{}
	for i := range found {
		f := &found[i]
		b := boxes[f.Box]
		if b == nil || f.Picture == "" || f.Gravity == remark || len(out) == mostPictures {
			continue
		}
		g, have := opened[f.Picture]
		if !have {
			g = pictures(f.Picture)
			opened[f.Picture] = g
		}
		if g == nil {
			continue
		}
		s := Say(found[i:i+1], words)[0]
		if c, ok := cut(g, sheets[f.Page], b, column(float64(sheets[f.Page].W))); ok {
			out = append(out, crop{printable(s.Where + ": " + s.What), c})
		}
	}
	return out
}

// column is the width of one of the two columns of pictures.
func column(w float64) float64 { return (w - 2*picturesMargin - picturesGap) / 2 }

// cut takes a box with what is around it out of the picture of its page, as wide at least
// as told.
func cut(g *image.Gray, p *manifest.Page, b *manifest.Box, wide float64) (m page.Image, ok bool) {
	perMM := float64(g.Rect.Dx()) / float64(p.W)
	px := func(mm float64) int { return int(math.Round(mm * perMM)) }
	beside := max(around, (wide-float64(b.W))/2)
	part := image.Rect(px(float64(b.X)-beside), px(float64(b.Y)-around), px(float64(b.X+b.W)+beside), px(float64(b.Y+b.H)+around)).Add(g.Rect.Min).Intersect(g.Rect)
	if part.Empty() {
		return m, false
	}
	m = page.Image{W: float64(part.Dx()) / perMM, H: float64(part.Dy()) / perMM, Columns: part.Dx(), Rows: part.Dy()}
	for y := part.Min.Y; y < part.Max.Y; y++ {
		from := g.PixOffset(part.Min.X, y)
		m.Grey = append(m.Grey, g.Pix[from:from+part.Dx()]...)
	}
	return m, true
}

// picturePages sets pictures in two columns below a title, on pages of a size.
func picturePages(w, h float64, title string, crops []crop) (out []page.Page) {
	wide := column(w)
	var pg *page.Page
	x, y, tall := picturesMargin, h, 0.0
	for _, c := range crops {
		scale := min(1, wide/c.W, highest/c.H)
		c.W, c.H = c.W*scale, c.H*scale
		lines := broken(c.caption, wide)
		need := float64(len(lines))*captionLine + c.H + picturesGap
		if x > picturesMargin && x+wide > w-picturesMargin+0.01 { // the row is full
			x, y, tall = picturesMargin, y+tall, 0
		}
		if y+need > h-picturesFoot {
			out = append(out, page.Page{W: w, H: h, Sheet: "pictures", Title: title,
				Texts: []page.Text{{X: picturesMargin, Y: picturesTop - 8, Size: titleSize, Face: page.Bold, S: title}}})
			pg, x, y, tall = &out[len(out)-1], picturesMargin, picturesTop, 0
		}
		for i, line := range lines {
			pg.Texts = append(pg.Texts, page.Text{X: x, Y: y + float64(i+1)*captionLine - 1.2, Size: captionSize, Face: page.Regular, S: line})
		}
		c.X, c.Y = x, y+float64(len(lines))*captionLine
		pg.Images = append(pg.Images, c.Image)
		x, tall = x+wide+picturesGap, max(tall, need)
	}
	return out
}

// broken breaks a text into lines of a width, at spaces where there are any.
func broken(s string, w float64) (lines []string) {
	for s != "" {
		end, space := 0, 0
		for i, r := range s {
			next := i + utf8.RuneLen(r)
			if typeface.Width(page.Regular, captionSize, s[:next]) > w && i > 0 {
				break
			}
			if end = next; r == ' ' {
				space = next
			}
		}
		if end < len(s) && space > 0 {
			end = space
		}
		lines, s = append(lines, s[:end]), s[end:]
	}
	return lines
}
