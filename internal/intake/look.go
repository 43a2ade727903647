package intake

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"slices"
	"strings"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/pagecode"
	"jobsheaf/internal/register"
	"jobsheaf/internal/scan"
	"jobsheaf/internal/scan/sheets"
)

// This file finds out which page a picture shows, and what stands in its boxes.

// read says of a paper what its picture shows, and gives the picture to keep: squared up
// where that could be done.
func (in *Intake) read(ctx context.Context, p *register.Paper, from *sheets.Sheet) (*image.Gray, error) {
	g := from.Gray
	code, ok := in.code(p, g)
	if !ok {
		if p.Code == "" && empty(g) {
			return nil, ErrEmpty
		}
		return g, nil
	}
	p.Code = code.Text
	of, err := in.print(ctx, code.Ref)
	switch {
	case errors.Is(err, register.ErrUnknown):
		p.State, p.Why = register.Unknown, err.Error()
		return g, nil
	case err != nil:
		return nil, err
	case code.Ref.Pages != len(of.pages):
		p.State, p.Why = register.Unknown, fmt.Sprintf("its code says page %d of %d, and that print has %d", code.Ref.Page, code.Ref.Pages, len(of.pages))
		return g, nil
	}
	p.Job, p.Print, p.Page = of.Job, of.Event, code.Ref.Page
	return in.boxes(p, from, func(page *manifest.Page) (scan.Sheet, error) { return scan.Read(g, code, page) }, &of.pages[code.Ref.Page-1]), nil
}

// boxes reads the boxes of a paper whose page is known.
func (in *Intake) boxes(p *register.Paper, from *sheets.Sheet, read func(*manifest.Page) (scan.Sheet, error), page *manifest.Page) *image.Gray {
	s, err := read(page)
	if err != nil {
		p.State, p.Why = register.Unread, err.Error()
		return from.Gray
	}
	p.State, p.Quality, p.Why = register.Placed, quality(&s, from), s.Quality.Look
	for i, b := range s.Boxes {
		is := register.Box{ID: b.ID, Is: marks[b.Is], Ink: hundredths(b.Ink)}
		if ask := page.Boxes[i].Ask; ask != nil && ask.For == manifest.ForVerdict {
			is.Keep = ask.Keep
		}
		p.Boxes = append(p.Boxes, is)
	}
	return s.Picture
}

// marks is what each state is in the register.
var marks = map[scan.State]register.Mark{scan.Marked: register.Marked, scan.Blank: register.Blank, scan.Unsure: register.Unsure}

// sizeGrain is by how much a page may be larger or smaller than it should be, as a part,
// before that is said: a scanner's feed is off by less.
const sizeGrain = 0.012

// quality says in words how well a page could be read, and whether it is of another size
// than it should be, by the resolution that its file gives: a strip that is cut out of such
// a page measures wrongly.
func quality(s *scan.Sheet, from *sheets.Sheet) string {
	q := &s.Quality
	text := fmt.Sprintf("%.0f dpi, contrast %.2f, %d of 4 marks, %d of %d boxes found, %.2f mm off", q.PerMM*25.4, q.Contrast, q.Marks, q.Edges, len(s.Boxes), q.Misfit)
	if s.Rotated != 0 {
		text += fmt.Sprintf(", turned %d°", s.Rotated)
	}
	if q.Bilevel || from.Bilevel {
		text += ", black and white"
	}
	if from.DPI > 0 {
		if size := q.PerMM * 25.4 / from.DPI; math.Abs(size-1) > sizeGrain {
			text += fmt.Sprintf(", %.0f %% of its size", 100*size)
		}
	}
	return text
}

// hundredths rounds to what is worth keeping of an area in mm².
func hundredths(x float64) float64 { return float64(int(x*100+0.5)) / 100 }

