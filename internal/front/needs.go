package front

import (
	"crypto/sha256"
	"encoding/json"
	"strings"

	"jobsheaf/internal/packet"
)

// Needs is what a job asks for before it starts, taken from its packet: what the
// front matter sums up over jobs.
type Needs struct {
	Kits        []Kit        `json:"kits,omitempty"`
	Supplies    []Supply     `json:"supplies,omitempty"`
	Parts       []string     `json:"parts,omitempty"`
	Tools       []string     `json:"tools,omitempty"`
	Instruments []Instrument `json:"instruments,omitempty"`
	Locks       []Lock       `json:"locks,omitempty"`
	Liquid      Liquid       `json:"liquid"`
}

// Kit is a kit to pull; its number says NOT ON RECORD or to ask where that is so.
type Kit struct {
	Kit    string `json:"kit"`
	Number string `json:"number"`
	Holds  string `json:"holds"`
}

// Supply is a lubricant or consumable; the amount is as the record has it.
type Supply struct {
	Item   string `json:"item"`
	Amount string `json:"amount"`
}

// Instrument is what readings are taken with.
type Instrument struct {
	Name    string `json:"name"`
	GoodFor string `json:"good_for"` // resolution and uncertainty
}

// Lock is a point to lock and tag.
type Lock struct {
	Point  string `json:"point"`
	Device string `json:"device"` // and its place
	Put    string `json:"put"`    // into which state, and how that is proved
}

// Liquid is what the unit pumps, with what is told of it on the cover.
type Liquid struct {
	Name       string             `json:"name"`
	Signal     string             `json:"signal"`
	Condition  string             `json:"condition"` // as found in service
	Pictograms []string           `json:"pictograms"`
	Statements []packet.Statement `json:"statements"`
	Source     string             `json:"source"`
}

// NeedsOf gathers what a packet asks for from its tables and lists, by their IDs.
func NeedsOf(p *packet.Packet) Needs {
	var n Needs
	for _, s := range p.Sheets {
		n.gather(s.Blocks)
	}
	for i := range n.Supplies { // an amount is summed, so it is kept as a number is written
		n.Supplies[i].Amount = strings.Replace(n.Supplies[i].Amount, p.Decimal, ".", 1)
	}
	return n
}

// Digest is the SHA-256 of the needs: jobs that ask for the same have the same.
func (n *Needs) Digest() [sha256.Size]byte {
	raw, err := json.Marshal(n)
	if err != nil { // texts alone: cannot be
		raw = []byte(err.Error())
	}
	return sha256.Sum256(raw)
}

func (n *Needs) gather(blocks []packet.Block) {
	for i := range blocks {
		b := &blocks[i]
		switch {
		case b.Keep != nil:
			n.gather(b.Keep)
		case b.Hazard != nil:
			h := b.Hazard
			n.Liquid = Liquid{Name: h.Liquid, Signal: h.Signal, Condition: text(h.Condition), Pictograms: h.Pictograms, Statements: h.Statements, Source: text(h.Source)}
		case b.Table != nil:
			n.table(b.Table)
		case b.List != nil:
			for _, it := range b.List.Items {
				switch {
				case strings.HasPrefix(it.ID, "job.parts."):
					n.Parts = append(n.Parts, text(it.Text))
				case strings.HasPrefix(it.ID, "job.tools."):
					n.Tools = append(n.Tools, text(it.Text))
				}
			}
		}
	}
}

func (n *Needs) table(t *packet.Table) {
	for _, r := range t.Rows {
		cell := func(i int) string {
			if i >= len(r.Cells) {
				return ""
			}
			return text(r.Cells[i].Text)
		}
		if cell(0) == "" {
			continue // a band across the table, or an empty row to write in
		}
		switch t.ID {
		case "kits":
			n.Kits = append(n.Kits, Kit{cell(0), cell(1), cell(2)})
		case "supplies":
			n.Supplies = append(n.Supplies, Supply{cell(0), cell(1)})
		case "instruments":
			n.Instruments = append(n.Instruments, Instrument{cell(0), cell(1)})
		case "isolation":
			n.Locks = append(n.Locks, Lock{cell(0), cell(1), cell(2)})
		}
	}
}

// text gives a phrase's words without the keys of the working, which mean nothing
// outside its packet, on one line.
func text(p packet.Phrase) string {
	var b strings.Builder
	for _, s := range p {
		if s.Style != packet.Key {
			b.WriteString(s.Text)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}
