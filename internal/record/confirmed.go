package record

import "jobsheaf/internal/source"

// confirmed reads which numbers of a record are known to be right, although they look
// unlikely, each with the reason, such as measured, or read on the nameplate:
// {drive.power: read on the nameplate}. It gives their keys, such as drive.power,
// joints.head.circle, history.K-1190.as_left.end_clearance. Which keys there are is
// known to check; the reason is for whoever reads the record.
func confirmed(m *source.Map) (keys []Text) {
	if !m.Has("confirmed") {
		return nil
	}
	for _, e := range m.Map("confirmed").Entries() {
		if e.Value.Text().Known() {
			keys = append(keys, e.Key)
		}
	}
	return keys
}
