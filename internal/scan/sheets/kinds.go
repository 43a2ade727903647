package sheets

import (
	"bytes"
	"io"
	"strings"
)

// kind is a type of file that this room reads.
type kind int

const (
	kindNone kind = iota
	kindPDF
	kindTIFF
	kindJPEG
	kindPNG
)

// asWhat ends each message about a type that is not read.
const asWhat = "; scan or save it as PDF, TIFF, JPEG or PNG"

// strangers are types that are known and not read, by what stands at a place near
// their beginning.
var strangers = []struct {
	at          int
	magic, what string
}{
	{4, "ftyphei", "a HEIC picture, as telephones store them"},
	{4, "ftyphevc", "a HEIC picture, as telephones store them"},
	{4, "ftypmif1", "a HEIC picture, as telephones store them"},
	{4, "ftypmsf1", "a HEIC picture, as telephones store them"},
	{4, "ftypavi", "an AVIF picture"},
	{4, "ftypjx", "a JPEG XL or JPEG 2000 picture"},
	{4, "ftyp", "a film"},
	{0, "\x00\x00\x00\x0CjP  ", "a JPEG 2000 picture"},
	{0, "\xFF\x4F\xFF\x51", "a JPEG 2000 picture"},
	{0, "\xFF\x0A", "a JPEG XL picture"},
	{0, "\x00\x00\x00\x0CJXL ", "a JPEG XL picture"},
	{0, "\x97JB2\r\n", "a JBIG2 picture"},
	{8, "WEBP", "a WebP picture"},
	{0, "GIF8", "a GIF picture"},
	{0, "BM", "a BMP picture"},
	{0, "AT&TFORM", "a DjVu file"},
	{0, "II\x2B\x00", "a BigTIFF file"},
	{0, "MM\x00\x2B", "a BigTIFF file"},
	{0, "%!", "a PostScript file"},
	{0, "{\\rtf", "a text document (RTF)"},
	{0, "\xD0\xCF\x11\xE0", "an old Office document"},
	{0, "PK\x03\x04", "a ZIP archive"}, // or one of those in zipped
	{0, "PK\x05\x06", "an empty ZIP archive"},
	{0, "\x1F\x8B", "a compressed archive (gzip)"},
	{0, "7z\xBC\xAF\x27\x1C", "a compressed archive (7z)"},
	{0, "Rar!", "a compressed archive (RAR)"},
}

// zipped are the types that are ZIP archives, by what such an archive names near its
// beginning.
var zipped = []struct{ inside, what string }{
	{"word/", "a Word document"},
	{"xl/", "an Excel workbook"},
	{"ppt/", "a PowerPoint document"},
	{"opendocument", "an OpenDocument file"},
	{"[Content_Types].xml", "an Office document"},
}

// kindOf tells a file's type by its first bytes; why says what a file is that is not
// read, with what would do.
func kindOf(r io.ReaderAt, size int64) (k kind, why string) {
	b := make([]byte, 4096)
	n, err := r.ReadAt(b, 0)
	b = b[:min(int64(n), max(0, size))]
	head := string(b)
	switch {
	case size <= 0:
		return kindNone, "it is empty"
	case len(b) == 0 && err != nil:
		return kindNone, "it cannot be read: " + err.Error()
	case strings.HasPrefix(head, "\xFF\xD8\xFF"):
		return kindJPEG, ""
	case strings.HasPrefix(head, "\x89PNG\r\n\x1A\n"):
		return kindPNG, ""
	case strings.HasPrefix(head, "II\x2A\x00"), strings.HasPrefix(head, "MM\x00\x2A"):
		return kindTIFF, ""
	case pdfBegins(b) >= 0:
		return kindPDF, ""
	}
	for _, s := range strangers {
		if len(head) < s.at || !strings.HasPrefix(head[s.at:], s.magic) {
			continue
		}
		what := s.what
		if s.magic == "PK\x03\x04" {
			for _, z := range zipped {
				if strings.Contains(head, z.inside) {
					what = z.what
					break
				}
			}
		}
		return kindNone, "it is " + what + ", which is not read" + asWhat
	}
	switch low := strings.ToLower(strings.TrimLeft(head, "\xEF\xBB\xBF \t\r\n")); {
	case strings.HasPrefix(low, "<!doctype html"), strings.HasPrefix(low, "<html"):
		return kindNone, "it is a web page, which is not read" + asWhat
	case strings.HasPrefix(low, "<?xml"), strings.HasPrefix(low, "<svg"):
		return kindNone, "it is an XML file, which is not read" + asWhat
	case !strings.ContainsFunc(head, func(c rune) bool { return c < ' ' && !strings.ContainsRune("\t\r\n\f", c) || c == '\uFFFD' }):
		return kindNone, "it is plain text, not a picture of a page" + asWhat
	}
	return kindNone, "it is of a type that is not known" + asWhat
}

// pdfBegins gives where a PDF begins: other bytes may stand before it, as mail and
// scanners leave them. Negative: it is none.
func pdfBegins(b []byte) int { return bytes.Index(b[:min(len(b), 1024)], []byte("%PDF-")) }
