package desk_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image/jpeg"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
	"jobsheaf/testdata/scribble"
)

// back is the job whose paper came back, unsure its boxes that the scan leaves open, empty
// one in which nothing is written.
const back = "K-24835"

var (
	unsure = []string{"s3.2.done", "s4.1.done", "s6.2.hold.sign"}
	empty  = "s3.4.back-right"
)

// written is a folder with the pictures of the pages of that job, written on by hand.
var written = sync.OnceValues(func() (map[int][]byte, error) {
	dir, err := demo()
	if err != nil {
		return nil, err
	}
	raw, err := os.ReadFile(filepath.Join(dir, "out", back+".json"))
	if err != nil {
		return nil, err
	}
	m, err := manifest.Decode(raw)
	if err != nil {
		return nil, err
	}
	p, out := scribble.Open(filepath.Join(dir, "out", back+".pdf"), m), map[int][]byte{}
	for i := range m.Pages {
		c, _ := scribble.Named("clean 150")
		s, err := p.Shoot(context.Background(), i+1, c, 7, scribble.Ordinary)
		if err != nil {
			return nil, err
		}
		var b bytes.Buffer
		if err := jpeg.Encode(&b, s.Image, &jpeg.Options{Quality: 85}); err != nil {
			return nil, err
		}
		out[i+1] = b.Bytes()
	}
	return out, nil
})

// cameBack has the pages of that job come back to a site.
func cameBack(t testing.TB) func(site string) {
	return func(site string) {
		pages, err := written()
		must(t, err)
		r, err := register.Open(t.Context(), filepath.Join(site, register.FileName))
		must(t, err)
		defer r.Close()
		prints, err := r.Prints(t.Context(), back)
		must(t, err)
		raw, err := r.Manifest(t.Context(), prints[0])
		must(t, err)
		m, err := manifest.Decode(raw)
		must(t, err)
		is := map[string]register.Mark{empty: register.Blank}
		for _, id := range unsure {
			is[id] = register.Unsure
		}
		for i := range m.Pages {
			sum := sha256.Sum256(pages[i+1])
			picture := hex.EncodeToString(sum[:])
			must(t, os.MkdirAll(filepath.Join(site, "scans", picture[:2]), 0o755))
			must(t, os.WriteFile(filepath.Join(site, "scans", picture[:2], picture+".jpg"), pages[i+1], 0o644))
			scan := sha256.Sum256([]byte(fmt.Sprint(back, i)))
			p := register.Paper{State: register.Placed, Scan: hex.EncodeToString(scan[:]), File: "monday.pdf", At: i + 1, Print: prints[0].Event, Page: i + 1, Picture: picture, Quality: "good"}
			for _, b := range m.Pages[i].Boxes {
				mark := is[b.ID]
				if mark == "" {
					mark = register.Marked
				}
				box := register.Box{ID: b.ID, Is: mark}
				if b.Ask != nil {
					box.Keep = b.Ask.Keep
				}
				p.Boxes = append(p.Boxes, box)
			}
			_, _, err := r.See(t.Context(), register.By{Who: "Front office", At: day("2026-12-01T06:55:00Z")}, p)
			must(t, err)
		}
	}
}
