package sheets

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"io"
	"os"
	"runtime"
	"strings"
	"testing"
	"time"
)

// tried reads all pages of a file as a caller would, and says what came: the error of the
// file, or of each page.
func tried(t testing.TB, b []byte) (f *File, faults []error) {
	t.Helper()
	f, err := Open(context.Background(), bytes.NewReader(b), int64(len(b)), nil)
	if err != nil {
		return nil, []error{err}
	}
	for n := 1; n <= min(f.Len(), 50); n++ {
		s, err := f.Sheet(context.Background(), n)
		faults = append(faults, err)
		if err == nil && (s.Gray == nil || s.Gray.Rect.Min != image.Point{} || s.Gray.Rect.Empty() || len(s.Gray.Pix) < (s.Gray.Rect.Dy()-1)*s.Gray.Stride+s.Gray.Rect.Dx()) {
			t.Errorf("page %d is no picture", n)
		}
	}
	return f, faults
}

// scans are the files of testdata.
func scans(t testing.TB) map[string][]byte {
	t.Helper()
	list, err := os.ReadDir("testdata")
	if err != nil {
		t.Fatal(err)
	}
	all := map[string][]byte{}
	for _, e := range list {
		if n := e.Name(); !e.IsDir() && !strings.HasPrefix(n, "page.") && n != "make.sh" {
			all[n] = kept(t, n)
		}
	}
	if len(all) < 30 {
		t.Fatalf("%d files only", len(all))
	}
	return all
}

// A file that is cut off at any byte gives errors, or pages just as the whole file has them.
func TestCutOff(t *testing.T) {
	for name, b := range scans(t) {
		f, _ := tried(t, b)
		var pages []*image.Gray
		for n := 1; f != nil && n <= f.Len(); n++ {
			s, err := f.Sheet(context.Background(), n)
			if err != nil {
				s.Gray = nil
			}
			pages = append(pages, s.Gray)
		}
		step := 1 + len(b)/1200 // every byte of small ones, some of those of others
		for n := 0; n < len(b); n += step {
			part, err := Open(context.Background(), bytes.NewReader(b[:n]), int64(n), nil)
			if err != nil {
				continue
			}
			for k := 1; k <= part.Len(); k++ {
				s, err := part.Sheet(context.Background(), k)
				if err != nil {
					continue
				}
				alike := false
				for _, g := range pages {
					alike = alike || g != nil && g.Rect == s.Gray.Rect && bytes.Equal(cropped(g, g.Rect.Dx(), g.Rect.Dy()).Pix, cropped(s.Gray, g.Rect.Dx(), g.Rect.Dy()).Pix)
				}
				if !alike {
					t.Errorf("%s cut at byte %d of %d: page %d is another", name, n, len(b), k)
				}
			}
		}
	}
}

// pngOf is a PNG that says a size, and has data of so many bytes that unpack to zeros.
func pngOf(w, h uint32, depth, colour byte, zeros int) []byte {
	b := []byte("\x89PNG\r\n\x1A\n")
	chunk := func(kind string, data []byte) {
		b = binary.BigEndian.AppendUint32(b, uint32(len(data)))
		from := len(b)
		b = append(append(b, kind...), data...)
		b = binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[from:]))
	}
	head := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)
	chunk("IHDR", append(head, depth, colour, 0, 0, 0))
	chunk("IDAT", zipped9(make([]byte, zeros)))
	chunk("IEND", nil)
	return b
}

// jpegOf is a JPEG that says a size, and nothing more.
func jpegOf(w, h uint16, sof byte, components int) []byte {
	b := []byte{0xFF, 0xD8, 0xFF, sof, 0, byte(8 + 3*components), 8}
	b = binary.BigEndian.AppendUint16(binary.BigEndian.AppendUint16(b, h), w)
	b = append(b, byte(components))
	for c := range components {
		b = append(b, byte(c+1), 0x11, 0)
	}
	return append(b, 0xFF, 0xDA)
}

