// Command dump writes sample pages into a folder, to be looked at:
//
//	go run ./testdata/scribble/dump -pdf out/K-24817.pdf -manifest out/K-24817.json -out FOLDER
package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"jobsheaf/internal/manifest"
	"jobsheaf/testdata/scribble"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "dump:", err)
		os.Exit(1)
	}
}

func run() error {
	pdf := flag.String("pdf", "", "a packet")
	where := flag.String("manifest", "", "its manifest")
	out := flag.String("out", "out/scribble", "the folder to write into")
	page := flag.Int("page", 2, "the page; 0: all of them, in one condition, as files of many pages")
	seed := flag.Uint64("seed", 1, "another seed gives other hands")
	wide := flag.Int("wide", 300, "the width of a page on the contact sheet, pixels")
	only := flag.String("condition", "", "this one alone, of: "+strings.Join(names(), "; "))
	rough := flag.Bool("rough", true, "hard marks and strays too")
	flag.Parse()
	raw, err := os.ReadFile(*where)
	if err != nil {
		return err
	}
	m, err := manifest.Decode(raw)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(*out, 0o755); err != nil {
		return err
	}
	o := scribble.Ordinary
	if *rough {
		o = scribble.Rough
	}
	p := scribble.Open(*pdf, m)
	if *page == 0 {
		return packet(p, *out, *only, *seed, o)
	}
	var shots []scribble.Shot
	for _, c := range scribble.Conditions {
		if *only != "" && c.Name != *only {
			continue
		}
		s, err := p.Shoot(context.Background(), *page, c, *seed, o)
		if err != nil {
			return err
		}
		shots = append(shots, s)
		if err := save(filepath.Join(*out, strings.NewReplacer(" %", "", " ", "-", ",", "").Replace(c.Name)), s); err != nil {
			return err
		}
	}
	if err := contact(filepath.Join(*out, "sheet.png"), shots, min(len(shots), 7), *wide, *wide*3/2, [4]float64{0, 0, 1, 1}); err != nil {
		return err
	}
	return contact(filepath.Join(*out, "detail.png"), shots, min(len(shots), 4), *wide*2, *wide, [4]float64{0.05, 0.2, 0.55, 0.4})
}

// packet writes all pages in one condition, clean at 200 dpi unless another is named, as a PDF and a TIFF.
func packet(p *scribble.Packet, out, condition string, seed uint64, o scribble.Options) error {
	if condition == "" {
		condition = "clean 200"
	}
	c, ok := scribble.Named(condition)
	if !ok {
		return fmt.Errorf("no condition is called %q; there are: %s", condition, strings.Join(names(), "; "))
	}
	var shots []scribble.Shot
	for i := range p.Manifest.Pages {
		s, err := p.Shoot(context.Background(), i+1, c, seed, o)
		if err != nil {
			return err
		}
		shots = append(shots, s)
	}
	for end, write := range map[string]func(io.Writer, []scribble.Shot, scribble.Codec) error{"pdf": scribble.WritePDF, "tif": scribble.WriteTIFF} {
		var b bytes.Buffer
		if err := write(&b, shots, scribble.Auto); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(out, "packet."+end), b.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}

// save writes a shot and, beside it, the truth about its boxes.
func save(name string, s scribble.Shot) error {
	var b strings.Builder
	for _, m := range s.Truth {
		fmt.Fprintf(&b, "%-32s %-5s marked=%-5v hard=%-5v lost=%-5v %s %q %s %v\n", m.Box, m.Kind, m.Marked, m.Hard, m.Lost, m.What, m.Text, m.Hand, m.Strays)
	}
	if err := os.WriteFile(name+".txt", []byte(b.String()), 0o644); err != nil {
		return err
	}
	if s.JPEG != nil {
		return os.WriteFile(name+".jpg", s.JPEG, 0o644)
	}
	f, err := os.Create(name + ".png")
	if err != nil {
		return err
	}
	if err := scribble.WritePNG(f, s); err != nil {
		return err
	}
	return f.Close()
}

func names() []string {
	var out []string
	for _, c := range scribble.Conditions {
		out = append(out, c.Name)
	}
	return out
}
