package printjob

import (
	"bytes"
	"encoding/json"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
)

// The names of what a packet carries.
const (
	InputsName   = "inputs.txt"
	PacketName   = "packet.json"
	ManifestName = "manifest.json"
)

// carried gives what a packet carries: what it was made from, what it says, and
// where each box lies.
func carried(pk *packet.Packet, manifest []byte) ([]page.Attachment, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(pk); err != nil {
		return nil, err
	}
	return []page.Attachment{
		{Name: InputsName, MIME: "text/plain", Relationship: "Source", Data: pk.Inputs,
			Description: "What the packet was made from: the job and the lines of the records and templates that were used"},
		{Name: PacketName, MIME: "application/json", Relationship: "Data", Data: b.Bytes(),
			Description: "What the packet says, with the working of every number"},
		{Name: ManifestName, MIME: "application/json", Relationship: "Data", Data: manifest,
			Description: "Where each box to write in lies on its page, in mm"},
	}, nil
}
