package joblist

import (
	"encoding/xml"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// format is how a workbook shows a cell.
type format struct {
	id     int    // of a number format that all workbooks share
	code   string // of one of this workbook's own; "" for one that is shared
	struck bool   // the cell's font is struck through
}

// styles reads how cells are shown.
func (w *workbook) styles(part string) error {
	codes := map[int]string{}
	var through []bool // by font
	in := ""
	return w.walk(part, func(x *xmlPart, e xml.StartElement) error {
		switch name := e.Name.Local; {
		case name == "fonts" || name == "cellXfs" || name == "cellStyleXfs" || name == "dxfs":
			in = name
		case name == "numFmt" && in == "":
			if id, err := strconv.Atoi(attr(e, "numFmtId")); err == nil {
				codes[id] = attr(e, "formatCode")
			}
		case name == "font" && in == "fonts":
			through = append(through, false)
		case name == "strike" && in == "fonts" && len(through) > 0:
			through[len(through)-1] = isOn(e)
		case name == "xf" && in == "cellXfs":
			id, _ := strconv.Atoi(attr(e, "numFmtId"))
			font, _ := strconv.Atoi(attr(e, "fontId"))
			w.formats = append(w.formats, format{id, codes[id], font >= 0 && font < len(through) && through[font]})
		}
		return nil
	})
}

// shower writes numbers as a workbook shows them.
type shower struct {
	formats []format
	scratch *excelize.File // a workbook of one cell
	known   map[int32]int  // the styles of the scratch workbook, by those of the list's
}

// format gives how a cell is shown.
func (s *shower) format(c cell) format {
	if s == nil || c.style < 0 || int(c.style) >= len(s.formats) {
		return format{}
	}
	return s.formats[c.style]
}

// text gives what a cell shows; ok is false where that is not known.
func (s *shower) text(c cell) (text string, ok bool) {
	raw := clean(c.text)
	v, isNumber := number(raw)
	f := s.format(c)
	if c.kind != numberCell || !isNumber {
		return raw, true
	}
	if f == (format{struck: f.struck}) || strings.EqualFold(f.code, "general") {
		return shortest(v), true
	}
	defer func() {
		// The library is not ours: a format that it stumbles over is not shown.
		if recover() != nil {
			text, ok = "", false
		}
	}()
	if s.scratch == nil {
		s.scratch, s.known = excelize.NewFile(), map[int32]int{}
	}
	style, have := s.known[c.style]
	if !have {
		look := excelize.Style{NumFmt: f.id}
		if f.code != "" {
			look = excelize.Style{CustomNumFmt: &f.code}
		}
		var err error
		if style, err = s.scratch.NewStyle(&look); err != nil {
			return "", false
		}
		s.known[c.style] = style
	}
	const sheet, at = "Sheet1", "A1"
	if s.scratch.SetCellStyle(sheet, at, at, style) != nil || s.scratch.SetCellDefault(sheet, at, raw) != nil {
		return "", false
	}
	text, err := s.scratch.GetCellValue(sheet, at)
	return clean(text), err == nil && !strings.Contains(text, "##")
}

// clock is what a number format says of time.
type clock uint8

const (
	noClock   clock = iota
	ofHours         // hours and minutes, such as 9:00
	elapsed         // hours that may go beyond 24, such as 33:00
	ofTheDate       // a day, a time of day with AM or PM, or minutes alone
)

// clock tells what of time a cell shows.
// Source: ISO/IEC 29500-1, 18.8.30 (the formats that all workbooks share) and
// 18.8.31 (their letters).
func (s *shower) clock(c cell) clock {
	f := s.format(c)
	code := strings.ToLower(f.code)
	if f.code == "" {
		switch {
		case f.id == 20 || f.id == 21:
			return ofHours
		case f.id == 46:
			return elapsed
		case f.id >= 14 && f.id <= 22 || f.id >= 27 && f.id <= 36 || f.id == 45 || f.id == 47 || f.id >= 50 && f.id <= 58:
			return ofTheDate
		}
		return noClock
	}
	var letters strings.Builder
	long := false
	for i := 0; i < len(code); i++ {
		switch b := code[i]; b {
		case '\\', '_', '*':
			i++ // the next character is shown as it is
		case '"':
			for i++; i < len(code) && code[i] != '"'; i++ {
			}
		case '[':
			end := strings.IndexByte(code[i:], ']')
			if end < 0 {
				return ofTheDate
			}
			if strings.Trim(code[i+1:i+end], "h") == "" {
				long = true
			} else if strings.Trim(code[i+1:i+end], "ms") == "" {
				return ofTheDate
			}
			i += end
		default:
			letters.WriteByte(b)
		}
	}
	shown := letters.String()
	switch {
	case strings.Contains(shown, "general"):
		return noClock
	case strings.ContainsAny(shown, "yd") || strings.Contains(shown, "am/pm") || strings.Contains(shown, "a/p"):
		return ofTheDate
	case long:
		return elapsed
	case strings.Contains(shown, "h"):
		return ofHours
	case strings.ContainsAny(shown, "ms"):
		return ofTheDate
	}
	return noClock
}
