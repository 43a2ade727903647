package pdf

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"unicode/utf16"

	"github.com/klauspost/compress/zlib"
)

// Numbers of the objects that are known before they are written.
const (
	rootNode     = 1 // the page tree's root
	resourceDict = 2 // the fonts, shared by all pages
)

// objects numbers a file's objects and remembers where each begins.
type objects struct {
	w       io.Writer
	out     []byte  // not yet handed to w
	flushed int64   // bytes handed to w
	offsets []int64 // by object number
	err     error   // the first, kept
}

// scratch is memory that one Writer after another uses.
type scratch struct {
	ops []byte       // a page's drawing operators
	raw bytes.Buffer // a batch as gofpdf wrote it
	mem []byte       // what objects.out begins in
	zip *zlib.Writer
	buf bytes.Buffer // what zip wrote
}

// scratches are those that no Writer uses now: no more than Writers are open at a time
// on any machine that prints. A sync.Pool would lose some to each garbage collection,
// and a new one takes a megabyte.
var scratches = make(chan *scratch, 32)

// newScratch gives one that another Writer is done with, where there is one.
func newScratch() *scratch {
	select {
	case s := <-scratches:
		return s
	default:
	}
	s := new(scratch)
	s.zip, _ = zlib.NewWriterLevel(&s.buf, level)
	return s
}

// putBack hands it on to the next; one that has grown large is let go.
func (s *scratch) putBack() {
	const most = 16 << 20 // a document of that size is rare
	if s.raw.Cap() > most || cap(s.mem) > most || s.buf.Cap() > most || cap(s.ops) > most {
		return
	}
	select {
	case scratches <- s:
	default:
	}
}

// level is the zlib level of pages and attachments; from 1 to 9 it cannot fail
// above. Measured on a packet of eight pages: 2 takes a fifth less time than 4, and
// makes the file half a hundredth larger; 1 takes a tenth less again, and makes it 1.5 %
// larger.
const level = 1

// release hands the memory on to the next Writer.
func (p *Writer) release() {
	p.mem, p.out = p.out[:0], nil
	p.putBack()
	p.scratch = nil
}

// deflate gives the zlib form of b; it holds until the next call.
func (s *scratch) deflate(b []byte) []byte {
	s.buf.Reset()
	s.zip.Reset(&s.buf)
	s.zip.Write(b) // a bytes.Buffer takes everything
	s.zip.Close()
	return s.buf.Bytes()
}

func (o *objects) header(version string) {
	o.offsets = append(o.offsets[:0], 0, 0, 0) // no object 0; root node and resources come last
	o.str("%PDF-")
	o.str(version)
	// Four bytes above 127 tell transfer programs that this is not text. Source:
	// ISO 19005-1, 6.1.2.
	o.str("\n%\xE2\xE3\xCF\xD3\n")
}

// number takes the next object number.
func (o *objects) number() int {
	o.offsets = append(o.offsets, 0)
	return len(o.offsets) - 1
}

// begin begins object n.
func (o *objects) begin(n int) {
	o.offsets[n] = o.flushed + int64(len(o.out))
	o.int(n)
	o.str(" 0 obj\n")
}

func (o *objects) end() { o.str("\nendobj\n") }

// dict writes a whole object: a dictionary's entries, as a format.
func (o *objects) dict(n int, format string, args ...any) {
	o.begin(n)
	o.str("<<")
	o.out = fmt.Appendf(o.out, format, args...)
	o.str(">>")
	o.end()
}

// stream writes a whole object: a stream that holds data, and more entries for
// its dictionary.
func (o *objects) stream(n int, entries string, data []byte) {
	o.begin(n)
	o.str("<<")
	o.str(entries)
	o.str("/Length ")
	o.int(len(data))
	o.str(">>\nstream\n")
	o.out = append(o.out, data...)
	o.str("\nendstream")
	o.end()
}

func (o *objects) str(s string) { o.out = append(o.out, s...) }
func (o *objects) int(n int)    { o.out = strconv.AppendInt(o.out, int64(n), 10) }

func (o *objects) flush() {
	if o.err != nil {
		return
	}
	n, err := o.w.Write(o.out)
	o.flushed += int64(n)
	o.out = o.out[:0]
	if err != nil {
		o.err = fmt.Errorf("pdf: %w", err)
	}
}

// trailer writes the cross-reference table and the file's end.
func (o *objects) trailer(catalog, info int, id string) {
	at := o.flushed + int64(len(o.out))
	o.str("xref\n0 ")
	o.int(len(o.offsets))
	o.str("\n0000000000 65535 f \n")
	for _, offset := range o.offsets[1:] {
		o.out = fmt.Appendf(o.out, "%010d 00000 n \n", offset)
	}
	o.out = fmt.Appendf(o.out, "trailer\n<</Size %d/Root %d 0 R/Info %d 0 R/ID[<%s><%s>]>>\nstartxref\n%d\n%%%%EOF\n",
		len(o.offsets), catalog, info, id, id, at)
}

// text writes s as a text string: as it is where it is plain ASCII, else in
// UTF-16 with its mark. Source: clause 7.9.2.2.
func text(s string) string {
	plain := true
	for i := range len(s) {
		plain = plain && s[i] >= 0x20 && s[i] < 0x7F
	}
	if plain {
		b := []byte{'('}
		for i := range len(s) {
			b = appendByte(b, s[i])
		}
		return string(append(b, ')'))
	}
	b := []byte("<FEFF")
	for _, u := range utf16.Encode([]rune(s)) {
		b = fmt.Appendf(b, "%04X", u)
	}
	return string(append(b, '>'))
}

// appendByte writes one byte of a literal string. Source: clause 7.3.4.2: an
// unescaped carriage return would be read as a line feed.
func appendByte(b []byte, c byte) []byte {
	switch c {
	case '(', ')', '\\':
		return append(b, '\\', c)
	case '\r':
		return append(b, '\\', 'r')
	}
	return append(b, c)
}

// appendNumber writes v with at most three decimals, no trailing zeros and no
// exponent. |v| must be below 1e12.
func appendNumber(b []byte, v float64) []byte { return appendThousandths(b, thousandths(v)) }

func thousandths(v float64) int64 { return int64(math.Round(v * 1000)) }

func appendThousandths(b []byte, n int64) []byte {
	if n < 0 {
		b = append(b, '-')
		n = -n
	}
	b = strconv.AppendInt(b, n/1000, 10)
	if n %= 1000; n != 0 {
		b = append(b, '.', byte('0'+n/100))
		if n %= 100; n != 0 {
			b = append(b, byte('0'+n/10))
			if n %= 10; n != 0 {
				b = append(b, byte('0'+n))
			}
		}
	}
	return b
}
