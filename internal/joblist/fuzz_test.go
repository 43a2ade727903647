package joblist

import (
	"strings"
	"testing"
	"time"
)

// A text splits into rows that lose nothing but what quotes and bounds take, and
// whose numbers rise.
func FuzzText(f *testing.F) {
	for _, s := range []string{plain, "sep=;\na;b\n", "\"a\"\"b\",c\n\"", "a\x00,\xff\n", "\xff\xfea\x00", "\"sep=\t\"\n\"x\ty\"\n", "a\r\rb\r\n"} {
		f.Add([]byte(s))
	}
	cols := headingsOf(nil)
	f.Fuzz(func(t *testing.T, data []byte) {
		g, err := readText("week.csv", data, cols)
		if err != nil {
			return
		}
		for i, r := range g.rows {
			if i > 0 && (r.n <= g.rows[i-1].n || r.line <= g.rows[i-1].line) {
				t.Errorf("row %d follows row %d", r.n, g.rows[i-1].n)
			}
			if len(r.cells) > maxColumns || (r.fault == "") != (r.at == 0) {
				t.Errorf("%+v", r)
			}
		}
	})
}

// A heading stands for one column or for none, however it is written.
func FuzzHeading(f *testing.F) {
	for _, s := range []string{"Job / Trabajo", "Date (dd/mm/yyyy)", "N.º de orden", "Hours [h]", "(", "/|-", "Est. hrs", "\xff(\x00"} {
		f.Add(s)
	}
	h := headingsOf(nil)
	f.Fuzz(func(t *testing.T, s string) {
		key, own := h.key(s)
		if own {
			t.Errorf("%q is a site's own", s)
		}
		if again, _ := h.key(strings.ToUpper(s)); key != "" && strings.ToUpper(strings.ToLower(s)) == strings.ToUpper(s) && again != key {
			t.Errorf("%q is %q, and %q in capitals", s, key, again)
		}
		if order := headingOrder(s); order != "" && order != dayFirst && order != monthFirst {
			t.Errorf("%q has the order %q", s, order)
		}
		h.suggest(s)
	})
}

// A day is read as one of the calendar, or refused with a reason; where no order is
// known, none is guessed.
func FuzzDay(f *testing.F) {
	for _, s := range []string{"2026-11-30", "07.12.2026", "30/11/2026 6:15 PM", "mar 1 dic 2026", "Nov 30th, 2026", "46356.25", "20261130", "000000", "T", " ", "1.1.1T", "º/º/2026"} {
		f.Add(s, false)
	}
	f.Fuzz(func(t *testing.T, s string, from1904 bool) {
		for _, site := range []string{"", dayFirst, monthFirst, "year-month-day"} {
			d := &dates{site: site, from1904: from1904}
			d.note(s)
			iso, fault, _ := d.day(s)
			if (iso == "") == (fault == "") {
				t.Fatalf("%q: %q and %q", s, iso, fault)
			}
			if iso == "" {
				continue
			}
			day, err := time.Parse(time.DateOnly, iso)
			if err != nil || day.Year() < firstYear || day.Year() > lastYear {
				t.Errorf("%q is %q: %v", s, iso, err)
			}
			if again, _, _ := (&dates{}).day(iso); again != iso {
				t.Errorf("%q is %q, and that %q", s, iso, again)
			}
		}
		a, _, _ := (&dates{site: dayFirst}).day(s)
		b, _, _ := (&dates{site: monthFirst}).day(s)
		if c, _, _ := (&dates{}).day(s); c != "" && (a != c || b != c) {
			t.Errorf("%q is %q without an order, and %q or %q with one", s, c, a, b)
		}
	})
}
