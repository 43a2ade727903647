package joblist

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/record"
)

// Hours as people write them: with a point or a comma, or with minutes; what is not
// hours for certain is left to the records' own rule, or refused.
func TestHoursInText(t *testing.T) {
	for text, want := range map[string]string{
		"9": "9 h", "9.5": "9.5 h", "9,5": "9.5 h", "1,50": "1.5 h", "0,25": "0.25 h", "9:30": "9.5 h", "0:45": "0.75 h", "9:00": "9 h", "9:59": "9.983333333 h", "9999:00": "9999 h", "1e1": "10 h", "-3": "-3 h",
		"12345:00": "12345:00", "9:60": "9:60", "9:5": "9:5", "9:005": "9:005", ":30": ":30", "9:": "9:", "a:30": "a:30", "9:3a": "9:3a", "1:2:30": "1:2:30",
		",5": ",5", "5,": "5,", "a,5": "a,5", "5,a": "5,a", "1,2,3": "1,2,3", "9 h": "9 h", "long": "long", "": "",
		"1,500": "?", "1,5000": "?",
	} {
		got, fault, hint := hours(text)
		if fault != "" {
			got = "?"
		}
		if got != want || (fault == "") != (hint == "") {
			t.Errorf("%q is %q (%s), want %q", text, got, fault, want)
		}
	}
}

// What a workbook's number formats say of time.
// Source: ISO/IEC 29500-1, 18.8.30 and 18.8.31.
func TestClockOfFormats(t *testing.T) {
	s := &shower{}
	clockOf := func(f format) clock {
		s.formats = []format{f}
		return s.clock(cell{})
	}
	for id, want := range map[int]clock{
		0: noClock, 1: noClock, 13: noClock, 14: ofTheDate, 19: ofTheDate, 20: ofHours, 21: ofHours, 22: ofTheDate, 23: noClock, 26: noClock, 27: ofTheDate, 36: ofTheDate, 37: noClock,
		44: noClock, 45: ofTheDate, 46: elapsed, 47: ofTheDate, 48: noClock, 49: noClock, 50: ofTheDate, 58: ofTheDate, 59: noClock,
	} {
		if got := clockOf(format{id: id}); got != want {
			t.Errorf("format %d: %d, want %d", id, got, want)
		}
	}
	for code, want := range map[string]clock{
		"0.0": noClock, "General": noClock, "h:mm": ofHours, "hh:mm": ofHours, "[h]:mm": elapsed, "[hh]:mm:ss": elapsed, "[m]": ofTheDate, "[mm]:ss": ofTheDate, "[s]": ofTheDate, "mm:ss": ofTheDate, "ss.0": ofTheDate,
		"h:mm AM/PM": ofTheDate, "h:mm A/P": ofTheDate, "yyyy-mm-dd": ofTheDate, "d": ofTheDate, "yyyy h:mm": ofTheDate,
		`0.0" h"`: noClock, `0.0 \h`: noClock, `0.0_h`: noClock, `*h0`: noClock, `"days "0`: noClock, `0.0" h`: noClock, `h"ours"`: ofHours, `\dh`: ofHours,
		"[Red]0.0": noClock, "[Red]h:mm": ofHours, "[$-409]0.0": noClock, "[Red": ofTheDate, "[h]:mm;[Red]General": noClock, "": noClock,
	} {
		if got := clockOf(format{code: code}); got != want {
			t.Errorf("format %q: %d, want %d", code, got, want)
		}
	}
	for _, c := range []cell{{style: -1}, {style: 1}} {
		s.formats = []format{{id: 20}}
		if s.format(c) != (format{}) {
			t.Errorf("style %d is among one", c.style)
		}
	}
}

// A time in a cell is a part of a day; one that says a day or a time of day is no
// number of hours.
func TestHoursInCells(t *testing.T) {
	g := &grid{show: &shower{formats: []format{{}, {id: 20}, {id: 46}, {id: 14}, {code: "0.0"}}}}
	for _, c := range []struct {
		text  string
		style int32
		kind  kind
		want  string // or a part of the fault
	}{
		{"9", 0, numberCell, "9 h"}, {"0.375", 0, numberCell, "0.375 h"}, {"0.375", 4, numberCell, "0.375 h"}, {"0.375", 1, numberCell, "9 h"}, {"0.39583333333333331", 1, numberCell, "9.5 h"},
		{"0.999", 1, numberCell, "23.976 h"}, {"1", 1, numberCell, "holds 24 hours"}, {"1.5", 1, numberCell, "holds 36 hours"}, {"1.5", 2, numberCell, "36 h"}, {"46356", 3, numberCell, "shows a date"},
		{"0.375", 1, textCell, "0.375 h"}, {"9:30", 1, textCell, "9.5 h"}, {"long", 1, numberCell, "long"}, {" 9 ", 0, numberCell, "9 h"},
	} {
		got, fault, _ := g.hoursOf(cell{text: c.text, style: c.style, kind: c.kind})
		if got != c.want && (fault == "" || !strings.Contains(fault, c.want)) {
			t.Errorf("%q in format %d: %q, %q, want %q", c.text, c.style, got, fault, c.want)
		}
	}
}