// tiffOf is a TIFF with one directory of whole numbers.
func tiffOf(fields ...[2]uint32) []byte {
	b := []byte("II\x2A\x00\x08\x00\x00\x00")
	b = binary.LittleEndian.AppendUint16(b, uint16(len(fields)))
	for _, f := range fields {
		b = binary.LittleEndian.AppendUint16(b, uint16(f[0]))
		b = binary.LittleEndian.AppendUint16(b, 4)
		b = binary.LittleEndian.AppendUint32(b, 1)
		b = binary.LittleEndian.AppendUint32(b, f[1])
	}
	return append(b, 0, 0, 0, 0)
}

// Hostile files are refused in words, at a cost that is bounded whatever they say.
func TestHostile(t *testing.T) {
	gray := "/ColorSpace/DeviceGray/BitsPerComponent 8"
	bomb := zipped9(make([]byte, 200<<20)) // 200 KB that unpack to 200 MB
	raw := func(s string) []byte { return []byte("%PDF-1.7\n" + s) }
	var chain, wide strings.Builder
	for i := range 100_000 {
		fmt.Fprintf(&chain, "%d 0 obj<</Kids[%d 0 R]>>endobj ", i+2, i+3)
		fmt.Fprintf(&wide, "%d 0 obj<</Type/Page>>endobj ", i+3)
	}
	kids := strings.Repeat("2 0 R 3 0 R ", 200_000)
	for name, c := range map[string]struct {
		b    []byte
		says string // of the file or of its first page
	}{
		"PNG of 100,000 pixels a side":     {pngOf(100_000, 100_000, 8, 0, 10), "too large"},
		"PNG of no width":                  {pngOf(0, 10, 8, 0, 10), "damaged"},
		"PNG of 79 MP in colours":          {pngOf(8_900, 8_900, 16, 6, 10), "too large to unpack"},
		"PNG that is a bomb":               {pngOf(10, 10, 8, 0, 100<<20), "damaged"},
		"PNG that is a bomb of many":       {pngOf(10_000, 7_900, 8, 0, 100), "damaged"},
		"JPEG of 65,535 pixels a side":     {jpegOf(65535, 65535, 0xC0, 1), "too large"},
		"JPEG of no height":                {jpegOf(10, 0, 0xC0, 1), "no size"},
		"JPEG, progressive, of 79 MP":      {jpegOf(8_900, 8_900, 0xC2, 3), "too large to unpack"},
		"JPEG, lossless":                   {jpegOf(10, 10, 0xC3, 1), "lossless"},
		"JPEG of nothing":                  {jpegOf(10, 10, 0xC0, 1), "breaks off"},
		"JPEG of empty segments":           {append([]byte{0xFF, 0xD8}, bytes.Repeat([]byte{0xFF, 0xE5, 0, 2}, 1<<20)...), "damaged"},
		"TIFF of 100,000 pixels":           {tiffOf([2]uint32{256, 100_000}, [2]uint32{257, 100}), "too large"},
		"TIFF of tiny tiles":               {tiffOf([2]uint32{256, 8_900}, [2]uint32{257, 8_900}, [2]uint32{322, 1}, [2]uint32{323, 1}), "too many pieces"},
		"TIFF of tiles of no size":         {tiffOf([2]uint32{256, 10}, [2]uint32{257, 10}, [2]uint32{322, 0}, [2]uint32{323, 1}), "no size"},
		"TIFF without data":                {tiffOf([2]uint32{256, 10}, [2]uint32{257, 10}), "where all of its picture is"},
		"TIFF in a circle":                 {append([]byte("II\x2A\x00\x08\x00\x00\x00\x00\x00"), 8, 0, 0, 0), "no size"},
		"TIFF without a directory":         {[]byte("II\x2A\x00\x00\x00\x00\x00"), "no pages"},
		"PDF picture of 100,000":           {onePage(full, "", pictured("/Width 100000/Height 100000"+gray, nil)), "too large"},
		"PDF picture of no size":           {onePage(full, "", pictured("/Width 0/Height -4"+gray, nil)), "no size"},
		"PDF picture that is a bomb":       {onePage(full, "", pictured("/Width 10/Height 5/Filter/FlateDecode"+gray, bomb)), ""},
		"PDF picture cut short":            {onePage(full, "", pictured("/Width 1000/Height 500/Filter/FlateDecode"+gray, zipped9(make([]byte, 1000)))), "breaks off"},
		"PDF picture packed over and over": {onePage(full, "", pictured("/Width 10/Height 5/Filter["+strings.Repeat("/FlateDecode", 100)+"]"+gray, bomb)), "too many times"},
		"PDF picture without a type":       {onePage(full, "", func(b *built) int { return b.add("<</Subtype/Image>>") }), "missing"},
		"PDF content that is a bomb": {func() []byte {
			b := &built{}
			b.add("<</Type/Catalog/Pages 2 0 R>>")
			b.add("<</Type/Pages/Kids[3 0 R]/Count 1>>")
			b.add("<</Type/Page/Contents 4 0 R>>")
			b.stream("/Filter/FlateDecode", bomb)
			return b.bytes()
		}(), "more than a scan"},
		"PDF forms within themselves": {onePage("/X1 Do", "", func(b *built) int {
			return b.stream("/Subtype/Form", []byte("/X1 Do /X1 Do /X1 Do /X1 Do"))
		}), "nested too deep"},
		"PDF pages in a circle":        {raw("1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj 2 0 obj<</Kids[" + kids + "]>>endobj 3 0 obj<</Kids[2 0 R]>>endobj trailer<</Root 1 0 R>>"), "no page is found"},
		"PDF pages one within another": {raw("1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj " + chain.String() + "trailer<</Root 1 0 R>>"), ""},
		"PDF of 100,000 loose pages":   {raw(wide.String()), "no picture"},
		"PDF page that is missing":     {raw("1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj 2 0 obj<</Kids[7 0 R]>>endobj trailer<</Root 1 0 R>>"), "missing from the file"},
		"PDF references in a circle":   {raw("1 0 obj 2 0 R endobj 2 0 obj 1 0 R endobj trailer<</Root 1 0 R>>"), "no page"},
		"PDF cross-reference in a circle": {func() []byte {
			b := onePage(full, "", pictured("/Width 2/Height 1"+gray, []byte{1, 2}))
			at := bytes.LastIndex(b, []byte("xref\n0"))
			return bytes.Replace(b, []byte("/Root 1 0 R"), fmt.Appendf(nil, "/Root 1 0 R/Prev %d/XRefStm %d", at, at), 1)
		}(), ""},
		"PDF cross-reference of millions": {raw("xref\n0 99999999\n0000000000 65535 f \ntrailer<</Root 1 0 R>>\nstartxref\n9\n%%EOF"), "no page"},
		"PDF cross-reference beyond":      {raw("startxref\n99999999999\n%%EOF"), "no page"},
		"PDF of open objects":             {raw(strings.Repeat("1 0 obj<<", 300_000)), ""},
		"PDF of open arrays":              {raw("1 0 obj" + strings.Repeat("[", 3<<20)), ""},
		"PDF of streams without an end":   {raw(strings.Repeat("1 0 obj<</Length 9>>stream\n", 100_000)), ""},
		"PDF of trailers":                 {raw(strings.Repeat("trailer<</Root 1 0 R>>", 100_000)), "no page"},
		"PDF object stream of itself": {func() []byte {
			b := &built{}
			b.add("<</Type/Catalog/Pages 2 0 R>>")
			b.stream("/Type/ObjStm/N 1/First 4/Extends 2 0 R", []byte("2 0 <</Kids[3 0 R]>>"))
			return b.bytes()
		}(), ""},
	} {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			began := time.Now()
			f, faults := tried(t, c.b)
			took := time.Since(began)
			runtime.ReadMemStats(&after)
			if took > 20*time.Second {
				t.Errorf("%v", took)
			}
			if n := (after.TotalAlloc - before.TotalAlloc) >> 20; n > 600 {
				t.Errorf("%d MB were taken", n)
			}
			switch {
			case c.says == "" && f == nil && len(faults) == 1:
			case c.says == "":
			case faults[0] == nil || !strings.Contains(faults[0].Error(), c.says):
				t.Errorf("%v, want %q", faults[0], c.says)
			}
		})
	}
}

