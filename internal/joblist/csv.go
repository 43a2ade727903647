package joblist

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// separators are what may separate the cells of a text file.
var separators = []byte{',', ';', '\t'}

// readText reads a list in a text file: cells separated by commas, semicolons or
// tabs, in UTF-8 or Windows-1252. Which separator it is shows in the headings.
func readText(file string, data []byte, cols headings) (*grid, error) {
	text, err := decode(data)
	if err != nil {
		return nil, err
	}
	separator, line := byte(0), 1
	first, rest, _ := strings.Cut(text, "\n")
	if s := said.FindStringSubmatch(first); s != nil {
		// The line that tells spreadsheets the separator; they show no row for it.
		separator, text, line = (s[1] + s[2])[0], rest, 2
	}
	if separator == 0 {
		most := -1
		for _, s := range separators {
			rows, _ := splitFrom(text, s, 1, within)
			_, found := cols.find(&grid{rows: rows})
			if n := len(found); n > most {
				separator, most = s, n
			}
		}
	}
	rows, cells := splitFrom(text, separator, line, maxRows)
	g := &grid{file: file, rows: rows}
	if len(g.rows) > maxRows {
		return nil, faultf(splitIt, "the list has more than %d rows", maxRows)
	}
	if cells > maxCells {
		return nil, faultf(splitIt+"; or delete the columns that are not read", "the list has more than %d cells", maxCells)
	}
	return g, nil
}

// said is the mark that says which separator a file has, alone in its first line.
var said = regexp.MustCompile(`^\s*(?:sep=([,;|\t])[,;|\t ]*|"sep=([,;|\t])"[,;|\t ]*)$`)

// decode gives the text with "\n" for every end of a line. A line that is not
// UTF-8 is taken as Windows-1252, line by line, since a list that was pasted
// together from two programs may hold both.
func decode(data []byte) (string, error) {
	if bytes.HasPrefix(data, []byte{0xFF, 0xFE}) || bytes.HasPrefix(data, []byte{0xFE, 0xFF}) {
		wide, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(data)
		if err != nil {
			return "", faultf("save it as .csv (UTF-8) or .xlsx", "the file begins as UTF-16 and is not: %s", err)
		}
		data = wide
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	// A few zero bytes spoil the cells that they are in; many show that this is not text.
	if n := bytes.Count(data, []byte{0}); n > 10 && n > len(data)/100 {
		return "", faultf("save it as .csv (UTF-8) or .xlsx", "the file holds many zero bytes: it is neither a text file nor a workbook")
	}
	if bytes.IndexByte(data, '\r') >= 0 {
		data = bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n"))
		data = bytes.ReplaceAll(data, []byte("\r"), []byte("\n"))
	}
	if utf8.Valid(data) {
		return string(data), nil
	}
	var b strings.Builder
	for line := range bytes.SplitAfterSeq(data, []byte("\n")) {
		if utf8.Valid(line) {
			b.Write(line)
			continue
		}
		for _, c := range line {
			b.WriteRune(charmap.Windows1252.DecodeByte(c))
		}
	}
	return b.String(), nil
}

// splitFrom splits a text into rows and cells, and counts the cells; no more than
// one row above the most, or one cell above those that are taken. Its first line has
// the number given in the file. A quote that is never closed spoils the row in which
// it is opened, and no other: the next row begins on the next line.
//
// Source: RFC 4180, with the liberties that planners' files take: any of the
// separators, and quotes within a cell that does not begin with one.
func splitFrom(text string, separator byte, line, most int) (rows []gridRow, cells int) {
	for n := 1; text != "" && len(rows) <= most && cells <= maxCells; n++ {
		r, used := splitRow(text, separator)
		r.n, r.line = n, line
		line += strings.Count(text[:used], "\n")
		text = text[used:]
		for len(r.cells) > 0 && r.cells[len(r.cells)-1].text == "" {
			r.cells = r.cells[:len(r.cells)-1]
		}
		r.cells = slices.Clone(r.cells) // without the room that empty ones took
		cells += len(r.cells)
		rows = append(rows, r)
	}
	return rows, cells
}

// splitRow splits the first row off a text and says how much of it that used.
func splitRow(text string, separator byte) (r gridRow, used int) {
	i := 0
	for {
		value, next, fault := splitCell(text[i:], separator)
		if fault != "" {
			end := strings.IndexByte(text[i:], '\n')
			r.fault, r.at = fault, len(r.cells)+1
			if end < 0 {
				return r, len(text)
			}
			return r, i + end + 1
		}
		i += next
		if len(r.cells) < maxColumns {
			r.cells = append(r.cells, cell{text: value})
		}
		switch {
		case i >= len(text):
			return r, len(text)
		case text[i] == '\n':
			return r, i + 1
		}
		i++ // the separator
	}
}

// splitCell takes the first cell off a text; next is where what follows it begins:
// a separator, the end of the line or of the text.
func splitCell(text string, separator byte) (cell string, next int, fault string) {
	if text == "" || text[0] != '"' {
		end := strings.IndexFunc(text, func(c rune) bool { return c == '\n' || c == rune(separator) })
		if end < 0 {
			end = len(text)
		}
		return text[:end], end, ""
	}
	var b strings.Builder
	i := 1
	for {
		end := strings.IndexByte(text[i:], '"')
		if end < 0 || end > maxCell {
			return "", 0, `a quote is opened and never closed: close it with ", and write a quote within a cell as ""`
		}
		b.WriteString(text[i : i+end])
		i += end + 1
		switch {
		case i < len(text) && text[i] == '"':
			b.WriteByte('"')
			i++
		case i == len(text) || text[i] == separator || text[i] == '\n':
			return b.String(), i, ""
		default:
			return "", 0, `text follows a closing quote: write a quote within a cell as ""`
		}
	}
}
