package joblist

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// separators are what may stand between the cells of a text file.
var separators = []byte{',', ';', '\t'}

// readText reads a list in a text file: cells parted by commas, semicolons or
// tabs, in UTF-8 or Windows-1252. Which separator it is shows in the headings.
func readText(file string, data []byte, cols headings) (*grid, error) {
	text, err := decode(data)
	if err != nil {
		return nil, err
	}
	first, rest, _ := strings.Cut(text, "\n")
	if s, ok := strings.CutPrefix(strings.TrimSpace(first), "sep="); ok && len(s) == 1 {
		// The mark by which spreadsheets are told the separator; they show no row for it.
		return &grid{file: file, rows: splitFrom(rest, s[0], 2)}, nil
	}
	var best *grid
	most := -1
	for _, s := range separators {
		g := &grid{file: file, rows: splitFrom(text, s, 1)}
		_, found := cols.find(g)
		if n := len(found); n > most {
			best, most = g, n
		}
	}
	if len(best.rows) > maxRows {
		return nil, fmt.Errorf("the list has more than %d rows: split it", maxRows)
	}
	return best, nil
}

// decode gives the text with "\n" for every end of a line. A line that is not
// UTF-8 is taken as Windows-1252, line by line, since a list that was pasted
// together from two programs may hold both.
func decode(data []byte) (string, error) {
	if bytes.HasPrefix(data, []byte{0xFF, 0xFE}) || bytes.HasPrefix(data, []byte{0xFE, 0xFF}) {
		wide, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(data)
		if err != nil {
			return "", fmt.Errorf("the file begins as UTF-16 and is not: %w", err)
		}
		data = wide
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if bytes.IndexByte(data, 0) >= 0 {
		return "", errors.New("the file holds zero bytes: it is neither a text file nor a workbook")
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

// splitFrom splits a text into rows and cells; its first line has the number
// given in the file. A quote that is never closed spoils the row in which it is opened, and
// no other: the next row begins on the next line.
//
// Source: RFC 4180, with the liberties that planners' files take: any of the
// separators, and quotes within a cell that does not begin with one.
func splitFrom(text string, separator byte, line int) []gridRow {
	var rows []gridRow
	for n := 1; text != "" && len(rows) <= maxRows; n++ { // one more than are taken tells that there are too many
		r, used := splitRow(text, separator)
		r.n, r.line = n, line
		line += strings.Count(text[:used], "\n")
		text = text[used:]
		rows = append(rows, r)
	}
	return rows
}

// splitRow splits the first row off a text and says how much of it that used.
func splitRow(text string, separator byte) (r gridRow, used int) {
	i := 0
	for {
		cell, next, fault := splitCell(text[i:], separator)
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
			r.cells = append(r.cells, cell)
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

// splitCell takes the first cell off a text; next is where what follows it stands:
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
		if end < 0 {
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
