package front

import (
	"testing"

	"jobsheaf/internal/packet"
)

// TestAmountsWithComma sums amounts of packets whose language has a decimal comma.
func TestAmountsWithComma(t *testing.T) {
	amount := func(a string) *packet.Packet {
		return &packet.Packet{Decimal: ",", Sheets: []packet.Sheet{{Blocks: []packet.Block{{Table: &packet.Table{ID: "supplies",
			Rows: []packet.Row{{Cells: []packet.Cell{{Text: packet.Say("Aceite")}, {Text: packet.Say(a)}}}}}}}}}}
	}
	s := newSums()
	for _, a := range []string{"1,5 L", "0,25 L"} {
		n := NeedsOf(amount(a))
		s.add(&Job{}, &n)
	}
	if list := s.supplies.list; len(list) != 1 || list[0].Amount != "1.75 L" {
		t.Errorf("%+v", list)
	}
	in := sheets{words: map[string]string{"compose.decimal_sign": ","}}
	if c := in.amount("1.75 L"); c.Text.String() != "1,75 L" {
		t.Error(c.Text.String())
	}
}
