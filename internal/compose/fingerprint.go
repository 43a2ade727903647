package compose

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// fingerprint is the first eight hexadecimal digits of the SHA-256 of everything
// that the packet was computed from: the program's version, the records used, the
// templates used, the words, and the job's own entry. Any character changed in one
// of these changes it; a record that was not used does not count.
func (r *run) fingerprint() string {
	h := sha256.New()
	part := func(name string, raw []byte) { fmt.Fprintf(h, "%s\x00%d\x00%s\x00", name, len(raw), raw) }
	text := func(name string, parts ...string) { part(name, []byte(strings.Join(parts, "\x00"))) }
	b := r.c.book
	text("program", r.c.program)
	text("job", r.job.ID.S, r.job.Unit.S, r.job.Procedure.S, r.job.Day.S, r.job.Crew.S, r.job.People.S, r.job.Hours.S)
	part("site", b.Site.Raw())
	part("unit", r.unit.Raw())
	if r.unit.Design != nil {
		part("design", r.unit.Design.Raw())
	}
	if r.unit.Liquid != nil {
		part("liquid", r.unit.Liquid.Raw())
	}
	for _, name := range slices.Sorted(maps.Keys(r.tools)) {
		part("instrument", r.tools[name].Raw())
	}
	for _, rec := range b.Records {
		if rec.Kind == "terms" || rec.Kind == "statements" {
			part(rec.Kind, rec.Raw())
		}
	}
	for _, f := range r.plan.proc.Files {
		part(f.Path, f.Raw)
	}
	for _, key := range slices.Sorted(maps.Keys(r.c.words)) {
		text("word", key, r.c.words[key])
	}
	return strings.ToUpper(hex.EncodeToString(h.Sum(nil)[:4]))
}
