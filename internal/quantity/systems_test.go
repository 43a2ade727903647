package quantity

import (
	"strings"
	"testing"
)

func TestAmountsInRunningText(t *testing.T) {
	for _, c := range []struct{ text, metric, us string }{
		{"below −30 °C (−22 °F) or above 200 °C (392 °F)", "below −30 °C or above 200 °C", "below −22 °F or above 392 °F"},
		{"within 5 K (9 °F).", "within 5 K.", "within 9 °F."},
		{"warms by 10 °C (18 °F) gains", "warms by 10 °C gains", "warms by 18 °F gains"},
		{"10 mm (0.394 in) of travel", "10 mm of travel", "0.394 in of travel"},
		{"más de 0,5 mm (0,02 in), al 100 %", "más de 0,5 mm, al 100 %", "más de 0,02 in, al 100 %"},
		{"over 100 mm (4 in)", "over 100 mm", "over 4 in"},
		// Not one amount in two systems.
		{"M8 (8.8), 3 mm (see 4), 10 mm (1 in), 5 mm (0.5 cm), 2 kg (2 m)", "", ""},
		{"200 000 h (23 years), 10 widgets (3 in)", "", ""},
	} {
		if c.metric == "" {
			c.metric, c.us = c.text, c.text
		}
		for on, want := range map[Systems]string{{}: c.metric, {First: US}: c.us, {Both: true}: c.text} {
			if got := on.InText(c.text); got != want {
				t.Errorf("%q on %+v: %q, want %q", c.text, on, got, want)
			}
		}
	}
	if got := (Systems{First: US, Both: true}).InText("over 100 mm (4 in)"); got != "over 4 in (100 mm)" {
		t.Errorf("us first: %q", got)
	}
}

func TestSystemsOfAPage(t *testing.T) {
	for name, want := range map[string]Systems{"metric": {}, "us": {First: US}, "both": {Both: true}, "us and metric": {First: US, Both: true}} {
		if got := SystemsNamed(name); got != want {
			t.Errorf("%s: %+v", name, got)
		}
	}
	if got := strings.Join(SystemsNames(), ", "); got != "metric, us, both, us and metric" {
		t.Errorf("they are named %s", got)
	}
}

// An instrument that is marked in one system is read in that on every page.
func TestMarkedInOneSystem(t *testing.T) {
	s, err := ParseResolution("0.01 mm")
	if err != nil {
		t.Fatal(err)
	}
	v := must(t, "0.5 in", KindLength)
	for _, on := range []Systems{{}, {First: US}, {Both: true}, {First: US, Both: true}} {
		if got := s.Text(v, on, "."); got != "12.70\u00a0mm" {
			t.Errorf("on %+v: %s", on, got)
		}
	}
	if _, err := ParseResolution("0.01 mm or 1 kg"); err == nil {
		t.Error("a resolution of two kinds is taken")
	}
}
