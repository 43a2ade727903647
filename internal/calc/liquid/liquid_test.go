package liquid

import (
	"testing"

	"jobsheaf/internal/calc/published"
)

func TestPublished(t *testing.T) {
	tally := published.Run(t, "liquid", Functions)
	if tally.Rows < 10 || 2*tally.FromMemory >= tally.Rows {
		t.Errorf("%d rows, %d of them from memory: want ten or more, the lesser part from memory", tally.Rows, tally.FromMemory)
	}
	if len(tally.Untested) > 0 {
		t.Errorf("no published row for %v", tally.Untested)
	}
}
