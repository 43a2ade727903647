package liquid

import (
	"testing"

	"jobsheaf/internal/calc/published"
)

func TestPublished(t *testing.T) {
	published.Run(t, "liquid", Functions)
}