// Days at the edges of what is taken, and texts that nearly are days.
func TestDaysAtTheEdges(t *testing.T) {
	for text, want := range map[string]string{
		"1900-01-01": "1900-01-01", "1899-12-31": "", "2200-12-31": "2200-12-31", "2201-01-01": "", "19000101": "1900-01-01", "18991231": "", "2024-02-29": "2024-02-29", "2023-02-29": "", "2026-00-10": "", "2026-10-00": "", "2026-1-2": "2026-01-02",
		"100000": "2173-10-14", "109939": "2200-12-31", "109940": "", "109999": "", "110000": "", "99999": "2173-10-13", "10000": "1927-05-18", "9999": "", "1000000": "", "012345": "1933-10-18",
		"30.11.2026.": "2026-11-30", "30/11-2026": "", "1/2/3/4": "", "123/1/2026": "", "1/123/2026": "", "12345/1/1": "", "30 / 11 / 2026": "2026-11-30", "//": "", "30//2026": "", "31/12/2026": "2026-12-31", "12/31/2026": "2026-12-31", "32/13/2026": "",
		"46356.25": "2026-11-30", "4635.25": "", "46356.": "", "46356.2x": "", "2026-11-30, 06:15": "2026-11-30", "2026-11-30 6:15 pm": "2026-11-30", "2026-11-30 6 PM": "", "6 PM": "", "PM": "", "2026-11-30T06:15:00.000Z": "2026-11-30", "2026-11-30 06:15x": "",
		"5 Jan 2026": "2026-01-05", "1st Jan 2026": "2026-01-01", "2nd of feb 2026": "2026-02-02", "3rd dec 2026": "2026-12-03", "12 ene 2026": "2026-01-12", "2026 Nov 30": "2026-11-30", "Nov 2026 30": "2026-11-30", "2026 Nov 2026": "", "030 Nov 2026": "", "30 Nov 20260": "",
		"5 Jan Feb 2026": "", "5 Jan Jan 2026": "", "5 Feb Jan 2026": "", "5 No 2026": "", "5 6 Nov 2026": "", "Nov": "", "30 2026": "",
		"Monday 30 Nov 2026": "2026-11-30", "Mo 30 Nov 2026": "", "Mon. 2026-11-30": "2026-11-30", "Tue 2026-11-30": "", "Sun 2026-11-29": "2026-11-29", "Sat 2026-11-28": "2026-11-28", "dom 29/11/2026": "2026-11-29",
		"mar 3 nov 2026": "2026-11-03", "mar. 3/11/2026": "", "mar 3 2026": "2026-03-03", "Monday": "", "30 de noviembre del 2026": "2026-11-30",
	} {
		if iso, fault, _ := (&dates{}).day(text); iso != want || (fault == "") != (want != "") {
			t.Errorf("%q: %q, %q, want %q", text, iso, fault, want)
		}
	}
	for _, c := range []struct {
		n        int
		from1904 bool
		want     string
	}{{61, false, "1900-03-01"}, {60, false, ""}, {0, true, "1904-01-01"}, {60, true, "1904-03-01"}, {109939, false, "2200-12-31"}, {109940, false, ""}, {109939, true, ""}, {109939 - 1462, true, "2200-12-31"}} {
		if iso, fault, _ := serial(c.n, c.from1904); iso != c.want || (fault == "") != (c.want != "") {
			t.Errorf("serial number %d, from 1904 %t: %q, %q", c.n, c.from1904, iso, fault)
		}
	}
	for text, want := range map[string]string{"07/12/2026": "may be 7 December 2026 or 12 July 2026", "13/13/2026": `"13/13/2026" is not a day between 1900 and 2200`, "1/2/26": "does not have four digits", strings.Repeat("x", 41): strings.Repeat("x", 39) + "…", strings.Repeat("y", 40): strings.Repeat("y", 40)} {
		if _, fault, _ := (&dates{}).day(text); !strings.Contains(fault, want) {
			t.Errorf("%q: %q", text, fault)
		}
	}
}