// Nothing of a page is kept: the memory in use after 2,000 pages is that after 50.
func TestMemoryIsFlat(t *testing.T) {
	b := &built{}
	b.add("<</Type/Catalog/Pages 2 0 R>>")
	b.add("")
	pic := b.stream("/Subtype/Image/Width 400/Height 200/ColorSpace/DeviceGray/BitsPerComponent 8/Filter/FlateDecode", zipped9(noise(400*200)))
	text := b.stream("", []byte(full))
	kids := ""
	for range 2000 {
		kids += fmt.Sprintf("%d 0 R ", b.add("<</Type/Page/Contents %d 0 R/Resources<</XObject<</X1 %d 0 R>>>>>>", text, pic))
	}
	b.objects[1] = "<</Kids[" + kids + "]/MediaBox[0 0 72 36]>>"
	f := open(t, b.bytes(), nil)
	var used [2]uint64
	for n := 1; n <= f.Len(); n++ {
		if _, err := f.Sheet(context.Background(), n); err != nil {
			t.Fatal(err)
		}
		if n == 50 || n == 2000 {
			var m runtime.MemStats
			runtime.GC()
			runtime.ReadMemStats(&m)
			used[n/2000] = m.HeapAlloc
		}
	}
	if used[1] > used[0]+1<<20 {
		t.Errorf("%d KB in use after 50 pages, %d after %d", used[0]>>10, used[1]>>10, f.Len())
	}
}