// code finds the code of one page of this site on a picture, and says of the paper why
// there is none.
func (in *Intake) code(p *register.Paper, g *image.Gray) (found scan.Code, ok bool) {
	var foreign string
	codes := scan.Codes(g, func(text string) bool {
		_, err := pagecode.Parse(text, in.Link)
		if errors.Is(err, pagecode.ErrElsewhere) {
			foreign = text
		}
		return err == nil
	})
	var texts []string
	for _, c := range codes {
		if !slices.Contains(texts, c.Text) {
			texts = append(texts, c.Text)
		}
	}
	switch {
	case len(texts) == 1:
		return codes[0], true
	case len(texts) > 1:
		p.State, p.Why = register.Unplaced, "there are the codes of several pages on it: "+strings.Join(texts, ", ")+"; scan each page by itself"
		p.Code = strings.Join(texts, " ")
	case foreign != "":
		p.State, p.Code, p.Why = register.Foreign, foreign, "its code is of another site: "+foreign
	default:
		p.State, p.Why = register.Unplaced, "no code of a page was read on it"
	}
	return scan.Code{}, false
}

// print gives the print of which a code is.
func (in *Intake) print(ctx context.Context, ref pagecode.Ref) (*printed, error) {
	key := strings.ToUpper(ref.Job + "/" + ref.Fingerprint)
	in.mu.Lock()
	defer in.mu.Unlock()
	if p := in.prints[key]; p != nil {
		return p, nil
	}
	prints, err := in.Register.Prints(ctx, ref.Job)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(prints, func(p register.Printed) bool { return strings.EqualFold(p.Fingerprint, ref.Fingerprint) })
	switch {
	case len(prints) == 0:
		return nil, fmt.Errorf("job %s: %w; where it was printed elsewhere, import that register first", ref.Job, register.ErrUnknown)
	case i < 0:
		return nil, fmt.Errorf("job %s has no print with the fingerprint %s: %w", prints[0].Job, ref.Fingerprint, register.ErrUnknown)
	}
	p, err := in.open(ctx, prints[i])
	if err != nil {
		return nil, err
	}
	if in.prints == nil || len(in.prints) >= mostPrints {
		in.prints = map[string]*printed{}
	}
	in.prints[key] = p
	return p, nil
}

// open reads the manifest of a print.
func (in *Intake) open(ctx context.Context, p register.Printed) (*printed, error) {
	raw, err := in.Register.Manifest(ctx, p)
	if err != nil {
		return nil, err
	}
	m, err := manifest.Decode(raw)
	if err != nil {
		return nil, fmt.Errorf("job %s, print %d: %w", p.Job, p.N, err)
	}
	return &printed{p, m.Pages}, nil
}

// pictureQuality is that of the JPEG that is kept: a pencil stroke is still seen in it.
const pictureQuality = 60

// pictureOf gives the file of a picture, with its sum.
func pictureOf(g *image.Gray) (sum string, raw []byte, err error) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, g, &jpeg.Options{Quality: pictureQuality}); err != nil {
		return "", nil, err
	}
	of := sha256.Sum256(b.Bytes())
	return hex.EncodeToString(of[:]), b.Bytes(), nil
}

// empty reports a side of paper with next to nothing on it: the back of a page that a
// scanner takes in with it. A grain of dust is not enough to be asked about.
func empty(g *image.Gray) bool {
	const step, edge, dark, most = 2, 12, 150, 0.0005 // of the sides a part in edge is left out: a scanner's shadow
	b := g.Bounds()
	x0, y0, x1, y1 := b.Min.X+b.Dx()/edge, b.Min.Y+b.Dy()/edge, b.Max.X-b.Dx()/edge, b.Max.Y-b.Dy()/edge
	n, all := 0, 0
	for y := y0; y < y1; y += step {
		row := g.Pix[(y-b.Min.Y)*g.Stride:]
		for x := x0; x < x1; x += step {
			all++
			if row[x-b.Min.X] < dark {
				n++
			}
		}
	}
	return float64(n) < most*float64(all)
}