// What would settle how a day reads is said with it.
func TestWhatWouldSettleADay(t *testing.T) {
	for _, c := range []struct{ site, heading, days, want string }{
		{"", "", "07/12/2026", "write it as year-month-day, or add dates: day-month-year (or month-day-year) to site.yaml"},
		{dayFirst, "", "07/12/2026 11/30/2026", "other days of the list contradict the order day-month-year: write it as year-month-day"},
		{"", monthFirst, "07/12/2026 30/11/2026", "other days of the list contradict the order month-day-year: write it as year-month-day"},
		{"", "", "07/12/2026 30/11/2026 11/30/2026", "the list writes days in both orders: write it as year-month-day"},
		{monthFirst, "", "07.12.2026", "the order month-day-year cannot be taken for granted for a day with points: write it as year-month-day"},
	} {
		d := dates{site: c.site, heading: c.heading}
		list := strings.Fields(c.days)
		for _, s := range list {
			d.note(s)
		}
		if _, fault, hint := d.day(list[0]); fault == "" || hint != c.want {
			t.Errorf("%+v: %q, %q", c, fault, hint)
		}
	}
	// Only a day that reads one way settles anything.
	var d dates
	for _, text := range []string{"07/07/2026", "07/12/2026", "2026-11-30", "30/11/26", "Monday", "", "31/13/2026"} {
		if d.note(text); len(d.seen) > 0 {
			t.Errorf("%q settles an order", text)
		}
	}
	if d.note("Mon 30/11/2026 06:00"); d.order('/') != dayFirst || d.order('.') != "" {
		t.Errorf("%v", d.seen)
	}
}

// list reads a list in text, its rows parted by bars, and gives the jobs and what is said.
func list(site *record.Site, rows string) (jobs, said string) {
	li, problems := Read("week.csv", []byte(strings.ReplaceAll(rows, "|", "\n")+"\n"), Options{Site: site})
	var out []string
	if li != nil {
		for _, j := range li.Jobs {
			if !j.Broken() {
				out = append(out, strings.Join([]string{j.ID.S, j.Unit.S, j.Day.S, j.Crew.S, j.People.S, j.Hours.S}, " "))
			}
		}
		if len(li.Cancelled) > 0 {
			out = append(out, fmt.Sprint("off ", li.Cancelled))
		}
	}
	var lines []string
	for _, p := range problems {
		line := p.Pos.String() + " " + p.Message
		if p.Hint != "" {
			line += " -> " + p.Hint
		}
		lines = append(lines, strings.TrimPrefix(line, "week.csv:"))
	}
	return strings.Join(out, "; "), strings.Join(lines, "; ")
}

