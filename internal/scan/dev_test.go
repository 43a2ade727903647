package scan

import (
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/manifest"
)

func loadPic(t *testing.T, path string) *image.Gray {
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var m image.Image
	if strings.HasSuffix(path, ".png") {
		m, err = png.Decode(f)
	} else {
		m, err = jpeg.Decode(f)
	}
	if err != nil {
		t.Fatal(err)
	}
	if g, ok := m.(*image.Gray); ok {
		return g
	}
	g := image.NewGray(m.Bounds())
	for y := range g.Rect.Dy() {
		for x := range g.Rect.Dx() {
			g.Set(x, y, m.At(x, y))
		}
	}
	return g
}

func TestDev(t *testing.T) {
	dir := os.Getenv("SCANDEV")
	if dir == "" {
		t.Skip()
	}
	raw, _ := os.ReadFile("/tmp/scanout/K-24817.json")
	m, err := manifest.Decode(raw)
	if err != nil {
		t.Fatal(err)
	}
	files, _ := filepath.Glob(dir + "/*")
	_ = exec.Command
	for _, f := range files {
		g := loadPic(t, f)
		t0 := time.Now()
		codes := Codes(g, nil)
		t1 := time.Since(t0)
		if len(codes) == 0 {
			fmt.Printf("%s: no code %v\n", filepath.Base(f), t1)
			continue
		}
		p := &m.Pages[codes[0].Ref.Page-1]
		t0 = time.Now()
		s, err := Read(g, codes[0], p)
		t2 := time.Since(t0)
		if err != nil {
			fmt.Printf("%s: p%d codes %d %v: %v %v\n", filepath.Base(f), p.Number, len(codes[0].at), err, t1, t2)
			continue
		}
		n := map[State]int{}
		most := 0.0
		low := 1.0
		for _, b := range s.Boxes {
			n[b.Is]++
			most = max(most, b.Ink)
			low = min(low, b.Edge)
		}
		fmt.Printf("%s: p%d codes %d/%d rot %d %v ink<%.2f edge>%.2f q %+v codes %v read %v\n", filepath.Base(f), p.Number, len(codes), len(codes[0].at), s.Rotated, n, most, low, s.Quality, t1.Round(time.Millisecond), t2.Round(time.Millisecond))
		for i, b := range s.Boxes {
			if os.Getenv("SCANINK") != "" && b.Ink > 0.1 {
				fmt.Println("   ", b, p.Boxes[i])
			}
		}
		if os.Getenv("SCANOUT") != "" {
			o, _ := os.Create(filepath.Join(os.Getenv("SCANOUT"), filepath.Base(f)+".out.png"))
			png.Encode(o, s.Picture)
			o.Close()
		}
	}
}
