package joblist

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"

	"github.com/xuri/excelize/v2"
)

// titlesForTest are two procedures by their printed titles.
var titlesForTest = map[string]string{
	"reset-end-clearance":    "Reset the end clearance",
	"rebuild-component-seal": "Rebuild, component seal in the stuffing box",
}

// A planner's workbook with a dozen habits at once: every job that can be told is
// read, and each of the rest is named.
func TestPlannersWorkbook(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	const sheet = "Week 49"
	f.SetSheetName("Sheet1", sheet)
	put := func(cell string, values ...any) {
		t.Helper()
		if err := f.SetSheetRow(sheet, cell, &values); err != nil {
			t.Fatal(err)
		}
	}
	style := func(cell string, s excelize.Style) {
		t.Helper()
		id, err := f.NewStyle(&s)
		if err != nil {
			t.Fatal(err)
		}
		if err := f.SetCellStyle(sheet, cell, cell, id); err != nil {
			t.Fatal(err)
		}
	}
	code := func(s string) excelize.Style { return excelize.Style{CustomNumFmt: &s} }
	put("A1", "Pump shop, week 49") // title rows, merged
	f.MergeCell(sheet, "A1", "I1")
	put("A2", "Printed Friday", nil, "for the fitters")
	put("A4", "WO #", "Unit / Equipo", "Procedimiento", "Fecha (dd/mm/yyyy)", "Crew", "Men", "Est. hrs", "Status", "Remarks", "Hours")
	put("A5", "Monday")                                                                                                          // the name of a day, alone
	put("A6", 24817, "P-214", "Rebuild, component seal in the stuffing box", "07.12.2026", "day", 2, 9, "Planned", "hose first") // a number shown as K-24817; a title; day first
	put("A7", 381, "P-231", "RESET-END-CLEARANCE", 46356, nil, 2, 3, "planned", nil, 0.375)                                      // shown as 00381; 9:00 hours; the crew merged with the row above
	put("A8", "K-3", "P-402", "reset-end-clearance", "08/12/2026", "late", 1, 3, "CANCELLED")                                    // called off
	put("A9", "K-4", "P-305", "reset-end-clearance", "08/12/2026", "late", 1, 3)                                                 // struck through
	put("A10", nil, "P-118", "reset-end-clearance", "08/12/2026", "late", 1, 3)                                                  // no number
	put("A11", "K-6", "P-122", "reset-end-clearance", "#REF!", "late", 1, 3)                                                     // a formula that failed
	put("A12", "K-7", "P-215", "reset-end-clearance", "Tue 8 Dec 2026", "late", 1, 3, "on hold")                                 // the month in words
	put("A13", "Subtotal", nil, nil, nil, nil, 9, 21)                                                                            // sums
	put("A14", "WO #", "Unit / Equipo", "Procedimiento", "Fecha", "Crew")                                                        // the headings once more
	put("A15", "K-8", "P-401", "reset-end-clearance", "09/12/2026", "day", 1, 3)                                                 // hidden
	put("A16", "K-9", "P-312", "reset-end-clearance", "Wed 8 Dec 2026", "day", 1, 3)                                             // a day that contradicts itself
	put("A17", "K-10", "P-233", "Rebuild, component seals in the stuffing box", "09/12/2026", "day", 1, 3)                       // a title with a slip
	put("A18", "K-11", "P-233", "reset-end-clearance", "09/12/2026", "day", 1, 3, nil, nil, 1.5)                                 // 12:00 of the second day
	put("A19", "K-12", "P-233", "reset-end-clearance", "09/12/2026", "day", 1, 3, nil, "cancelled? ask Ops")                     // in doubt
	put("A20", "K-13", "P-233", "reset-end-clearance", "10/12/2026", "day", 1, 3, nil, nil, "9:30")                              // hours as text
	style("A6", code(`"K-"0`))
	style("A7", code("00000"))
	style("D7", excelize.Style{NumFmt: 14})
	style("J7", excelize.Style{NumFmt: 20})
	style("J18", excelize.Style{NumFmt: 20})
	for _, c := range []string{"A9", "B9", "C9", "D9", "E9"} {
		style(c, excelize.Style{Font: &excelize.Font{Strike: true}})
	}
	f.MergeCell(sheet, "E6", "E7")
	f.SetRowVisible(sheet, 15, false)
	f.SetColVisible(sheet, "J", false)
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	site := soapworks(t).Site
	site.Dates = monthFirst // the heading says otherwise
	li, problems := Read("week.xlsx", b.Bytes(), Options{Site: site, Titles: titlesForTest})
	if li == nil {
		t.Fatal(problems)
	}
	var jobs []string
	for _, j := range li.Jobs {
		if !j.Broken() {
			jobs = append(jobs, strings.Join([]string{j.ID.S, j.Unit.S, j.Procedure.S, j.Day.S, j.Crew.S, j.Hours.S}, " "))
		}
	}
	if want := []string{
		"K-24817 P-214 rebuild-component-seal 2026-12-07 day ",
		"00381 P-231 reset-end-clearance 2026-11-30 day 9 h",
		"K-7 P-215 reset-end-clearance 2026-12-08 late ",
		"K-13 P-233 reset-end-clearance 2026-12-10 day 9.5 h",
	}; !slices.Equal(jobs, want) {
		t.Errorf("jobs\n%s\nwant\n%s", strings.Join(jobs, "\n"), strings.Join(want, "\n"))
	}
	if got := fmt.Sprint(li.Cancelled); got != "[K-3 K-4]" {
		t.Errorf("cancelled: %s", got)
	}
	same(t, problems, `week.xlsx:4: warning: sheet "Week 49": hidden and not printed: row 15 (K-8) [hidden-rows]
    hint: show the rows that are to be printed
week.xlsx:4: warning: sheet "Week 49": rows of sums, which are not read: 13 [passed-over]
week.xlsx:4: warning: sheet "Week 49": rows that repeat the headings, which are not read: 14 [passed-over]
week.xlsx:4: warning: sheet "Week 49": rows with one text alone, which are not read: 5; the first says "Monday" [passed-over]
week.xlsx:4:6: warning: cell F4 of sheet "Week 49": the column "Men" is not read [unread-columns]
    hint: is it the column people? then say in site.yaml columns: {people: Men}
week.xlsx:4:7: warning: sheet "Week 49": these columns are not read: "Est. hrs" (G), "Remarks" (I) [unread-columns]
week.xlsx:4:10: warning: cell J4 of sheet "Week 49": the column "Hours" is hidden; it is read as well [hidden-columns]
week.xlsx:8:1: warning: sheet "Week 49": cancelled and not printed: K-3 (row 8), K-4 (row 9) [cancelled]
week.xlsx:10:1: error: cell A10 of sheet "Week 49": the job is missing [missing-key]
    hint: fill the cell
week.xlsx:11:4: error: cell D11 of sheet "Week 49": the cell shows #REF!, the mark of a formula that failed [cell-value]
    hint: write the value itself
week.xlsx:12:8: warning: cell H12 of sheet "Week 49": the status "on hold" does not say that the job is cancelled: it is printed, as are the others of this status [status]
    hint: write cancelled for a job that is not to be done
week.xlsx:16:4: error: cell D16 of sheet "Week 49": "Wed 8 Dec 2026" contradicts itself: 2026-12-08 is a Tuesday [day]
    hint: write it as year-month-day
week.xlsx:17:3: error: cell C17 of sheet "Week 49": "Rebuild, component seals in the stuffin…" is neither the name nor the title of a procedure [unknown-procedure]
    hint: did you mean rebuild-component-seal?
week.xlsx:18:10: error: cell J18 of sheet "Week 49": the cell shows a time of day and holds 36 hours [quantity]
    hint: write the hours as a number
week.xlsx:19:9: error: cell I19 of sheet "Week 49": the cell says "cancelled? ask Ops": it is not clear whether the job is cancelled [cancelled]
    hint: write the row again, or cancelled into the column status`)
}

