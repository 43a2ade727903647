package pagecode

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// What Text writes, Parse reads back, in upper case but for the path of the link.
func TestParseIsTheInverseOfText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := refs().Draw(t, "ref")
		text, err := r.Text()
		if err != nil {
			t.Fatal(err)
		}
		got, err := Parse(text, r.Link)
		if err != nil {
			t.Fatal(err)
		}
		want := r
		want.Job, want.Fingerprint = strings.ToUpper(r.Job), strings.ToUpper(r.Fingerprint)
		want.Link = ""
		if r.Link != "" {
			want.Link = hostUpper(strings.TrimRight(r.Link, "/"))
		}
		if got != want {
			t.Fatalf("%q is read as %+v, want %+v", text, got, want)
		}
	})
}

func TestParseTellsSitesApart(t *testing.T) {
	const ours = "https://jobs.example.org/j"
	page := Ref{"HTTPS://JOBS.EXAMPLE.ORG/j", "K-1", 3, 9, "7F3A91C2"}
	bare := Ref{"", "K-1", 3, 9, "7F3A91C2"}
	away := Ref{"HTTPS://JOBS.EXAMPLE.COM/j", "K-1", 3, 9, "7F3A91C2"}
	for _, c := range []struct {
		text, link string
		want       Ref
		err        error
	}{
		{"HTTPS://JOBS.EXAMPLE.ORG/j/K-1/3/9/7F3A91C2", ours, page, nil},
		{"HTTPS://JOBS.EXAMPLE.ORG/j/K-1/3/9/7F3A91C2", ours + "/", page, nil},
		{"J1:K-1/3/9/7F3A91C2", ours, bare, nil},
		{"J1:K-1/3/9/7F3A91C2", "", bare, nil},
		{"HTTPS://JOBS.EXAMPLE.COM/j/K-1/3/9/7F3A91C2", ours, away, ErrElsewhere},
		{"HTTPS://JOBS.EXAMPLE.COM/j/K-1/3/9/7F3A91C2", "", away, ErrElsewhere},
		{"HTTPS://JOBS.EXAMPLE.ORG/J/K-1/3/9/7F3A91C2", ours, Ref{"HTTPS://JOBS.EXAMPLE.ORG/J", "K-1", 3, 9, "7F3A91C2"}, ErrElsewhere},

		{"", ours, Ref{}, errNotOurs},
		{"J1:", ours, Ref{}, errNotOurs},
		{"////", ours, Ref{}, errNotOurs},
		{"K-1/3/9/7F3A91C2", ours, Ref{}, errNotOurs},
		{"/K-1/3/9/7F3A91C2", ours, Ref{}, errNotOurs},
		{"J2:K-1/3/9/7F3A91C2", ours, Ref{}, errNotOurs},
		{"J1:K-1/03/9/7F3A91C2", ours, Ref{}, errNotOurs},
		{"J1:K-1/+3/9/7F3A91C2", ours, Ref{}, errNotOurs},
		{"J1:K-1/10/9/7F3A91C2", ours, Ref{}, errNotOurs},
		{"J1:K-1/3/9/7F3A91C2/", ours, Ref{}, errNotOurs},
		{"J1:K-1/3/9/7f3a91c2", ours, Ref{}, errNotOurs},
		{"J1:k-1/3/9/7F3A91C2", ours, Ref{}, errNotOurs},
		{"J1:K-1/3/9/7F3A91CX", ours, Ref{}, errNotOurs},
		{"https://jobs.example.org/j/K-1/3/9/7F3A91C2", ours, Ref{}, errNotOurs},
		{"HTTPS://PARTS.EXAMPLE.COM/12345", ours, Ref{}, errNotOurs},
		{"WIFI:S:GUEST;T:WPA;P:X;;", ours, Ref{}, errNotOurs},
		{"J1:" + strings.Repeat("K", 300) + "/1/1/7F3A91C2", ours, Ref{}, errNotOurs},
	} {
		got, err := Parse(c.text, c.link)
		if got != c.want || !errors.Is(err, c.err) || (err == nil) != (c.err == nil) {
			t.Errorf("%q under %q: %+v, %v; want %+v, %v", c.text, c.link, got, err, c.want, c.err)
		}
	}
}

// Whatever a code says, Parse neither panics nor takes it for a page that it does not name.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"J1:K-1/3/9/7F3A91C2", "HTTPS://JOBS.EXAMPLE.ORG/j/K-1/3/9/7F3A91C2", "J1:////", "\xff/1/1/0000"} {
		f.Add(s, "https://jobs.example.org/j")
	}
	f.Fuzz(func(t *testing.T, text, link string) {
		r, err := Parse(text, link)
		if errors.Is(err, errNotOurs) {
			return
		}
		if again, err := r.Text(); err != nil || again != text {
			t.Errorf("%q is read as %+v, which is written %q, %v", text, r, again, err)
		}
	})
}
