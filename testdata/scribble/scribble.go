// Package scribble makes pages of paper that came back, for tests and measures: the
// pages of a packet, printed, written on by several hands, creased, greased, copied,
// scanned or photographed, with the truth about each box. All comes from a seed.
//
// Entry points: Open, Packet.Shoot, Conditions, and WritePDF and its like for files.
// It belongs here if it makes such pages. It is not for reading them. No real scanner
// and no real handwriting was at hand: README.md says what follows from that.
package scribble

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"image"
	"io"
	"maps"
	"math/rand/v2"
	"os/exec"
	"slices"
	"strconv"
	"sync"

	"jobsheaf/internal/manifest"
)

// Packet is a printed packet: its file and where its boxes lie. Pages are rendered once
// for each resolution. It is safe for several goroutines.
type Packet struct {
	Manifest manifest.Manifest
	path     string
	mu       sync.Mutex
	made     map[rendering]*image.Gray
}

type rendering struct {
	page int
	dpi  float64
}

// Open takes a packet's PDF, whose pages are rendered when they are asked for, and its manifest.
func Open(pdf string, m manifest.Manifest) *Packet {
	return &Packet{Manifest: m, path: pdf, made: map[rendering]*image.Gray{}}
}

// Clean gives page n, from 1, as it was printed. It is shared: it must not be drawn on.
func (p *Packet) Clean(ctx context.Context, n int, dpi float64) (*image.Gray, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	key := rendering{n, dpi}
	if g := p.made[key]; g != nil {
		return g, nil
	}
	g, err := Render(ctx, p.path, n, dpi)
	if err != nil {
		return nil, err
	}
	p.made[key] = g
	return g, nil
}

// Shoot gives page n, from 1, as it comes back in a condition. The same seed gives the same.
func (p *Packet) Shoot(ctx context.Context, n int, c Condition, seed uint64, o Options) (Shot, error) {
	if n < 1 || n > len(p.Manifest.Pages) {
		return Shot{}, fmt.Errorf("scribble: page %d of %d", n, len(p.Manifest.Pages))
	}
	img, err := p.Clean(ctx, n, c.DPI)
	if err != nil {
		return Shot{}, err
	}
	// Sheets are printed on both sides: page 2 is on the back of page 1.
	var other *image.Gray
	if back := (n - 1 ^ 1) + 1; o.Strays > 0 && back <= len(p.Manifest.Pages) {
		if other, err = p.Clean(ctx, back, c.DPI); err != nil {
			return Shot{}, err
		}
	}
	return c.Apply(img, &p.Manifest.Pages[n-1], other, seeded(seed, p.Manifest.Job, strconv.Itoa(n), c.Name), o), nil
}

// Apply prints a page, lets it be written on and puts it through the condition. The
// picture is a rendering of the page at the condition's DPI, other one of the back of
// its sheet, or nil; both are left as they are.
func (c Condition) Apply(img *image.Gray, p *manifest.Page, other *image.Gray, rng *rand.Rand, o Options) Shot {
	if c.print != nil {
		w := &written{canvas: canvas{img: clone(img), ppm: c.DPI / 25.4}, page: p}
		c.print(w, rng)
		img = w.img
	}
	o.Pencil = o.Pencil || c.Pencil
	return c.shoot(write(img, c.DPI, p, other, rng, o), rng)
}

// Named gives the condition of a name.
func Named(name string) (Condition, bool) {
	i := slices.IndexFunc(Conditions, func(c Condition) bool { return c.Name == name })
	if i < 0 {
		return Condition{}, false
	}
	return Conditions[i], true
}

// Render draws one page of a PDF in grey, by pdftoppm.
func Render(ctx context.Context, pdf string, page int, dpi float64) (*image.Gray, error) {
	n := strconv.Itoa(page)
	cmd := exec.CommandContext(ctx, "pdftoppm", "-gray", "-r", strconv.FormatFloat(dpi, 'f', -1, 64), "-f", n, "-l", n, pdf)
	var said bytes.Buffer
	cmd.Stderr = &said
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("scribble: pdftoppm, page %d of %s: %w: %s", page, pdf, err, bytes.TrimSpace(said.Bytes()))
	}
	return readPGM(bytes.NewReader(out))
}

// readPGM reads the raw greymap that pdftoppm writes.
func readPGM(r io.Reader) (*image.Gray, error) {
	b := bufio.NewReader(r)
	var magic string
	var w, h, top int
	if _, err := fmt.Fscan(b, &magic, &w, &h, &top); err != nil || magic != "P5" || top != 255 || w <= 0 || h <= 0 {
		return nil, fmt.Errorf("scribble: pdftoppm wrote no greymap: %s %d by %d, %d greys: %w", magic, w, h, top, err)
	}
	if _, err := b.ReadByte(); err != nil {
		return nil, err
	}
	g := image.NewGray(image.Rect(0, 0, w, h))
	if _, err := io.ReadFull(b, g.Pix); err != nil {
		return nil, err
	}
	return g, nil
}

// order gives what befalls a page in an order that is always the same.
func order(of befalls) []string { return slices.Sorted(maps.Keys(of)) }
