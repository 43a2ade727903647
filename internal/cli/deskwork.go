package cli

import (
	"cmp"
	"context"
	"errors"
	"image"
	"os"
	"path/filepath"
	"time"

	"jobsheaf/internal/desk"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
	"jobsheaf/internal/scan/sheets"
	"jobsheaf/internal/week"
)

// This file gives the desk what it needs to read scans and to print.

// heldFile is a file that somebody sent to the desk.
type heldFile struct{ *os.File }

// Close closes and removes it.
func (h heldFile) Close() error {
	return errors.Join(h.File.Close(), os.Remove(h.Name()))
}

// Drawn draws its pages by another program.
func (h heldFile) Drawn() sheets.Renderer { return drawnBy(h.Name()) }

// deskBack gives what reading scans takes; files that are sent lie in a folder until they
// are read.
func deskBack(site, held string) desk.Back {
	p := pictures{site}
	return desk.Back{
		Hold: func() (desk.Held, error) {
			f, err := os.CreateTemp(held, "scan-*")
			if err != nil {
				return nil, err
			}
			return heldFile{f}, nil
		},
		Keep:    p.keep,
		Picture: func(ctx context.Context, sum string) (*image.Gray, error) { return p.open(ctx, sum) },
	}
}

// deskPrints gives what prints weeks into a folder.
func deskPrints(site, out string, workers int) *desk.Printing {
	of := func(is desk.Asked) weekly {
		return weekly{
			site: site, out: out, list: is.List, data: is.Data, sheet: is.Sheet, duplex: is.Duplex, annex: is.Annex, served: true,
			today: time.Now().Format(time.DateOnly), workers: workers, register: entering{no: !registers, who: is.Who},
		}
	}
	return &desk.Printing{
		Look: func(ctx context.Context, is desk.Asked) (*record.Book, *record.List, diag.List, error) {
			run, err := of(is).ready(ctx)
			if err != nil {
				return nil, nil, nil, err
			}
			var list diag.List // of the list alone
			for _, p := range run.problems {
				if run.list == nil || p.Pos.File == run.list.Span.File {
					list = append(list, p)
				}
			}
			return run.st.book, run.list, dropEchoes(list).Sorted(), nil
		},
		Print: func(ctx context.Context, is desk.Asked, tell func(week.Progress)) (desk.Printout, error) {
			run, err := of(is).ready(ctx)
			if err != nil {
				return desk.Printout{}, err
			}
			if run.why != "" {
				return desk.Printout{Nothing: true, Problems: dropEchoes(run.problems).Sorted()}, nil
			}
			result, err := run.print(ctx, tell)
			if errors.Is(err, errBusy) {
				err = desk.ErrBusy
			}
			if result == nil {
				return desk.Printout{}, err
			}
			r := reportOf(result, "", run.problems)
			done := desk.Printout{Of: r.of, Printed: r.Printed, Kept: r.Kept, Pages: r.Pages, Problems: r.Problems}
			for _, f := range r.Refused {
				done.Refused = append(done.Refused, cmp.Or(f.Job, f.At.String()))
			}
			return done, err
		},
	}
}

// heldIn makes the folder for files that are sent to the desk; gone removes it.
func heldIn() (dir string, gone func(), err error) {
	dir, err = os.MkdirTemp("", "jobsheaf-desk-*")
	return dir, func() { os.RemoveAll(filepath.Clean(dir)) }, err
}
