package sheets

import (
	"errors"
	"image"
	"math"
)

// The luminance of red, green and blue, in parts of 65536. Source: JFIF 1.02, the
// Y of its conversion, which is Rec. ITU-R BT.601's; JPEG stores the same.
const (
	redPart   = 19595
	greenPart = 38470
	bluePart  = 7471
)

// grey gives the luminance of a decoded picture, on white where it is transparent. A
// plane that holds the luminance already is not copied.
func grey(m image.Image) (*image.Gray, error) {
	b := m.Bounds()
	w, h := b.Dx(), b.Dy()
	if err := within(w, h, 1); err != nil {
		return nil, err
	}
	switch m := m.(type) {
	case *image.Gray:
		return &image.Gray{Pix: m.Pix[m.PixOffset(b.Min.X, b.Min.Y):], Stride: m.Stride, Rect: image.Rect(0, 0, w, h)}, nil
	case *image.YCbCr:
		return &image.Gray{Pix: m.Y[m.YOffset(b.Min.X, b.Min.Y):], Stride: m.YStride, Rect: image.Rect(0, 0, w, h)}, nil
	}
	g := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		row := g.Pix[y*g.Stride : y*g.Stride+w]
		switch m := m.(type) {
		case *image.RGBA: // the colours are multiplied by alpha already
			p := m.Pix[m.PixOffset(b.Min.X, b.Min.Y+y):]
			for x := range row {
				p := p[4*x : 4*x+4 : 4*x+4]
				row[x] = luminance(p[0], p[1], p[2]) + (255 - p[3])
			}
		case *image.NRGBA:
			p := m.Pix[m.PixOffset(b.Min.X, b.Min.Y+y):]
			for x := range row {
				p := p[4*x : 4*x+4 : 4*x+4]
				row[x] = luminance(p[0], p[1], p[2])
				if a := uint32(p[3]); a != 255 {
					row[x] = uint8((uint32(row[x])*a + 255*(255-a) + 127) / 255)
				}
			}
		case *image.CMYK:
			p := m.Pix[m.PixOffset(b.Min.X, b.Min.Y+y):]
			for x := range row {
				p := p[4*x : 4*x+4 : 4*x+4]
				row[x] = inked(p[0], p[1], p[2], p[3])
			}
		case *image.Paletted:
			p := m.Pix[m.PixOffset(b.Min.X, b.Min.Y+y):]
			var table [256]uint8
			for i, c := range m.Palette[:min(256, len(m.Palette))] {
				r, g, b, a := c.RGBA()
				table[i] = onWhite(r, g, b, a)
			}
			for x := range row {
				row[x] = table[p[x]]
			}
		case image.RGBA64Image:
			for x := range row {
				c := m.RGBA64At(b.Min.X+x, b.Min.Y+y)
				row[x] = onWhite(uint32(c.R), uint32(c.G), uint32(c.B), uint32(c.A))
			}
		default:
			return nil, errors.New("its picture is of a sort that is not known")
		}
	}
	return g, nil
}

func luminance(r, g, b uint8) uint8 {
	return uint8((redPart*uint32(r) + greenPart*uint32(g) + bluePart*uint32(b) + 1<<15) >> 16)
}

// onWhite lays a colour, multiplied by its alpha, on white; parts from 0 to 65535.
func onWhite(r, g, b, a uint32) uint8 {
	// Divided first, 65535 parts of each may not exceed what 32 bits hold.
	y := (redPart*uint64(r) + greenPart*uint64(g) + bluePart*uint64(b) + 1<<15) >> 16
	return uint8((y + 65535 - uint64(a)) >> 8)
}

// inked gives the grey of four inks, 255 is full. Source: ISO 32000-1, 10.3.3,
// with the luminance of JFIF for its rounder 0.3, 0.59 and 0.11.
func inked(c, m, y, k uint8) uint8 {
	return 255 - uint8(min(255, uint32(luminance(c, m, y))+uint32(k)))
}

