package scan

import (
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"jobsheaf/internal/manifest"
	"jobsheaf/testdata/scribble"
)

func init() {
	dir := os.Getenv("SCANSPY")
	if dir == "" {
		return
	}
	var mu sync.Mutex
	out, _ := os.Create(filepath.Join(dir, "boxes.tsv"))
	n := 0
	spy = func(s scribble.Shot, got Sheet, p *manifest.Page, i int) {
		mu.Lock()
		defer mu.Unlock()
		tr, b := s.Truth[i], got.Boxes[i]
		f := b.f
		fmt.Fprintf(out, "%s\t%s\t%s\t%s\t%v\t%v\t%s\t%.3f\t%.3f\t%.3f\t%.2f\t%.3f\t%d\t%.2f\t%v\t%v\t%.2f\t%d\t%s\t%v\t%.3f\t%.3f\t%v\t%.2f\n", s.Condition, p.Boxes[i].ID, tr.Kind, b.Is, tr.Marked, tr.Hard, tr.What,
			f.own, f.all, f.dark, f.extent, f.share, f.crossings, f.solid, f.near, f.cut, b.Edge, s.Page, strings.Join(tr.Strays, ","), p.Boxes[i].W, f.core, f.bend, f.leaves, f.trace)
		bad := tr.Marked && b.Is == Blank || !tr.Marked && b.Is == Marked || os.Getenv("SCANSPYU") != "" && tr.Marked && !tr.Hard && b.Is == Unsure
		if bad {
			n++
			if n < 300 {
				q := p.Boxes[i]
				r := image.Rect(int(q.X*PerMM)-30, int(q.Y*PerMM)-30, int((q.X+q.W)*PerMM)+30, int((q.Y+q.H)*PerMM)+30).Intersect(got.Picture.Rect)
				o, _ := os.Create(filepath.Join(dir, strings.NewReplacer(" ", "_", "/", "_", "%", "").Replace(fmt.Sprintf("%03d-%s-%v-%s-%s.png", n, s.Condition, b.Is, tr.What, q.Kind))))
				png.Encode(o, got.Picture.SubImage(r))
				o.Close()
				fmt.Printf("%03d %s p%d %s: %s truth %+v f %+v edge %.2f q %+v\n", n, s.Condition, s.Page, q.ID, b.Is, tr, f, b.Edge, got.Quality)
			}
		}
	}
}
