package scan

import (
	"context"
	"fmt"
	"image"
	"image/png"
	"os"
	"strings"
	"testing"

	"jobsheaf/testdata/scribble"
)

func TestShot(t *testing.T) {
	want := os.Getenv("SHOT") // condition;job;page
	if want == "" {
		t.Skip()
	}
	f := strings.Split(want, ";")
	c, _ := scribble.Named(f[0])
	for _, p := range packets(t, 0) {
		if p.Manifest.Job == f[1] {
			var n int
			fmt.Sscan(f[2], &n)
			o := scribble.Ordinary
			if len(f) > 3 {
				o = scribble.Rough
			}
			s, err := p.Shoot(context.Background(), n, c, *seed, o)
			if err != nil {
				t.Fatal(err)
			}
			out, _ := os.Create("/tmp/shot.png")
			png.Encode(out, s.Image)
			out.Close()
			fmt.Println(len(Codes(s.Image, nil)))
		}
	}
}

func save(name string, p plane) {
	out, _ := os.Create(name)
	g := image.NewGray(image.Rect(0, 0, p.w, p.h))
	copy(g.Pix, p.pix)
	png.Encode(out, g)
	out.Close()
}
