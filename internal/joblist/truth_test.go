package joblist

import "testing"

// A cell that is ticked asks for the strip; one that says neither yes nor no is refused.
func TestTruth(t *testing.T) {
	for raw, want := range map[string]string{"x": "true", "Yes": "true", "sí": "true", "1": "true", "No": "false", "0": "false"} {
		if text, _, fault, _ := truth(raw); text != want || fault != "" {
			t.Errorf("%q is read as %q, %s", raw, text, fault)
		}
	}
	if text, rule, fault, hint := truth("maybe"); text != "" || rule != ruleCell || fault == "" || hint == "" {
		t.Errorf("%q is read as %q, %s, %s, %s", "maybe", text, rule, fault, hint)
	}
}
