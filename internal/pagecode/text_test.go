package pagecode

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestText(t *testing.T) {
	for _, c := range []struct {
		s    Ref
		want string
	}{
		{Ref{"https://jobs.example.org/j", "k-24817", 3, 9, "7f3a91c2"}, "HTTPS://JOBS.EXAMPLE.ORG/j/K-24817/3/9/7F3A91C2"},
		{Ref{"https://jobs.example.org/j/", "K-24817", 3, 9, "7F3A91C2"}, "HTTPS://JOBS.EXAMPLE.ORG/j/K-24817/3/9/7F3A91C2"},
		{Ref{"https://jobs.example.org/J", "K-24817", 3, 9, "7F3A91C2"}, "HTTPS://JOBS.EXAMPLE.ORG/J/K-24817/3/9/7F3A91C2"},
		{Ref{"http://desk:8080", "1", 1, 1, "0000"}, "HTTP://DESK:8080/1/1/1/0000"},
		{Ref{"", "K-24817", 3, 9, "7F3A91C2"}, "J1:K-24817/3/9/7F3A91C2"},
	} {
		got, err := c.s.Text()
		if err != nil || got != c.want {
			t.Errorf("%+v: %q, %v; want %q", c.s, got, err, c.want)
		}
	}
}

func TestTextRefuses(t *testing.T) {
	good := Ref{"https://jobs.example.org", "K-1", 1, 2, "7F3A91C2"}
	for _, c := range []struct {
		name string
		do   func(*Ref)
		say  string
	}{
		{"no scheme", func(s *Ref) { s.Link = "jobs.example.org" }, "https://"},
		{"no host", func(s *Ref) { s.Link = "https:///j" }, "host"},
		{"query", func(s *Ref) { s.Link = "https://a.example/?j=" }, "'?'"},
		{"underscore", func(s *Ref) { s.Link = "https://a_b.example" }, "'_'"},
		{"space", func(s *Ref) { s.Link = "https://a.example/my jobs" }, "' '"},
		{"long s", func(s *Ref) { s.Link = "http\u017f://a.example" }, "'ſ'"},
		{"long link", func(s *Ref) { s.Link += "/" + strings.Repeat("x", 200) }, "shorten"},
		{"no job", func(s *Ref) { s.Job = "" }, "empty"},
		{"slash in job", func(s *Ref) { s.Job = "K/1" }, "'/'"},
		{"hyphen first", func(s *Ref) { s.Job = "-K1" }, "character 1"},
		{"umlaut in job", func(s *Ref) { s.Job = "Kä1" }, "'ä'"},
		{"long job", func(s *Ref) { s.Job = strings.Repeat("K", 25) }, "25 characters"},
		{"page 0", func(s *Ref) { s.Page = 0 }, "page 0"},
		{"page 3 of 2", func(s *Ref) { s.Page = 3 }, "page 3 of 2"},
		{"too many pages", func(s *Ref) { s.Pages = 10000 }, "9999"},
		{"short fingerprint", func(s *Ref) { s.Fingerprint = "7F3" }, "3 characters"},
		{"fingerprint not hexadecimal", func(s *Ref) { s.Fingerprint = "7F3G" }, "'G'"},
	} {
		s := good
		c.do(&s)
		if text, err := s.Text(); err == nil {
			t.Errorf("%s: gave %q", c.name, text)
		} else if !strings.Contains(err.Error(), c.say) {
			t.Errorf("%s: %q does not say %q", c.name, err, c.say)
		}
	}
}

func refs() *rapid.Generator[Ref] {
	return rapid.Custom(func(t *rapid.T) Ref {
		s := Ref{
			Link:        rapid.StringMatching(`(https?://[a-z0-9][a-z0-9.:-]{0,20}(/[a-z0-9]{1,8}){0,3}/?)?`).Draw(t, "link"),
			Job:         rapid.StringMatching(`[A-Za-z0-9][A-Za-z0-9.-]{0,23}`).Draw(t, "job"),
			Pages:       rapid.IntRange(1, maxPages).Draw(t, "pages"),
			Fingerprint: rapid.StringMatching(`[0-9a-fA-F]{4,16}`).Draw(t, "fingerprint"),
		}
		s.Page = rapid.IntRange(1, s.Pages).Draw(t, "page")
		return s
	})
}

// Whatever is accepted fits a symbol, and every page of a job has its own text.
func TestEveryTextIsCoded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := refs().Draw(t, "ref")
		text, err := r.Text()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Encode(text); err != nil {
			t.Fatal(err)
		}
		want := fmt.Sprintf("%s/%d/%d/%s", strings.ToUpper(r.Job), r.Page, r.Pages, strings.ToUpper(r.Fingerprint))
		if !strings.HasSuffix(text, want) {
			t.Fatalf("%+v is written %q", r, text)
		}
	})
}
