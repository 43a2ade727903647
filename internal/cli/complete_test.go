package cli

import (
	"strings"
	"testing"
)

// The shell is offered what is on record, and nothing where there is no site.
func TestCompletion(t *testing.T) {
	const site = "../../samples/soapworks"
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"explain", "--site", site, "P-2"}, "P-214"},
		{[]string{"week", "--site", site, "week"}, "week-49"},
		{[]string{"make", "--site", site, "K-248"}, "K-24817"},
		{[]string{"make", "--site", site, "--list", ""}, "week-49"},
		{[]string{"make", "--site", site, "--procedure", "reset"}, "reset-end-clearance"},
		{[]string{"make", "--site", site, "--unit", "P"}, "P-214"},
		{[]string{"make", "--site", site, "--crew", ""}, "late"},
		{[]string{"prove", ""}, "pdf"},
	} {
		got := jobsheaf(append([]string{"__complete"}, c.args...)...)
		if got.code != 0 || !strings.Contains("\n"+got.out, "\n"+c.want+"\n") {
			t.Errorf("%q: %+v", c.args, got)
		}
	}
	for _, args := range [][]string{{"explain", "--site", site, "P-214", ""}, {"explain", "--site", t.TempDir(), ""}} {
		if got := jobsheaf(append([]string{"__complete"}, args...)...); got.code != 0 || !strings.HasPrefix(got.out, ":") {
			t.Errorf("%q: %+v", args, got)
		}
	}
}
