package origin

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"

	"jobsheaf/internal/packet"
)

// fingerprint is the first eight hexadecimal digits of the SHA-256 of everything
// that the packet was computed from, each part by its name and digest. Any
// character changed in one of these changes it; a record that was not used does
// not count. The parts tell, when it differs, which changed.
func (k *Keeper) fingerprint(list []input) (string, []packet.Part) {
	var parts []packet.Part
	h := sha256.New()
	for _, in := range list {
		p := k.part(in)
		parts = append(parts, p)
		h.Write([]byte(p.Name + "\x00" + p.Digest + "\x00"))
	}
	return strings.ToUpper(hex.EncodeToString(h.Sum(nil)[:4])), parts
}

// part gives an input by its name and digest. The digest of each is taken once,
// since most are part of every packet; not so of the job's entry.
func (k *Keeper) part(in input) packet.Part {
	if in.own {
		return packet.Part{Name: in.name, Digest: digest(in.raw())}
	}
	if p, ok := k.parts.Load(in.name); ok {
		return p.(packet.Part)
	}
	p := packet.Part{Name: in.name, Digest: digest(in.raw())}
	k.parts.Store(in.name, p)
	return p
}

// digest is the first 16 hexadecimal digits of the SHA-256.
func digest(raw []byte) string {
	h := sha256.Sum256(raw)
	return hex.EncodeToString(h[:8])
}