// Which column is read, and what is said of those that are not.
func TestColumnsOfLists(t *testing.T) {
	const head, row = "job,unit,procedure,day", "K-1,P-1,x,2026-11-30"
	const job = "K-1 P-1 2026-11-30   "
	own := &record.Site{Columns: map[string][]record.Text{"unit": {{S: "Place"}}, "hours": {{S: "Std"}}}}
	for name, c := range map[string]struct {
		site             *record.Site
		rows, jobs, said string
	}{
		"sound":                  {nil, head + "|" + row, job, ""},
		"a column more":          {nil, head + ",Nots|" + row + ",x", job, `1:5 this column is not read: "Nots" (E)`},
		"two columns more":       {nil, head + ",Nots,Area|" + row + ",x,y", job, `1:5 these columns are not read: "Nots" (E), "Area" (F)`},
		"one without a heading":  {nil, head + ",|" + row + ",x", job, "1:5 this column is not read: E without a heading"},
		"beyond the headings":    {nil, head + "|" + row + ",,x", job, "1:6 this column is not read: F without a heading"},
		"nothing in it":          {nil, head + ",|" + row + ",", job, ""},
		"one that may be meant":  {nil, head + ",Men|" + row + ",2", job, `1:5 cell E1: the column "Men" is not read -> is it the column people? then say in site.yaml columns: {people: Men}`},
		"which is there already": {nil, head + ",Men,people|" + row + ",2,3", "K-1 P-1 2026-11-30  3 ", `1:5 this column is not read: "Men" (E)`},
		"the same heading twice": {nil, head + ",Day|" + row + ",2026-12-01", "", `1:5 cell E1: both "day" and "Day" (cell D1) may be the column day -> give the column that is not meant another heading`},
		"two that may be it":     {nil, head + ",Fecha|" + row + ",2026-12-01", "", `1:5 cell E1: both "day" and "Fecha" (cell D1) may be the column day -> say in site.yaml which it is, such as columns: {day: day}`},
		"which say the same":     {nil, head + ",Fecha|" + row + ",2026-11-30", job, ""},
		"say it in one row only": {nil, head + ",Fecha|" + row + ",2026-11-30|K-2,P-1,x,2026-11-30,2026-12-01", "", `1:5 cell E1: both "day" and "Fecha" (cell D1) may be the column day -> say in site.yaml which it is, such as columns: {day: day}`},
		"one is missing":         {nil, "job,unit,procedure|K-1,P-1,x", "", "1 row 1 has no heading for the column day -> add it, or say in site.yaml what it is called, such as columns: {day: its heading}"},
		"one has another name":   {nil, "job,unit,procedure,When|" + row, "", `1 row 1 has no heading for the column day -> is it "When"? add it, or say in site.yaml what it is called, such as columns: {day: its heading}; 1:4 cell D1: the column "When" is not read -> is it the column day? then say in site.yaml columns: {day: When}`},
		"no headings":            {nil, "K-1,P-1,x,2026-11-30", "", "1 found no row of headings: none of the first 30 rows names two or more of the columns -> name the columns job, unit, procedure, day, crew, people, hours, reason, strip in one row, or say in site.yaml what they are called, such as columns: {unit: Equipment}"},
		"the site's word":        {own, "job,Place,procedure,day,Std|" + row + ",4", "K-1 P-1 2026-11-30   4 h", ""},
		"beside a common one":    {own, "job,Place,procedure,day,unit|" + row + ",P-2", job, `1:5 this column is not read: "unit" (E)`},
		"behind a common one":    {own, "job,unit,procedure,day,Place|" + row + ",P-2", "K-1 P-2 2026-11-30   ", `1:2 this column is not read: "unit" (B)`},
		"titles above":           {nil, "Week 49|Day,Crew|" + head + "|" + row, job, ""},
	} {
		if jobs, said := list(c.site, c.rows); jobs != c.jobs || said != c.said {
			t.Errorf("%s:\ngot  %q, %s\nwant %q, %s", name, jobs, said, c.jobs, c.said)
		}
	}
	for n, want := range map[int]string{1: "A", 26: "Z", 27: "AA", 52: "AZ", 53: "BA", 702: "ZZ", 703: "AAA", 0: ""} {
		if got := letters(n); got != want {
			t.Errorf("column %d is %q, not %q", n, got, want)
		}
	}
}

// The headings may stand as low as in the thirtieth row.
func TestHowLowHeadingsStand(t *testing.T) {
	for above, want := range map[int]bool{0: true, 29: true, 30: false} {
		if jobs, _ := list(nil, strings.Repeat("Printed,x|", above)+"job,unit,procedure,day|K-1,P-1,x,2026-11-30"); (jobs != "") != want {
			t.Errorf("below %d rows: %q", above, jobs)
		}
	}
}

