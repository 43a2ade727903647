package printjob

import (
	"bytes"
	"encoding/json"
	"sync"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/pdf"
)

// The names of what a packet carries.
const (
	InputsName   = "inputs.txt"
	PacketName   = "packet.json"
	ManifestName = "manifest.json"
	AnnexName    = "annex.pdf"
)

// source is what a packet was made from, as it and its annex carry it.
func source(pk *packet.Packet) page.Attachment {
	return page.Attachment{Name: InputsName, MIME: "text/plain", Relationship: "Source", Data: pk.Inputs, Deflated: pdf.Deflate(pk.Inputs),
		Description: "What the packet was made from: the job and the lines of the records and templates that were used"}
}

// said is memory that what one packet after another says is written into.
var said = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// carried gives what a packet carries: what it was made from, what it says, where each
// box lies, and its annex. What it says is in the buffer, which is emptied first.
func carried(pk *packet.Packet, source page.Attachment, manifest, annex []byte, b *bytes.Buffer) ([]page.Attachment, error) {
	b.Reset()
	e := json.NewEncoder(b)
	e.SetEscapeHTML(false)
	if err := e.Encode(pk); err != nil {
		return nil, err
	}
	return []page.Attachment{
		source,
		{Name: PacketName, MIME: "application/json", Relationship: "Data", Data: b.Bytes(),
			Description: "What the packet says, with the working of every number"},
		{Name: ManifestName, MIME: "application/json", Relationship: "Data", Data: manifest,
			Description: "Where each box to write in lies on its page, in mm"},
		{Name: AnnexName, MIME: "application/pdf", Relationship: "Supplement", Data: annex, Packed: true,
			Description: "The annex: working and sources of every number"},
	}, nil
}
