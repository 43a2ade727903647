// Package sheets opens a file that a scanner, a copier or a camera made, and gives
// its pages as grey pictures.
//
// Entry point: Open. It belongs here if it is about how a picture of paper is
// stored. What stands on the paper is for scan. It is not for PDF files of ours
// whose text is wanted (pdfread).
//
// What is read, and by whom:
//
//	here      PDF   pages of pictures, one or several side by side without overlap:
//	                DCT (grey, YCbCr, RGB, CMYK with Adobe's marker), Flate and LZW
//	                with predictors, CCITT Group 4, Group 3 with an end after each
//	                line, RunLength, none; 1 to 16 bits; grey, RGB, CMYK, Indexed,
//	                ICCBased, Decode, ImageMask; text that is not shown or lies under
//	                the picture, as recognition adds it
//	          TIFF  all pages; Group 4, Group 3 in one dimension, LZW, Deflate,
//	                PackBits, none, JPEG; strips, tiles; 1 to 16 bits; grey, palette,
//	                RGB, CMYK
//	          JPEG  baseline, progressive; grey, YCbCr, RGB, CMYK; turned by EXIF
//	          PNG   all depths, interlaced, with alpha (laid on white)
//	pdftoppm  PDF   JBIG2, JPEG 2000, other Group 3, transparency, Separation and Lab,
//	                shown text, drawn lines, pictures over one another, annotations
//	no one    PDF   locked
//	          TIFF  other Group 3, old JPEG (compression 6), separate planes, BigTIFF
//	          JPEG  lossless, arithmetic, 12 bits
//	          HEIC, AVIF, WebP, JPEG 2000, GIF, BMP, DjVu, Office files, HTML ...
//
// The type is told by the first bytes, never by a name. What is not read is named,
// with what would do. Pages are read when they are asked for, and nothing of a
// page is kept: the memory does not grow with the number of pages.
//
// How a file is read: kinds.go tells what it is; jpeg.go, png.go, tiff.go and
// pages.go (PDF) know where its pages are; samples.go and grey.go make grey of what
// is stored. Of PDF, xref.go and rebuild.go find objects, content.go what a page
// shows, unpack.go and stream.go unpack and picture.go reads a picture.
package sheets

import (
	"context"
	"errors"
	"fmt"
	"image"
	"io"
)

// Sheet is one side of a sheet of paper, upright as far as the file says how it is
// to be turned.
type Sheet struct {
	Gray    *image.Gray // black is 0; its bounds begin at 0, 0; rows may be padded
	DPI     float64     // pixels to the inch as the file says; 0 is unknown
	Bilevel bool        // it was stored in black and white, without greys
}

// Renderer draws one page of a PDF, from 1, where this room has no decoder for what
// is on it.
type Renderer func(ctx context.Context, page int) (image.Image, error)

// File is an opened scan. Its methods may be called by several goroutines at a
// time, as far as the reader that it was opened with allows that.
type File struct{ pages pager }

// pager is a file of some type.
type pager interface {
	len() int
	sheet(ctx context.Context, n int) (Sheet, error) // n from 0
}

// Open finds the pages of a file of size bytes. r is read from as long as the File is
// used. Without render (nil), a page that needs it is an error that says why. The
// error says in one clause what is wrong with the file as a whole.
func Open(ctx context.Context, r io.ReaderAt, size int64, render Renderer) (f *File, err error) {
	defer guard(&err)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var p pager
	switch kind, why := kindOf(r, size); kind {
	case kindPDF:
		p, err = openPDF(ctx, r, size, render)
	case kindTIFF:
		p, err = openTIFF(r, size)
	case kindJPEG:
		p = jpegFile{r, size}
	case kindPNG:
		p = pngFile{r, size}
	default:
		err = errors.New(why)
	}
	if err != nil {
		return nil, err
	}
	if p.len() == 0 {
		return nil, errors.New("it has no pages")
	}
	return &File{p}, nil
}

// Len is the number of pages, 1 at least. Where a file breaks off, the last of them
// stands for what is lost: it gives an error.
func (f *File) Len() int { return f.pages.len() }

// Sheet reads a page, from 1. The error is of this page alone, in one clause.
func (f *File) Sheet(ctx context.Context, page int) (s Sheet, err error) {
	defer guard(&err)
	if page < 1 || page > f.Len() {
		return Sheet{}, fmt.Errorf("there is no page %d: the file has %d", page, f.Len())
	}
	if err := ctx.Err(); err != nil {
		return Sheet{}, err
	}
	if s, err = f.pages.sheet(ctx, page-1); err != nil {
		return Sheet{}, err
	}
	return s, nil
}

// guard makes an error of a panic. It stands at the border of this room because
// decoders that others wrote, which say of themselves that they are not hardened, run
// on files from anywhere; one bad page must not end the reading of a pile of sheets.
// Nothing that they work on outlives the call.
func guard(err *error) {
	if p := recover(); p != nil {
		*err = fmt.Errorf("it is damaged (%v)", p)
	}
}

// The limits of a picture. An A3 sheet at 600 dpi has 70 million pixels, on a side
// 9,900.
const (
	maxSide   = 20_000
	maxPixels = 80_000_000
	// maxMemory is what a decoder of another's may take for one picture, in bytes: A4 in
	// colour at 600 dpi takes 105 million, stored progressively at 300 dpi 130 million.
	maxMemory = 240_000_000
)

// within says why a picture of so many pixels is not read, if it is not; perPixel is
// how many bytes its decoder takes for each, at most.
func within(w, h int, perPixel float64) error {
	switch pixels := float64(w) * float64(h); {
	case w <= 0 || h <= 0:
		return fmt.Errorf("its picture has no size (%d x %d pixels)", w, h)
	case w > maxSide || h > maxSide || pixels > maxPixels:
		return fmt.Errorf("its picture is too large (%d x %d pixels): scan at 200 to 300 dpi", w, h)
	case pixels*perPixel > maxMemory:
		return fmt.Errorf("its picture is too large to unpack as it is stored (%d x %d pixels): scan in grey at 200 to 300 dpi", w, h)
	}
	return nil
}
