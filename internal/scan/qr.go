package scan

import (
	"github.com/makiuchi-d/gozxing"
	several "github.com/makiuchi-d/gozxing/multi/qrcode"
	"github.com/makiuchi-d/gozxing/qrcode"
)

// symbol is a QR code that was read in a picture. Points are the middles of its finders,
// bottom left, top left, top right, and of its alignment pattern where one was found.
type symbol struct {
	text   string
	points []point
}

var (
	usual = map[gozxing.DecodeHintType]any{}
	eager = map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true}
)

// symbols reads the QR codes of a picture, whatever they say: the likeliest one, or all
// that can be told apart. The library panics on some pictures (it indexes by what it
// reads), and what is scanned may be anything: a panic is no code.
func (p plane) symbols(all bool) (found []symbol) {
	defer func() {
		if recover() != nil {
			found = nil
		}
	}()
	source, err := gozxing.NewPlanarYUVLuminanceSource(p.pix, p.stride, p.h, 0, 0, p.w, p.h, false)
	if err != nil {
		return nil
	}
	bitmap, err := gozxing.NewBinaryBitmap(gozxing.NewHybridBinarizer(source))
	if err != nil {
		return nil
	}
	if !all {
		if r, err := qrcode.NewQRCodeReader().Decode(bitmap, usual); err == nil {
			found = append(found, symbolOf(r))
		}
		return found
	}
	results, err := several.NewQRCodeMultiReader().DecodeMultiple(bitmap, eager)
	if err != nil {
		return nil
	}
	for _, r := range results {
		found = append(found, symbolOf(r))
	}
	return found
}

func symbolOf(r *gozxing.Result) symbol {
	s := symbol{text: r.GetText()}
	for _, q := range r.GetResultPoints() {
		// The library counts from the edge of the first pixel, we from its middle.
		s.points = append(s.points, point{q.GetX() - 0.5, q.GetY() - 0.5})
	}
	return s
}

// upright reports whether a symbol's points are those of a code that lies flat: neither
// mirrored, nor drawn out, nor so small that it could be anything.
func (s symbol) upright() bool {
	if len(s.points) < 3 {
		return false
	}
	right, down := s.points[2].minus(s.points[1]), s.points[0].minus(s.points[1])
	a, b := right.length(), down.length()
	turn := right.x*down.y - right.y*down.x
	return a > 14 && b > 14 && a < 1.6*b && b < 1.6*a && turn > 0.7*a*b
}