// What a row below the headings is.
func TestKindsOfRows(t *testing.T) {
	const head, row = "job,unit,procedure,day,status,note", "K-1,P-1,x,2026-11-30,,"
	const job = "K-1 P-1 2026-11-30   "
	for name, c := range map[string]struct{ row, jobs, said string }{
		"cancelled":                 {"K-2,P-1,x,2026-11-30,Cancelled,", job + "; off [K-2]", "3:1 cancelled and not printed: K-2 (row 3)"},
		"and more words":            {"K-2,P-1,x,2026-11-30,cancelled by Ops,", job + "; off [K-2]", "3:1 cancelled and not printed: K-2 (row 3)"},
		"in another column":         {"K-2,P-1,x,2026-11-30,,VOID", job + "; off [K-2]", "3:1 cancelled and not printed: K-2 (row 3)"},
		"perhaps cancelled":         {"K-2,P-1,x,2026-11-30,,void of oil", job, `3:6 cell F3: the cell says "void of oil": it is not clear whether the job is cancelled -> write the row again, or cancelled into the column status`},
		"a word that is not it":     {"K-2,P-1,x,2026-11-30,,voidance", job + "; K-2 P-1 2026-11-30   ", ""},
		"in a column that is read":  {"K-2,P-1,cancel valve,2026-11-30,,", job, "3:3 cell C3: \"cancel valve\" is neither the name nor the title of a procedure -> there are"},
		"cancelled, without number": {",P-1,x,2026-11-30,cancelled,", job, "3:1 cell A3: the row is cancelled, and names no job: it is empty -> write the job's number into the row"},
		"twice":                     {"K-2,P-1,x,2026-11-30,cancelled,|k-2,P-1,x,2026-11-30,cancelled,", job + "; off [K-2]", "3:1 cancelled and not printed: K-2 (row 3)"},
		"on and off":                {"k-1,P-1,x,2026-11-30,cancelled,", "", "2:1 the job K-1 is to be done in row 2 and cancelled in row 3: it is neither printed nor withdrawn -> delete the row that is wrong"},
		"a sum":                     {"Total,,,,,9", job, "1 rows of sums, which are not read: 3"},
		"a sum in another place":    {",,Subtotal,,,9", job, "1 rows of sums, which are not read: 3"},
		"a job called so":           {"Total-1,P-1,x,2026-11-30,,", job + "; Total-1 P-1 2026-11-30   ", ""},
		"a procedure called so":     {"Total,P-1,x,2026-11-30,,", job + "; Total P-1 2026-11-30   ", ""},
		"a text alone":              {"Night shift,,,,,", job, `1 rows with one text alone, which are not read: 3; the first says "Night shift"`},
		"two texts alone":           {"Night shift,,,,,|,Day shift", job, `1 rows with one text alone, which are not read: 3, 4; the first says "Night shift"`},
		"a number alone":            {"K-9,,,,,", job, "3:2 cell B3: the unit is missing -> fill the cell; 3:3 cell C3: the procedure is missing -> fill the cell; 3:4 cell D3: the day is missing -> fill the cell"},
		"headings again":            {head, job, "1 rows that repeat the headings, which are not read: 3"},
		"two of them only":          {"job,unit,,,,", job, "3:3 cell C3: the procedure is missing -> fill the cell; 3:4 cell D3: the day is missing -> fill the cell"},
		"a status that goes on":     {"K-2,P-1,x,2026-11-30,Approved by Ops,", job + "; K-2 P-1 2026-11-30   ", ""},
		"another status, twice":     {"K-2,P-1,x,2026-11-30,on hold,|K-3,P-1,x,2026-11-30,On  Hold,", job + "; K-2 P-1 2026-11-30   ; K-3 P-1 2026-11-30   ", `3:5 cell E3: the status "on hold" does not say that the job is cancelled: it is printed, as are the others of this status -> write cancelled for a job that is not to be done`},
		"a failed formula":          {"K-2,P-1,x,#DIV/0!,,", job, "3:4 cell D3: the cell shows #DIV/0!, the mark of a formula that failed -> write the value itself"},
		"what only looks like one":  {"K-2,P-1,#1,2026-11-30,,", job, "3:3 cell C3: \"#1\" is neither"},
	} {
		jobs, said := list(nil, head+"|"+row+"|"+c.row)
		said = strings.Trim(strings.Replace(said, `1:6 this column is not read: "note" (F)`, "", 1), "; ")
		said = strings.ReplaceAll(said, "; ; ", "; ")
		if jobs != c.jobs || said != c.said && !(strings.HasPrefix(said, c.said) && (strings.HasSuffix(c.said, "there are") || strings.HasSuffix(c.said, "neither"))) {
			t.Errorf("%s:\ngot  %q, %s\nwant %q, %s", name, jobs, said, c.jobs, c.said)
		}
	}
}

