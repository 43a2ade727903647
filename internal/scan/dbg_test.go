package scan

import (
	"fmt"
	"image"
	"os"
	"testing"

	"github.com/makiuchi-d/gozxing"
)

func TestDbg(t *testing.T) {
	f := os.Getenv("DBG")
	if f == "" {
		t.Skip()
	}
	p := planeOf(loadPic(t, f))
	a := round(cornerPart * float64(p.w))
	for _, part := range []image.Rectangle{image.Rect(p.w-a, 0, p.w, a), image.Rect(0, p.h-a, a, p.h)} {
		for _, fac := range []float64{1.333, 1} {
			s := p.shrink(part, fac)
			s.spread()
			src, _ := gozxing.NewPlanarYUVLuminanceSource(s.pix, s.stride, s.h, 0, 0, s.w, s.h, false)
			bits, _ := gozxing.NewHybridBinarizer(src).GetBlackMatrix()
			fs := finders(bits)
			for _, f := range fs {
				fmt.Printf("   %.1f %.1f m %.2f n %d\n", f.GetX(), f.GetY(), f.GetEstimatedModuleSize(), f.GetCount())
			}
			ts := triples(fs)
			fmt.Println(part, fac, len(fs), len(ts), len(s.symbols()))
			o := newPlane(s.w, s.h)
			for y := range s.h {
				for x := range s.w {
					if !bits.Get(x, y) {
						o.pix[y*s.w+x] = 255
					}
				}
			}
			save("/tmp/bin.png", o)
			if part.Min.Y == 0 && fac == 1 {
				save("/tmp/bin0.png", o)
			}
		}
	}
}
