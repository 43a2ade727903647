package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"jobsheaf/fonts"
	"jobsheaf/internal/page"
)

// The same pages, by general-purpose ways: every text, line and shape at the same
// place, in the same fonts. The codes are handed to them ready made, and neither
// has to compute a number, to break a line or to find a page: what they are set
// against is our computing, layout and PDF without the codes.

// peerPage is a page as the scripts read it.
type peerPage struct {
	W, H  float64
	Texts []peerText
	Paths []peerPath
}

type peerText struct {
	X, Y, Size float64
	Face       int
	Ink        [3]uint8
	S          string
	Turn       float64
}

type peerPath struct {
	Segs   []page.Seg
	Fill   *[3]uint8
	Stroke *[3]uint8
	Width  float64
	Dash   []float64
}

// comparePeers measures each of the peers that is installed and prints how many
// times our time it takes.
func comparePeers(names []string, docs []page.Doc, ours, pages float64) error {
	if len(names) == 0 {
		return nil
	}
	dir, err := os.MkdirTemp("", "jobsheaf-peers-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	for i := range fonts.Files {
		f := fonts.Files[i]
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("font%d.ttf", i)), []byte(f.TTF), 0o644); err != nil {
			return err
		}
	}
	const few = 12 // packets
	var all [][]peerPage
	for i, d := range docs[:few] {
		p := peerPages(d)
		all = append(all, p)
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("doc%d.typ", i)), []byte(typstOf(p)), 0o644); err != nil {
			return err
		}
	}
	raw, err := json.Marshal(all)
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(dir, "docs.json"), raw, 0o644); err != nil {
		return err
	}
	here, err := filepath.Abs(filepath.Join("testdata", "bench"))
	if err != nil {
		return err
	}
	fmt.Printf("The same pages by other ways, placed by hand, codes ready made, warm, one process (ours: computing, layout and PDF without the codes, %.2f ms CPU a packet):\n", ours)
	for _, name := range names {
		var cmd *exec.Cmd
		switch name {
		case "reportlab":
			cmd = exec.Command("/usr/bin/python3", filepath.Join(here, "reportlab_peer.py"), dir)
		case "typst":
			cmd = exec.Command("node", filepath.Join(here, "typst_peer.mjs"), dir)
		default:
			return fmt.Errorf("%q is no peer; there are reportlab and typst", name)
		}
		cmd.Stderr = os.Stderr
		out, err := cmd.Output()
		var got struct {
			MS      float64
			KB      float64
			Version string
		}
		if err == nil {
			err = json.Unmarshal(out, &got)
		}
		if err != nil {
			fmt.Printf("  %-12s not measured: %v (testdata/bench/README.md says what to install)\n", name, err)
			continue
		}
		fmt.Printf("  %-22s %8.1f ms CPU a packet of %.1f pages, %.0f KB: %.1f times ours\n", name+" "+got.Version, got.MS, pages, got.KB, got.MS/ours)
	}
	return nil
}

// peerPages takes a document apart into texts and paths.
func peerPages(d page.Doc) []peerPage {
	ink := func(k *page.Ink) *[3]uint8 {
		if k == nil {
			return nil
		}
		return &[3]uint8{k.R, k.G, k.B}
	}
	var out []peerPage
	for _, pg := range d.Pages {
		p := peerPage{W: pg.W, H: pg.H}
		for _, q := range pg.Paths {
			p.Paths = append(p.Paths, peerPath{q.Segs, ink(q.Fill), ink(q.Stroke), q.Width, q.Dash})
		}
		black := page.Ink{}
		for _, b := range pg.Boxes {
			p.Paths = append(p.Paths, peerPath{Segs: page.Rect(b.X, b.Y, b.W, b.H), Stroke: ink(&black), Width: 0.25})
		}
		for _, c := range pg.Codes {
			var segs []page.Seg
			m := c.Size / float64(len(c.Modules))
			for y, row := range c.Modules {
				for x := 0; x < len(row); x++ {
					from := x
					for x < len(row) && row[x] {
						x++
					}
					if x > from {
						segs = append(segs, page.Rect(c.X+float64(from)*m, c.Y+float64(y)*m, float64(x-from)*m, m*1.02)...)
					}
				}
			}
			p.Paths = append(p.Paths, peerPath{Segs: segs, Fill: ink(&black)})
		}
		for _, t := range pg.Texts {
			p.Texts = append(p.Texts, peerText{t.X, t.Y, t.Size, int(t.Face), *ink(&t.Ink), t.S, t.Turn})
		}
		out = append(out, p)
	}
	return out
}

// typstOf writes the pages in typst's language.
func typstOf(pages []peerPage) string {
	var b strings.Builder
	b.WriteString("#set page(margin: 0pt)\n#let faces = (" +
		`(font: "IBM Plex Sans", weight: 400, stretch: 100%), (font: "IBM Plex Sans", weight: 700, stretch: 100%), (font: "IBM Plex Sans Condensed", weight: 400, stretch: 75%), (font: "IBM Plex Sans Condensed", weight: 700, stretch: 75%), (font: "DejaVu Sans Mono", weight: 400, stretch: 100%)` +
		")\n#let t(x, y, size, face, ink, s, turn) = place(top + left, dx: x * 1mm, dy: y * 1mm, rotate(-turn * 1deg, origin: top + left, text(..faces.at(face), fallback: true, size: size * 1pt, fill: rgb(..ink), top-edge: \"baseline\", s)))\n")
	for i, p := range pages {
		if i > 0 {
			b.WriteString("#pagebreak()\n")
		}
		fmt.Fprintf(&b, "#set page(width: %gmm, height: %gmm)\n", p.W, p.H)
		for _, q := range p.Paths {
			fill, stroke := "none", "none"
			if q.Fill != nil {
				fill = fmt.Sprintf("rgb(%d, %d, %d)", q.Fill[0], q.Fill[1], q.Fill[2])
			}
			if q.Stroke != nil {
				dash := ""
				if len(q.Dash) > 1 {
					dash = fmt.Sprintf(", dash: (%gmm, %gmm)", q.Dash[0], q.Dash[1])
				}
				stroke = fmt.Sprintf("(paint: rgb(%d, %d, %d), thickness: %gmm%s)", q.Stroke[0], q.Stroke[1], q.Stroke[2], q.Width, dash)
			}
			fmt.Fprintf(&b, "#place(top + left, curve(fill: %s, stroke: %s", fill, stroke)
			for _, s := range q.Segs {
				at := func(k int) string { return fmt.Sprintf("(%.3fmm, %.3fmm)", s.P[k], s.P[k+1]) }
				switch s.Op {
				case page.Move:
					b.WriteString(", curve.move(" + at(0) + ")")
				case page.Line:
					b.WriteString(", curve.line(" + at(0) + ")")
				case page.Curve:
					b.WriteString(", curve.cubic(" + at(0) + ", " + at(2) + ", " + at(4) + ")")
				case page.Close:
					b.WriteString(", curve.close()")
				}
			}
			b.WriteString("))\n")
		}
		for _, t := range p.Texts {
			s, err := json.Marshal(t.S)
			if err != nil {
				continue // a string: cannot be
			}
			fmt.Fprintf(&b, "#t(%.3f, %.3f, %g, %d, (%d, %d, %d), %s, %g)\n", t.X, t.Y, t.Size, t.Face, t.Ink[0], t.Ink[1], t.Ink[2], s, t.Turn)
		}
	}
	return b.String()
}