// turn says how a stored picture is to be shown: where a step to the right in it leads,
// and where a step down, each as steps to the right and down on the page shown.
type turn struct{ right, down image.Point }

var upright = turn{image.Pt(1, 0), image.Pt(0, 1)}

// clockwise turns the page shown by so many quarters.
func (t turn) clockwise(quarters int) turn {
	for range ((quarters % 4) + 4) % 4 {
		t.right = image.Pt(-t.right.Y, t.right.X)
		t.down = image.Pt(-t.down.Y, t.down.X)
	}
	return t
}

// exif gives the turn of an orientation as EXIF and TIFF count them, from 1; others
// are taken for upright. Source: TIFF 6.0, section 8, Orientation.
func exif(orientation int) turn {
	mirrored := turn{image.Pt(-1, 0), image.Pt(0, 1)}
	switch orientation {
	case 2:
		return mirrored
	case 3:
		return upright.clockwise(2)
	case 4:
		return mirrored.clockwise(2)
	case 5:
		return mirrored.clockwise(3)
	case 6:
		return upright.clockwise(1)
	case 7:
		return mirrored.clockwise(1)
	case 8:
		return upright.clockwise(3)
	}
	return upright
}

// sideways says whether width and height change places.
func (t turn) sideways() bool { return t.right.X == 0 }

// turned gives the picture as it is to be shown; the one given may be changed.
func turned(g *image.Gray, t turn) *image.Gray {
	if t == upright {
		return g
	}
	w, h := g.Rect.Dx(), g.Rect.Dy()
	to := image.NewGray(image.Rect(0, 0, w, h))
	if t.sideways() {
		to = image.NewGray(image.Rect(0, 0, h, w))
	}
	stepX, stepY := t.right.X+t.right.Y*to.Stride, t.down.X+t.down.Y*to.Stride
	at := 0 // where the first stored pixel goes
	if t.right.X+t.down.X < 0 {
		at += to.Rect.Dx() - 1
	}
	if t.right.Y+t.down.Y < 0 {
		at += (to.Rect.Dy() - 1) * to.Stride
	}
	// In squares, since rows that become columns would each fetch all of the memory.
	const side = 64
	for y0 := 0; y0 < h; y0 += side {
		for x0 := 0; x0 < w; x0 += side {
			for y := y0; y < min(h, y0+side); y++ {
				row := g.Pix[y*g.Stride+x0 : y*g.Stride+min(w, x0+side)]
				d := at + y*stepY + x0*stepX
				for _, v := range row {
					to.Pix[d] = v
					d += stepX
				}
			}
		}
	}
	return to
}

// square gives a picture whose pixels are square, as far as the file says that they
// are not: faxes have twice as many to the inch across as down. It repeats rows or
// columns, and gives the resolution of the result. x and y are pixels to the inch.
func square(g *image.Gray, x, y float64) (*image.Gray, float64, error) {
	if !(x > 0 && y > 0) || math.IsInf(x+y, 0) {
		return g, 0, nil
	}
	w, h := g.Rect.Dx(), g.Rect.Dy()
	dpi := max(x, y)
	if dpi/min(x, y) < 1.2 {
		return g, (x + y) / 2, nil
	}
	fw, fh := math.Round(float64(w)*dpi/x), math.Round(float64(h)*dpi/y)
	if fw > maxSide || fh > maxSide || fw*fh > maxPixels {
		return g, 0, nil // what it says of its resolution is nonsense
	}
	to := image.NewGray(image.Rect(0, 0, int(fw), int(fh)))
	for v := range to.Rect.Dy() {
		from := g.Pix[min(h-1, v*h/to.Rect.Dy())*g.Stride:][:w]
		row := to.Pix[v*to.Stride:][:to.Stride]
		for u := range row {
			row[u] = from[u*w/len(row)]
		}
	}
	return to, dpi, nil
}
