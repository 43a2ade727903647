package compose

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/record"
)

// fingerprint is the first eight hexadecimal digits of the SHA-256 of everything
// that the packet was computed from, each part by its name and digest: the
// program's version, the records used, the templates used, the words, and the
// job's own entry. Any character changed in one of these changes it; a record that
// was not used does not count. The parts tell, when it differs, which changed.
func (r *run) fingerprint() (string, []packet.Part) {
	b := r.c.book
	parts := []packet.Part{
		r.c.part("the program", func() []byte { return []byte(r.c.program) }),
		{Name: "the job's entry", Digest: digest(r.job.Raw())},
		r.c.record(&b.Site.Record),
		r.c.record(&r.unit.Record),
	}
	if r.unit.Design != nil {
		parts = append(parts, r.c.record(&r.unit.Design.Record))
	}
	if r.unit.Liquid != nil {
		parts = append(parts, r.c.record(&r.unit.Liquid.Record))
	}
	for _, name := range slices.Sorted(maps.Keys(r.tools)) {
		parts = append(parts, r.c.record(&r.tools[name].Record))
	}
	for _, rec := range b.Records {
		if rec.Kind == "terms" || rec.Kind == "statements" {
			parts = append(parts, r.c.record(rec))
		}
	}
	for _, f := range r.plan.proc.Files {
		parts = append(parts, r.c.part(f.Path, func() []byte { return f.Raw }))
	}
	parts = append(parts, r.c.part("the words", func() []byte {
		var all strings.Builder
		for _, key := range slices.Sorted(maps.Keys(r.c.words)) {
			all.WriteString(key + "\x00" + r.c.words[key] + "\x00")
		}
		return []byte(all.String())
	}))
	h := sha256.New()
	for _, p := range parts {
		h.Write([]byte(p.Name + "\x00" + p.Digest + "\x00"))
	}
	return strings.ToUpper(hex.EncodeToString(h.Sum(nil)[:4])), parts
}

// record gives the part that a record is: it goes by its file and name.
func (c *Composer) record(r *record.Record) packet.Part {
	return c.part(cmp.Or(r.Span.File, r.At.File)+": "+r.String(), r.Raw)
}

// part gives a part by its name; the digest of each is taken once, since most are
// part of every packet.
func (c *Composer) part(name string, raw func() []byte) packet.Part {
	if p, ok := c.parts.Load(name); ok {
		return p.(packet.Part)
	}
	p := packet.Part{Name: name, Digest: digest(raw())}
	c.parts.Store(name, p)
	return p
}

// digest is the first 16 hexadecimal digits of the SHA-256.
func digest(raw []byte) string {
	h := sha256.Sum256(raw)
	return hex.EncodeToString(h[:8])
}
