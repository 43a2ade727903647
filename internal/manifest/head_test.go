package manifest

import (
	"bytes"
	"strings"
	"testing"
)

func TestReadHead(t *testing.T) {
	raw, err := From(doc(), Job{ID: "K-1", Unit: "P-214", Procedure: "look", Day: "2026-12-07", Program: "p 1", Annex: 3}).Encode()
	if err != nil {
		t.Fatal(err)
	}
	h, err := ReadHead(bytes.NewReader(raw))
	if want := (Head{"K-1", "P-214", "look", "2026-12-07", "7F3A91C2", "p 1", 1, 3}); err != nil || h != want {
		t.Errorf("got %v, %v, want %v", h, err, want)
	}
	for _, bad := range []string{"", "[]", "{", `{"format": 3, "pages": [{"page": 1, "of": 1}]}`, `{"format": 1, "pages": []}`, `{"format": 1, "program": 7, "pages": [{"of": 1}]}`, `{"format": 1, "annex": "x", "pages": [{"of": 1}]}`,
		`{"format": 1, "pages": [{"of": "x"}]}`, string(raw[:120])} {
		if h, err := ReadHead(strings.NewReader(bad)); err == nil {
			t.Errorf("%q gives %v", bad, h)
		}
	}
}