// failing fails to read from some place on, as a broken disk does.
type failing struct {
	b  []byte
	at int64
}

func (f failing) ReadAt(p []byte, off int64) (int, error) {
	n, err := bytes.NewReader(f.b).ReadAt(p, off)
	if off+int64(n) > f.at {
		return max(0, int(f.at-off)), io.ErrClosedPipe
	}
	return n, err
}

// A disk that fails gives errors, and no page that is not as it was stored.
func TestFailingDisk(t *testing.T) {
	for name, b := range scans(t) {
		for at := 0; at < len(b); at += 397 {
			f, err := Open(context.Background(), failing{b, int64(at)}, int64(len(b)), nil)
			for n := 1; err == nil && n <= f.Len(); n++ {
				_, _ = f.Sheet(context.Background(), n)
			}
		}
		_ = name
	}
	if f, _ := tried(t, kept(t, "grey.jpg")); f == nil {
		t.Error("the whole file is read")
	}
}

// A decoder that panics makes an error of one page.
func TestPanics(t *testing.T) {
	f := open(t, kept(t, "text.pdf"), func(context.Context, int) (image.Image, error) { panic("hurt") })
	if _, err := f.Sheet(context.Background(), 1); err == nil || !strings.Contains(err.Error(), "damaged (hurt)") {
		t.Error(err)
	}
}

// Whatever bytes a file has, opening it and reading its pages ends, without a panic.
func FuzzOpen(f *testing.F) {
	for _, b := range scans(f) {
		f.Add(b)
	}
	f.Add(onePage("/X2 Do", "/Rotate 90", pictured("/Width 2/Height 1/ColorSpace[/Indexed/DeviceRGB 1<000000FFFFFF>]/BitsPerComponent 1", []byte{64}), func(b *built) int {
		return b.stream("/Subtype/Form/Matrix[1 0 0 1 0 0]", []byte("BT 3 Tr (a) Tj ET q 72 0 0 36 0 0 cm /X1 Do Q"))
	}))
	f.Add(tiffOf([2]uint32{256, 10}, [2]uint32{257, 10}, [2]uint32{273, 0}, [2]uint32{279, 13}))
	f.Fuzz(func(t *testing.T, b []byte) {
		began := time.Now()
		_, faults := tried(t, b)
		for _, err := range faults {
			// The guard stands for decoders of others; none of ours may need it.
			if err != nil && strings.Contains(err.Error(), "runtime error") {
				t.Error(err)
			}
		}
		if took := time.Since(began); took > 10*time.Second {
			t.Errorf("%v", took)
		}
	})
}