// A row is cancelled by a stroke where all that is the job's own is struck through;
// where a part is, nobody can tell what holds.
func TestStrokes(t *testing.T) {
	none, part, all := notStruck, partStruck, allStruck
	l := &lister{cols: map[string]int{"job": 1, "unit": 2, "procedure": 3, "day": 4}}
	for _, c := range []struct {
		strokes [5]struck
		texts   string // x for a cell with a text, m for a merged one
		kind    rowKind
		doubt   string
		col     int
	}{
		{[5]struck{none, none, none, none, none}, "xxxxx", jobRow, "", 0},
		{[5]struck{all, all, all, all, none}, "xxxxx", cancelledRow, "", 0}, // the last is none of the job's
		{[5]struck{all, all, none, all, none}, "xx-xx", cancelledRow, "", 0},
		{[5]struck{all, all, none, all, none}, "xxmx-", cancelledRow, "", 0},
		{[5]struck{none, none, none, none, all}, "xxxxx", jobRow, "", 0},
		{[5]struck{all, none, none, none, none}, "xxxxx", jobRow, "others of the row are not", 1},
		{[5]struck{none, none, all, none, none}, "xxxxx", jobRow, "it is not clear what counts", 3},
		{[5]struck{none, part, none, none, none}, "xxxxx", jobRow, "part of the cell", 2},
		{[5]struck{all, all, all, part, none}, "xxxxx", jobRow, "part of the cell", 4},
		{[5]struck{none, none, all, none, none}, "xx-xx", jobRow, "", 0},
	} {
		r := &gridRow{n: 2}
		for i, s := range c.strokes {
			text := "x"
			if c.texts[i] == '-' {
				text = " "
			}
			r.cells = append(r.cells, cell{text: text, struck: s, merged: c.texts[i] == 'm'})
		}
		kind, doubt, col := l.struckOut(r)
		if kind != c.kind || (c.doubt == "") != (doubt == "") || !strings.Contains(doubt, c.doubt) || col != c.col {
			t.Errorf("%v %s: %d, %q, column %d", c.strokes, c.texts, kind, doubt, col)
		}
	}
}

// slow gives a few bytes at a time.
type slow struct {
	text string
	n    int
}

func (s *slow) Read(p []byte) (int, error) {
	if s.text == "" {
		return 0, io.EOF
	}
	n := copy(p[:min(len(p), s.n)], s.text)
	s.text = s.text[n:]
	return n, nil
}

// However a part comes in, each byte that XML does not know is DEL, and every other
// is as it was.
func TestLegibleInAnyPieces(t *testing.T) {
	const text = "a\x00b\tµ\n€\r😀\xffé\xc3(\xed\xa0\x80\x1f\uFFFE\uFFFFz\x7f"
	const want = "a\x7fb\tµ\n€\r😀\x7fé\x7f(\x7f\x7f\x7f\x7f\x7f\x7f\x7f\x7f\x7f\x7fz\x7f"
	for n := 1; n < 12; n++ {
		got, err := io.ReadAll(&legible{in: &slow{text, n}})
		if err != nil || string(got) != want {
			t.Errorf("%d bytes at a time: %q, %v", n, got, err)
		}
	}
	if got, _ := io.ReadAll(&legible{in: &slow{"ab\xe2\x82", 3}}); string(got) != "ab\x7f\x7f" && string(got) != "ab\xe2\x82" {
		t.Errorf("a character that is cut off: %q", got)
	}
	for text, want := range map[string]string{"a_x000D_b": "a\rb", "_x0041__x0042_": "AB", "_x41_": "_x41_", "_x00G1_": "_x00G1_", "plain": "plain", "a_x": "a_x"} {
		if got := unescape(text); got != want {
			t.Errorf("%q: %q", text, got)
		}
	}
}

// A list in which a thousand rows are wrong is read; one more, and nothing of it is.
func TestHowManyRowsMayBeWrong(t *testing.T) {
	for n, want := range map[int]bool{maxFaulty: true, maxFaulty + 1: false} {
		rows := "job,unit,procedure,day|K-1,P-1,x,2026-11-30" + strings.Repeat("|,P-1,x,soon", n)
		jobs, said := list(nil, rows)
		if (jobs != "") != want || strings.Contains(said, "more than 1000 rows have an error, so nothing of the list is read; the first is: cell A3: the job is missing") == want {
			t.Errorf("%d faulty rows: %q", n, jobs)
		}
	}
}

// The titles of procedures are told in whatever letters; a name is left as it is.
func TestTitles(t *testing.T) {
	of := titlesOf(map[string]string{"reset": "Reset the gap", "other": "Same", "another": "Same", "same-name": ""})
	for text, want := range map[string]string{"reset": "reset", "RESET THE GAP": "reset", "Same": "?other", "same-name": "same-name", "Same name": "same-name", "unknown-name": "unknown-name", "Reset the gab": "?did you mean reset?", "nothing like it": "?there are another, other, reset, same-name"} {
		name, _, fault, hint := of.name(text)
		if fault != "" {
			name = "?" + hint
		}
		if name != want && !(want == "?other" && hint == "write the name of the one that is meant: another, other") {
			t.Errorf("%q: %q", text, name)
		}
	}
	keys := []string{}
	for k := range of {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	if got := strings.Join(keys, ","); got != "=another,=other,=reset,=same-name,another,other,reset,reset the gap,same,same name" {
		t.Error(got)
	}
}
