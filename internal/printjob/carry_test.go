package printjob

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
)

// A packet carries its inputs as they are, what it says in characters that a person
// can read, and its manifest.
func TestWhatAPacketCarries(t *testing.T) {
	pk := &packet.Packet{Job: packet.Job{ID: "K-1", Title: "Seal < 3 & pin > 2, 5 µm"}, Inputs: []byte("the inputs")}
	list, err := carried(pk, source(pk), []byte("{}"), []byte("%PDF"), new(bytes.Buffer))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, a := range list {
		got = append(got, a.Name+" "+a.MIME+" "+a.Relationship)
		if a.Description == "" {
			t.Errorf("%s has no description", a.Name)
		}
	}
	if want := "inputs.txt text/plain Source; packet.json application/json Data; manifest.json application/json Data; annex.pdf application/pdf Supplement"; strings.Join(got, "; ") != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if string(list[0].Data) != "the inputs" || string(list[2].Data) != "{}" {
		t.Errorf("%q, %q", list[0].Data, list[2].Data)
	}
	text := string(list[1].Data)
	var back packet.Packet
	if err := json.Unmarshal(list[1].Data, &back); err != nil || back.Job != pk.Job || !strings.Contains(text, pk.Job.Title) || !strings.HasSuffix(text, "}\n") {
		t.Errorf("%s: %v", text, err)
	}
}
