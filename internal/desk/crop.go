package desk

import (
	"bytes"
	"image"
	"image/jpeg"
	"io"
	"math"
	"net/http"
	"strconv"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
	"jobsheaf/internal/scan/sheets"
)

// This file cuts a box out of the picture of its page. Which pictures there are, and where
// a box stands in them, comes from the register alone.

// What is shown of a page around a box, in mm, and how a picture is sent.
const (
	cropBeside  = 12.0 // on each side at least
	cropAbove   = 7.0  // a line of words stands there
	cropBelow   = 3.0
	cropWidest  = 78.0 // a picture is at least so wide, for the words beside the box
	cropPerMM   = 6    // dots on the screen, at most as many as a picture has; see scan.PerMM
	cropQuality = 82
	mostPicture = 16 << 20 // bytes of a picture that is kept
)

// boxOn is a box on its page.
type boxOn struct {
	manifest.Box
	Page *manifest.Page
}

// onPrint is what a print's manifest says of its boxes.
type onPrint struct {
	manifest.Manifest
	by    map[string]boxOn
	order map[string]int
}

// boxesOf gives the boxes of a print; none where its manifest is of another version of the
// program.
func (v *visit) boxesOf(p register.Printed) (*onPrint, error) {
	return v.boxes.get(p.Event, func() (*onPrint, error) {
		raw, err := v.Register.Manifest(v.r.Context(), p)
		if err != nil {
			return nil, err
		}
		on := &onPrint{by: map[string]boxOn{}, order: map[string]int{}}
		if on.Manifest, err = manifest.Decode(raw); err != nil {
			on.Manifest = manifest.Manifest{}
		}
		for i := range on.Pages {
			for _, b := range on.Pages[i].Boxes {
				on.order[b.ID] = len(on.order)
				on.by[b.ID] = boxOn{b, &on.Pages[i]}
			}
		}
		return on, nil
	})
}

// printOf gives a print of a job by its event.
func (v *visit) printOf(job string, event int64) (register.Printed, error) {
	prints, err := v.Register.Prints(v.r.Context(), job)
	for _, p := range prints {
		if p.Event == event {
			return p, err
		}
	}
	if err == nil {
		err = register.ErrUnknown
	}
	return register.Printed{}, err
}

// part is the part of a page, in mm, that is shown of a box.
func (b *boxOn) part() (x0, y0, x1, y1 float64) {
	beside := max(cropBeside, (cropWidest-float64(b.W))/2)
	// At the edge of the page it is moved, not cut off.
	x0 = max(0, float64(b.X)-beside)
	x1 = min(float64(b.Page.W), max(float64(b.X+b.W)+beside, x0+cropWidest))
	x0 = max(0, min(x0, x1-cropWidest))
	return x0, max(0, float64(b.Y)-cropAbove), x1, min(float64(b.Page.H), float64(b.Y+b.H)+cropBelow)
}

// cropped is a picture of a box.
type cropped struct {
	Path          string
	Width, Height int // in CSS pixels
}

// crop gives the picture of a box out of the picture of its page, nil where there is none.
func (v *visit) crop(p register.Printed, picture, box string) *cropped {
	if !sumForm.MatchString(picture) {
		return nil
	}
	on, err := v.boxesOf(p)
	if err != nil {
		return nil
	}
	b, ok := on.by[box]
	if !ok {
		return nil
	}
	x0, y0, x1, y1 := b.part()
	f := frame{visit: v}
	return &cropped{f.Path("crop", p.Job, strconv.FormatInt(p.Event, 10), picture, box), int((x1 - x0) * cropPerMM), int((y1 - y0) * cropPerMM)}
}

// cropPage sends the picture of a box: of a page that came back and was squared up, as the
// register has it.
func (v *visit) cropPage() error {
	n, err := strconv.ParseInt(v.r.PathValue("print"), 10, 64)
	sum := v.r.PathValue("sum")
	if err != nil || !sumForm.MatchString(sum) {
		return errNoPage
	}
	p, err := v.printOf(v.r.PathValue("job"), n)
	if err != nil {
		return err
	}
	on, err := v.boxesOf(p)
	if err != nil {
		return err
	}
	b, ok := on.by[v.r.PathValue("box")]
	if !ok {
		return errNoPage
	}
	page, err := v.pagePicture(p, b.Page.Number, sum)
	if err != nil {
		return err
	}
	perMM := float64(page.Rect.Dx()) / float64(b.Page.W)
	px := func(mm float64) int { return int(math.Round(mm * perMM)) }
	x0, y0, x1, y1 := b.part()
	part := image.Rect(px(x0), px(y0), px(x1), px(y1)).Add(page.Rect.Min).Intersect(page.Rect)
	if part.Empty() {
		return errNoPage
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, page.SubImage(part), &jpeg.Options{Quality: cropQuality}); err != nil {
		return err
	}
	h := v.w.Header()
	h.Set("Content-Type", "image/jpeg")
	h.Set("Content-Length", strconv.Itoa(out.Len()))
	h.Set("Cache-Control", "private, max-age=31536000, immutable") // it is named by what is in it
	v.w.WriteHeader(http.StatusOK)
	_, err = out.WriteTo(v.w)
	return v.gone(err)
}

// pagePicture gives the picture of a page of a print, where a paper of it has that picture.
func (v *visit) pagePicture(p register.Printed, page int, sum string) (*image.Gray, error) {
	return v.opened.get(pictureOf{p.Event, page, sum}, func() (*image.Gray, error) {
		papers, err := v.Register.Papers(v.r.Context(), p.Event)
		if err != nil {
			return nil, err
		}
		known := false
		for _, paper := range papers {
			known = known || paper.Page == page && paper.Picture == sum && paper.State == register.Placed
		}
		if !known {
			return nil, errNoPage
		}
		f, err := v.Scans.Open(register.PictureFile(sum))
		if err != nil {
			return nil, errNoPage
		}
		defer f.Close()
		raw, err := io.ReadAll(io.LimitReader(f, mostPicture+1))
		if err != nil || len(raw) > mostPicture {
			return nil, errNoPage
		}
		file, err := sheets.Open(v.r.Context(), bytes.NewReader(raw), int64(len(raw)), nil)
		if err != nil {
			return nil, errNoPage
		}
		is, err := file.Sheet(v.r.Context(), 1)
		if err != nil || is.Gray == nil {
			return nil, errNoPage
		}
		return is.Gray, nil
	})
}

// pictureOf names the picture of a page of a print.
type pictureOf struct {
	print int64
	page  int
	sum   string
}
