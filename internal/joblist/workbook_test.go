package joblist

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// makeWorkbook writes the cells of a list as the library does, days as serial numbers.
func makeWorkbook(t testing.TB, change func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for c, v := range []any{"Job", "Pump", "Procedure", "Date", "Crew", "People", "Hours"} {
		cell, _ := excelize.CoordinatesToCellName(c+2, 3)
		f.SetCellValue("Sheet1", cell, v)
	}
	style, _ := f.NewStyle(&excelize.Style{NumFmt: 14})
	for c, v := range []any{"K-1", "P-214", "reset-end-clearance", 46356, "day", 2, 9.5} {
		cell, _ := excelize.CoordinatesToCellName(c+2, 4)
		f.SetCellValue("Sheet1", cell, v)
	}
	f.SetCellStyle("Sheet1", "E4", "E4", style)
	if change != nil {
		change(f)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestWorkbook(t *testing.T) {
	site := soapworks(t).Site
	want(t, makeWorkbook(t, nil), "week.xlsx", site)
	t.Run("from 1904", func(t *testing.T) {
		yes := true
		want(t, makeWorkbook(t, func(f *excelize.File) {
			f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes})
			f.SetCellValue("Sheet1", "E4", 46356-1462)
		}), "week.xlsx", site)
	})
	t.Run("a text as day", func(t *testing.T) {
		want(t, makeWorkbook(t, func(f *excelize.File) { f.SetCellValue("Sheet1", "E4", "30/11/2026") }), "week.xlsx", site)
	})
	t.Run("another sheet without headings", func(t *testing.T) {
		want(t, makeWorkbook(t, func(f *excelize.File) {
			f.NewSheet("Notes")
			f.SetCellValue("Notes", "A1", "nothing to see")
		}), "week.xlsx", site)
	})
	two := makeWorkbook(t, func(f *excelize.File) {
		f.NewSheet("Next")
		f.SetSheetRow("Next", "A1", &[]any{"job", "unit", "procedure", "day"})
		f.SetSheetRow("Next", "A2", &[]any{"K-2", "P-231", "reset-end-clearance", "2026-12-07"})
	})
	t.Run("two lists", func(t *testing.T) {
		if li, problems := Read("week.xlsx", two, Options{Site: site}); li != nil || !strings.Contains(fmt.Sprint(problems), "--sheet; there are Sheet1, Next") {
			t.Errorf("%v %v", li, problems)
		}
		if li, problems := Read("week.xlsx", two, Options{Sheet: "Next", Site: site}); li == nil || li.Jobs[0].ID.S != "K-2" {
			t.Error(problems)
		}
		if li, problems := Read("week.xlsx", two, Options{Sheet: "Last", Site: site}); li != nil || !strings.Contains(fmt.Sprint(problems), `no sheet "Last"`) {
			t.Error(problems)
		}
	})
	t.Run("faults by cell", func(t *testing.T) {
		bad := makeWorkbook(t, func(f *excelize.File) { f.SetCellValue("Sheet1", "E4", "31/11/2026") })
		_, problems := Read("week.xlsx", bad, Options{Site: site})
		if text, says := fmt.Sprint(problems), `week.xlsx:4:5: error: cell E4 of sheet "Sheet1": "31/11/2026" is not a day`; !strings.Contains(text, says) {
			t.Errorf("%s\nwanted is %q", text, says)
		}
	})
}

// A workbook that LibreOffice 7.4 wrote from a text file, days shown as
// day-month-year and stored as serial numbers.
func TestWorkbookOfLibreOffice(t *testing.T) {
	data, err := os.ReadFile("testdata/libreoffice.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	want(t, data, "week.xlsx", soapworks(t).Site)
}
