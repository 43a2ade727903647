package compose_test

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
)

// keyBehind is the key of an entry behind its number.
var keyBehind = regexp.MustCompile(`([a-z0-9)])W\d+`)

// forecastOf gives what the annex says of the wear of a part behind a label.
func forecastOf(p *packet.Packet, part, label string) string {
	for _, b := range annexOf(p, "aside") {
		if b.Index == nil {
			continue
		}
		for _, row := range b.Index.Rows {
			says := strings.Split(row.Text.String(), " · ")
			if !strings.HasPrefix(says[0], part+":") {
				continue
			}
			for _, s := range says[1:] {
				if rest, ok := strings.CutPrefix(s, label+" "); ok {
					return keyBehind.ReplaceAllString(strings.ReplaceAll(rest, "\u00a0", " "), "$1")
				}
			}
		}
	}
	return ""
}

// TestForecasts says what the annex tells of histories of every kind. The days
// and rates of the first are worked out apart in testdata/worked.
func TestForecasts(t *testing.T) {
	const last = "31.94 mm, idler_bushing_bore: 32.15 mm"
	for _, c := range []struct {
		what           string
		edits          []edit
		part, forecast string
		rate           string
		days           int // drawn; 0 for no figure
	}{
		{"four readings", nil, "idler pin", "2027 (2026 to 2028), from readings on 4 days", "0.021 mm a year", 4},
		{"a limit that is forecast for before the job", nil, "idler bushing", "2026 (2025 to 2027), from readings on 4 days; before the date of this job", "0.027 mm a year", 4},
		{"a clearance that is set anew each time", nil, "rotor to head", "2027 (2027 to 2028), from readings on 4 days", "0.038 mm a year", 7},
		{"no reading of the part", nil, "shaft", "", "", 0},
		{"a new pin, one reading", []edit{{unitsFile, "day: 2025-03-04,", "day: 2025-03-04, replaced: [idler_pin],"}}, "idler pin", "", "", 0},
		{"a new pin, two readings", []edit{{unitsFile, "day: 2024-04-22,", "day: 2024-04-22, replaced: [idler_pin],"}}, "idler pin",
			"2026, from readings on 2 days; two readings give no spread: the date may be far off; before the date of this job", "", 2},
		{"readings after the job", []edit{{unitsFile, "day: 2025-03-04,", "day: 2027-03-04,"}}, "idler pin", "2027 (2025 to 2056), from readings on 3 days; further ahead than the history reaches back", "", 3},
		{"no wear", []edit{{unitsFile, last, "32.00 mm, idler_bushing_bore: 32.15 mm"}, {unitsFile, "31.96 mm, idler", "32.00 mm, idler"}, {unitsFile, "31.98 mm, idler", "32.00 mm, idler"}}, "idler pin",
			"none: the readings show no wear, from readings on 4 days", "", 4},
		{"beyond the limit", []edit{{unitsFile, last, "31.89 mm, idler_bushing_bore: 32.15 mm"}, {unitsFile, "31.96 mm, idler", "31.91 mm, idler"}}, "idler pin",
			"none: its trend had reached the limit at the last reading, from readings on 4 days", "", 4},
		{"readings that scatter", []edit{{unitsFile, "31.96 mm, idler", "32.00 mm, idler"}, {unitsFile, "31.98 mm, idler", "31.94 mm, idler"}}, "idler pin",
			"; the readings scatter too much to say how far off the date may be", "", 4},
		{"a limit far ahead", []edit{{ringFile, "reject_below: 31.90 mm", "reject_below: 30.90 mm"}}, "idler pin", "none: more than 50 years ahead, from readings on 4 days", "", 4},
	} {
		p := open(t, edited(t, os.DirFS(workedDir+"metric"), c.edits...)).packet(t, "P-214", "rebuild-component-seal")
		got := forecastOf(p, c.part, "Limit forecast")
		if c.forecast == "" && got != "" || !strings.Contains(got, c.forecast) {
			t.Errorf("%s: the annex says %q, want %q", c.what, got, c.forecast)
		}
		if rate := forecastOf(p, c.part, "Wear rate"); c.rate != "" && rate != c.rate {
			t.Errorf("%s: it wears %q, want %q", c.what, rate, c.rate)
		}
		days := 0
		for _, f := range figures(p) {
			if f.Name == "trend" && strings.HasPrefix(f.Texts["title"], c.part+":") {
				days = len(f.Lists["days"])
				if c.forecast != "" && strings.HasPrefix(got, "2") != (f.Texts["forecast"] != "") {
					t.Errorf("%s: the drawing has the forecast %q", c.what, f.Texts["forecast"])
				}
			}
		}
		if days != c.days {
			t.Errorf("%s: %d readings are drawn, want %d", c.what, days, c.days)
		}
	}
}

// The wear sheet says of a part that its limit was forecast for before the job, and of no
// other.
func TestWearSheetSaysWhatIsDue(t *testing.T) {
	p := open(t, os.DirFS(workedDir+"metric")).packet(t, "P-214", "rebuild-component-seal")
	var due []string
	for _, s := range p.Sheets {
		for _, b := range s.Blocks {
			if s.ID != "wear" || b.Table == nil {
				continue
			}
			for _, row := range b.Table.Rows {
				if text := row.Cells[1].Text.String(); strings.Contains(text, "\nLimit forecast 2026 (2025 to 2027), before the date of this job") {
					due = append(due, text[:13])
				} else if strings.Contains(text, "forecast") {
					t.Errorf("the sheet says %q", text)
				}
			}
		}
	}
	if len(due) != 1 || due[0] != "idler bushing" {
		t.Errorf("due are %q", due)
	}
}
