package manifest

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// Head is what the beginning of a manifest says.
type Head struct {
	Job, Unit, Procedure, Day string
	Fingerprint, Program      string
	Pages                     int
	Annex                     int // pages of the annex
}

// ReadHead reads the beginning of what Encode wrote, up to the first page, without
// looking at the boxes: 4 KB are enough.
func ReadHead(r io.Reader) (Head, error) {
	var h Head
	d := json.NewDecoder(r)
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return h, errors.New("manifest: this is not a manifest")
	}
	format := 0
	into := map[string]any{"format": &format, "job": &h.Job, "unit": &h.Unit, "procedure": &h.Procedure, "day": &h.Day,
		"fingerprint": &h.Fingerprint, "program": &h.Program, "annex": &h.Annex}
	for {
		t, err := d.Token()
		if err != nil {
			return h, fmt.Errorf("manifest: %w", err)
		}
		key, _ := t.(string)
		if key == "pages" {
			break
		}
		to := into[key]
		if to == nil {
			to = new(any)
		}
		if err := d.Decode(to); err != nil {
			return h, fmt.Errorf("manifest: %w", err)
		}
	}
	if err := readable(format); err != nil {
		return h, err
	}
	for _, want := range []json.Token{json.Delim('['), json.Delim('{')} {
		if t, err := d.Token(); err != nil || t != want {
			return h, errors.New("manifest: found no page")
		}
	}
	for {
		t, err := d.Token()
		if err != nil {
			return h, fmt.Errorf("manifest: %w", err)
		}
		if key, _ := t.(string); key == "of" {
			err := d.Decode(&h.Pages)
			return h, err
		}
		if _, err := d.Token(); err != nil { // the value of another key
			return h, fmt.Errorf("manifest: %w", err)
		}
	}
}
