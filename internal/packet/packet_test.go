package packet

import (
	"encoding/json"
	"testing"
)

// A place is written as text and read back, whatever the file is called.
func TestPlace(t *testing.T) {
	for _, c := range []struct {
		place Place
		text  string
	}{
		{Place{"units/P-214.yaml", 14, 11}, "units/P-214.yaml:14:11"},
		{Place{"units/P-214.yaml", 14, 0}, "units/P-214.yaml:14"},
		{Place{"units/P-214.yaml", 0, 0}, "units/P-214.yaml"},
		{Place{"units/a:b.yaml", 3, 4}, "units/a:b.yaml:3:4"},
		{Place{}, ""},
	} {
		in := Input{Name: "x", At: c.place}
		data, err := json.Marshal(in)
		var out Input
		if err == nil {
			err = json.Unmarshal(data, &out)
		}
		if got := c.place.String(); got != c.text || out != in || err != nil {
			t.Errorf("%s, want %s; read back %+v, %v", got, c.text, out, err)
		}
	}
}
