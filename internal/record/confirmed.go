package record

import "jobsheaf/internal/source"

// Confirmed says that a number of its record is known to be right, although it
// looks unlikely, and why: measured, read on the nameplate.
type Confirmed struct {
	Key Text // such as drive.power, joints.head.circle, history.K-1190.as_left.end_clearance
	Why Text
}

// confirmed reads which numbers of a record are known to be right:
// {drive.power: read on the nameplate}. Which keys there are is known to check.
func confirmed(m *source.Map) (out []Confirmed) {
	if !m.Has("confirmed") {
		return nil
	}
	for _, e := range m.Map("confirmed").Entries() {
		if t := e.Value.Text(); t.Known() {
			out = append(out, Confirmed{e.Key, t})
		}
	}
	return out
}
