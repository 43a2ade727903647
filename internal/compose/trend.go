package compose

import (
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
)

func (r *run) trend(_ *procedure.Figure, f *packet.Figure) []string { return nil }
