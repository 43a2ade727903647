package intake

import (
	"context"
	"fmt"
	"image"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
	"jobsheaf/internal/scan"
	"jobsheaf/internal/scan/sheets"
)

// This file is about what a person says of a paper that could not be placed.

// Place enters, as a person's word, that a paper that could not be placed is a page of a
// print. picture is the one that was kept of it. Where it cannot be squared up, its boxes
// are to be settled by a person, one by one.
func (in *Intake) Place(ctx context.Context, paper int64, picture *image.Gray, p register.Printed, page int) (Outcome, error) {
	was, err := in.placeable(ctx, paper)
	if err != nil {
		return Outcome{}, err
	}
	of, err := in.open(ctx, p)
	switch {
	case err != nil:
		return Outcome{}, err
	case page < 1 || page > len(of.pages):
		return Outcome{}, fmt.Errorf("job %s has no page %d: that print has %d", p.Job, page, len(of.pages))
	}
	now := register.Paper{Scan: was.Scan, File: was.File, At: was.At, Code: was.Code, Job: p.Job, Print: p.Event, Page: page, Of: was.Event}
	squared := in.boxes(&now, &sheets.Sheet{Gray: picture}, func(page *manifest.Page) (scan.Sheet, error) { return scan.ReadPlaced(picture, page) }, &of.pages[page-1])
	s := seen{paper: now}
	if s.paper.Picture, s.picture, err = pictureOf(squared); err != nil {
		return Outcome{}, err
	}
	return in.enter(ctx, Source{was.Scan, was.File}, was.At, s)
}

// Aside enters, as a person's word, that a paper is no page of a packet.
func (in *Intake) Aside(ctx context.Context, paper int64, why string) error {
	was, err := in.placeable(ctx, paper)
	if err == nil {
		_, _, err = in.Register.See(ctx, in.By, register.Paper{State: register.Aside, Scan: was.Scan, File: was.File, At: was.At, Code: was.Code, Picture: was.Picture, Why: why, Of: was.Event})
	}
	return err
}

// placeable gives a paper of which nobody has said yet what it is.
func (in *Intake) placeable(ctx context.Context, paper int64) (register.Paper, error) {
	was, err := in.Register.Paper(ctx, paper)
	switch {
	case err != nil:
		return was, err
	case was.State == register.Placed:
		return was, fmt.Errorf("paper %d is placed already: it is page %d of job %s", paper, was.Page, was.Job)
	case was.State == register.Aside || was.Instead != 0:
		return was, fmt.Errorf("paper %d was placed or put aside already", paper)
	}
	return was, nil
}
