package compose_test

import (
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
)

func sheetIDs(p *packet.Packet) string {
	var ids []string
	for _, s := range p.Sheets {
		ids = append(ids, s.ID)
	}
	return strings.Join(ids, " ")
}

// A job that measures no worn part has its numbers on the job sheet and its sign-off
// behind the last step; a rebuild has sheets for both, whatever its records lack.
func TestShortJob(t *testing.T) {
	s := open(t, demo(t, "soapworks"))
	short := s.packet(t, "P-214", "reset-end-clearance")
	if ids := sheetIDs(short); ids != "cover job steps" {
		t.Errorf("a short job has the sheets %s", ids)
	}
	job, steps := sheetOf(short, "job"), sheetOf(short, "steps")
	if job.Pages != 1 || !slices.ContainsFunc(job.Blocks, func(b packet.Block) bool { return b.Table != nil && b.Table.ID == "clearances" }) {
		t.Errorf("its job sheet has no clearances, or %d pages", job.Pages)
	}
	last := slices.IndexFunc(steps.Blocks, func(b packet.Block) bool { return b.Heading != nil && b.Heading.Text == "Sign-off" })
	if last < 0 {
		t.Fatal("its steps have no sign-off")
	}
	var kinds []string
	for i, b := range steps.Blocks[last:] {
		switch {
		case b.Step != nil || b.Done != nil:
			t.Errorf("block %d behind the heading of the sign-off is of the steps", i)
		case b.Notes != nil:
			kinds = append(kinds, b.Notes.ID)
		case b.Sign != nil:
			for _, row := range b.Sign.Rows {
				kinds = append(kinds, row.Role)
				if len(row.Blanks) != 3 || len(row.For) == 0 {
					t.Errorf("the %s signs in %d places for %q", row.Role, len(row.Blanks), row.For)
				}
			}
		}
	}
	if got := strings.Join(kinds, ", "); got != "signoff.not-done, Mechanic, Operations" {
		t.Errorf("its sign-off has %s", got)
	}

	if ids := sheetIDs(s.packet(t, "P-214", "rebuild-component-seal")); ids != "cover card job steps wear signoff" {
		t.Errorf("a rebuild has the sheets %s", ids)
	}
	size := s.book.Units["P-214"].Size
	size.Features, size.FeatureOrder = nil, nil
	p, problems := s.composer.Make(formJob("P-214", "rebuild-component-seal"))
	if p == nil {
		t.Fatal(problems)
	}
	if ids := sheetIDs(p); !strings.Contains(ids, "card job steps") || !strings.HasSuffix(ids, "signoff") {
		t.Errorf("a rebuild whose worn parts are not on record has the sheets %s", ids)
	}
}