// same checks problems word for word.
func same(t *testing.T, problems diag.List, want string) {
	t.Helper()
	if got := words(problems); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// The like of it in text: a mark of the separator, a heading twice, two languages,
// days in both orders, a zero byte, and a job that is both on and off.
func TestPlannersText(t *testing.T) {
	text := "\"sep=;\"\r\nWeek 49;;;;\r\n\r\n" +
		"Work order;Equipment;Fecha;Procedure;Date;Est. hrs;;Nots\r\n" +
		"K-1;P-214;07.12.2026;Reset the end clearance;07.12.2026;4;;\r\n" +
		"K-2;P-2\x0014;8 de diciembre de 2026;reset-end-clearance;8 de diciembre de 2026;4;;\r\n" +
		"K-3;P-231;03/12/2026;reset-end-clearance;03/12/2026;4;;\x00\x81\r\n" +
		"K-4;P-231;2026-12-09;reset-end-clearance;2026-12-09;4;late;cancelado\r\n" +
		"k-4;P-231;2026-12-10;reset-end-clearance;2026-12-10;4;;\r\n" +
		"K-6;P-231;2026-12-11;reset-end-clearance;2026-12-11;4;;VOID\r\n" +
		"Total;;;;;24;;\r\n"
	site := soapworks(t).Site
	site.Dates = monthFirst
	li, problems := Read("week.csv", []byte(text), Options{Site: site, Titles: titlesForTest})
	if li == nil {
		t.Fatal(problems)
	}
	var jobs []string
	for _, j := range li.Jobs {
		if !j.Broken() {
			jobs = append(jobs, j.ID.S+" "+j.Day.S)
		}
	}
	if got := strings.Join(jobs, ", "); got != "K-3 2026-03-12" {
		t.Errorf("jobs %s", got)
	}
	if got := fmt.Sprint(li.Cancelled); got != "[K-6]" {
		t.Errorf("cancelled: %s", got)
	}
	same(t, problems, `week.csv:3: warning: rows of sums, which are not read: 10 [passed-over]
week.csv:3:6: warning: cell F3 (line 4 of the file): the column "Est. hrs" is not read [unread-columns]
    hint: is it the column hours? then say in site.yaml columns: {hours: Est. hrs}
week.csv:3:7: warning: these columns are not read: G without a heading, "Nots" (H) [unread-columns]
week.csv:4:3: error: cell C4 (line 5 of the file): "07.12.2026" may be 7 December 2026 or 12 July 2026 [day]
    hint: the order month-day-year cannot be taken for granted for a day with points: write it as year-month-day
week.csv:5:2: error: cell B5 (line 6 of the file): found the character U+0000, which prints nothing [character]
    hint: delete it; in double quotes write \\ for a backslash
week.csv:8:1: error: the job k-4 is to be done in row 8 and cancelled in row 7: it is neither printed nor withdrawn [cancelled]
    hint: delete the row that is wrong
    see also: week.csv:7:1
week.csv:9:1: warning: cancelled and not printed: K-6 (row 9) [cancelled]`)
}

// Days in a list: what the site, the heading and the other days settle.
func TestDayOrders(t *testing.T) {
	for _, c := range []struct {
		site, heading string
		days          string // with spaces between; the first is read
		want          string // or a part of the fault
	}{
		{monthFirst, "", "07.12.2026", "7 December 2026 or 12 July 2026"},
		{monthFirst, "", "07.12.2026 30.11.2026", "2026-12-07"}, // only day first can be, which settles it
		{monthFirst, "", "07.12.2026 11.30.2026", "2026-07-12"},
		{monthFirst, "", "07.12.2026 11.30.2026 30.11.2026", "7 December 2026 or 12 July 2026"},
		{monthFirst, "", "07.12.2026 30/11/2026", "7 December 2026 or 12 July 2026"}, // of another hand
		{monthFirst, "", "07/12/2026", "2026-07-12"},
		{monthFirst, "", "07/12/2026 30/11/2026", "7 December 2026 or 12 July 2026"},
		{monthFirst, "", "30.11.2026", "2026-11-30"},
		{dayFirst, "", "07.12.2026", "2026-12-07"},
		{dayFirst, "", "07/12/2026 11/30/2026", "7 December 2026 or 12 July 2026"},
		{"", "", "07/12/2026", "7 December 2026 or 12 July 2026"},
		{"", "", "07/12/2026 30/11/2026", "2026-12-07"},
		{"", "", "07/07/2026", "2026-07-07"},
		{"year-month-day", "", "07/12/2026", "7 December 2026 or 12 July 2026"},
		{monthFirst, "Date (dd/mm/yyyy)", "07.12.2026", "2026-12-07"},
		{dayFirst, "Date [MM/DD/YYYY]", "07.12.2026", "2026-07-12"},
		{dayFirst, "Date (dd/mm/yyyy)", "07/12/2026 11/30/2026", "7 December 2026 or 12 July 2026"},
	} {
		d := dates{site: c.site, heading: headingOrder(c.heading)}
		list := strings.Fields(c.days)
		for _, s := range list {
			d.note(s)
		}
		iso, fault, _ := d.day(list[0])
		if iso != c.want && (fault == "" || !strings.Contains(fault, c.want)) {
			t.Errorf("%+v: %q, %q", c, iso, fault)
		}
	}
	for text, want := range map[string]string{
		"30 Nov 2026": "2026-11-30", "Nov 30th, 2026": "2026-11-30", "Mon 30 Nov 2026": "2026-11-30", "lun. 30/11/2026": "2026-11-30", "mar 1 dic 2026": "2026-12-01",
		"Mar 3 2026": "2026-03-03", "30-nov-2026": "2026-11-30", "30 de noviembre de 2026": "2026-11-30", "miércoles 2 de diciembre de 2026": "2026-12-02", "2026-Nov-30": "2026-11-30",
		"30 Nov 26": "", "30 Nov": "", "Tue 30 Nov 2026": "", "31 Nov 2026": "", "Nov 2026": "", "30 Nov Dec 2026": "", "30 Nov 2026 or so": "", "30 Nov 2026 06:00": "2026-11-30",
	} {
		if iso, fault, _ := (&dates{}).day(text); iso != want || (fault == "") != (want != "") {
			t.Errorf("%q: %q, %q", text, iso, fault)
		}
	}
}

// Headings that are understood, and what those that are not may be meant for.
func TestHeadings(t *testing.T) {
	h := headingsOf(&record.Site{})
	for heading, want := range map[string]string{
		"WO #": "job", "W/O": "job", "Job / Trabajo": "job", "N.º de orden": "job", "Work order\n(orden de trabajo)": "job", "Unit / Equipo": "unit",
		"Date (dd/mm/yyyy)": "day", "Fecha - Date": "day", "Hours (h)": "hours", "Estado": "status",
		"Unit / Crew": "", "Hours (min)": "", "Men": "", "Est. hrs": "", "Date (week)": "", "": "", "/": "", strings.Repeat("job / ", 30): "",
	} {
		if got, _ := h.key(heading); got != want {
			t.Errorf("%q is %q, not %q", heading, got, want)
		}
	}
	for heading, want := range map[string]string{"Men": "people", "Est. hrs": "hours", "Asset": "unit", "procdure": "procedure", "Persnos": "people", "Remarks": "", "Area": "", "Priority": ""} {
		if got := h.suggest(heading); got != want {
			t.Errorf("%q may be %q, not %q", heading, got, want)
		}
	}
}

func words(problems diag.List) string {
	var lines []string
	for _, p := range problems {
		lines = append(lines, p.String())
	}
	return strings.Join(lines, "\n")
}

// What else a list may say twice: a cancelled job, a title; and a cell that is too long.
func TestTwice(t *testing.T) {
	const text = "job,unit,procedure,day,status\nK-1,P-214,a,2026-11-30,void\nK-1,P-214,a,2026-11-30,void\nK-2,P-214,Same Title,2026-11-30,\n"
	li, problems := Read("week.csv", []byte(text+`K-3,"`+strings.Repeat("x", maxCell+1)+"\""), Options{Titles: map[string]string{"a": "Same title", "b": "same title"}})
	if li == nil || len(li.Cancelled) != 1 {
		t.Fatal(problems)
	}
	same(t, problems, `week.csv:2:1: warning: cancelled and not printed: K-1 (row 2) [cancelled]
week.csv:4:3: error: cell C4: "Same Title" is the title of several procedures [unknown-procedure]
    hint: write the name of the one that is meant: a, b
week.csv:5:2: error: cell B5: a quote is opened and never closed: close it with ", and write a quote within a cell as "" [row]`)
}
