package main

import (
	"image"
	"image/color"
	"image/png"
	"os"

	"golang.org/x/image/draw"

	"jobsheaf/testdata/scribble"
)

// contact lays shots side by side in rows, each fitted into a cell of w by h pixels: the
// part of it that is named as shares of its width and height.
func contact(name string, shots []scribble.Shot, columns, w, h int, part [4]float64) error {
	const gap = 8
	rows := (len(shots) + columns - 1) / columns
	out := image.NewGray(image.Rect(0, 0, columns*(w+gap)+gap, rows*(h+gap)+gap))
	draw.Draw(out, out.Rect, image.NewUniform(color.Gray{Y: 120}), image.Point{}, draw.Src)
	for i, s := range shots {
		r := s.Image.Rect
		share := func(k float64, n int) int { return int(k * float64(n)) }
		from := image.Rect(share(part[0], r.Dx()), share(part[1], r.Dy()), share(part[2], r.Dx()), share(part[3], r.Dy()))
		k := min(float64(w)/float64(from.Dx()), float64(h)/float64(from.Dy()))
		at := image.Pt(gap+i%columns*(w+gap), gap+i/columns*(h+gap))
		draw.ApproxBiLinear.Scale(out, image.Rectangle{Min: at, Max: at.Add(image.Pt(int(k*float64(from.Dx())), int(k*float64(from.Dy()))))}, s.Image, from, draw.Src, nil)
	}
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	if err := png.Encode(f, out); err != nil {
		return err
	}
	return f.Close()
}
