package users

import (
	"strings"
	"testing"
)

func TestListKeepsPeople(t *testing.T) {
	var l List
	l, err := l.With("Planner 1", Planner, "a few words in a row")
	if err != nil {
		t.Fatal(err)
	}
	if l, err = l.With("fitter 3", Mechanic, "another few words here"); err != nil {
		t.Fatal(err)
	}
	raw, err := l.Encode()
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(raw), "few words") {
		t.Error("the file has a password in it")
	}
	if l, err = Parse(raw); err != nil || len(l) != 2 {
		t.Fatal(l, err)
	}
	for _, c := range []struct {
		name, password string
		ok             bool
	}{
		{"Planner 1", "a few words in a row", true},
		{"PLANNER 1", "a few words in a row", true},
		{"Planner 1", "a few words in a rov", false},
		{"Planner 1", "", false},
		{"fitter 3", "a few words in a row", false},
		{"nobody", "a few words in a row", false},
		{"", "", false},
		{"Planner 1", strings.Repeat("x", 1<<20), false},
	} {
		if u, ok := l.Check(c.name, c.password); ok != c.ok || ok && u.Role != Planner {
			t.Errorf("%q with %.30q: %v, %v", c.name, c.password, u, ok)
		}
	}
	// A new password takes the place of the old one.
	l, err = l.With("planner 1", Auditor, "a third handful of words")
	if err != nil || len(l) != 2 {
		t.Fatal(l, err)
	}
	if _, ok := l.Check("Planner 1", "a few words in a row"); ok {
		t.Error("the old password still holds")
	}
	if u, ok := l.Check("Planner 1", "a third handful of words"); !ok || u.Role != Auditor {
		t.Error(u, ok)
	}
}

func TestParseRefuses(t *testing.T) {
	good := `{"format":1,"users":[{"name":"A","role":"planner","hash":"$argon2id$v=19$m=32768,t=3,p=1$AAAAAAAAAAAAAAAAAAAAAA$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"}]}`
	if _, err := Parse([]byte(good)); err != nil {
		t.Fatal(err)
	}
	for _, change := range [][2]string{
		{`"format":1`, `"format":2`}, {`"planner"`, `"chief"`}, {`"name":"A"`, `"name":""`}, {`"name":"A"`, `"name":"-a"`}, {`"name":"A"`, `"name":"a\u0007"`},
		{"m=32768", "m=3276800"}, {"t=3", "t=99"}, {"p=1", "p=0"}, {"argon2id", "argon2i"}, {"AAAAAAA$", "$"}, {`"name"`, `"nick"`},
		{`"users":[`, `"users":[{"name":"a","role":"planner","hash":"$argon2id$v=19$m=32768,t=3,p=1$AAAAAAAAAAAAAAAAAAAAAA$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"},`},
	} {
		bad := strings.Replace(good, change[0], change[1], 1)
		if bad == good {
			t.Fatalf("%q is not there", change[0])
		}
		if l, err := Parse([]byte(bad)); err == nil {
			t.Errorf("%q for %q was taken: %v", change[1], change[0], l)
		}
	}
	for _, password := range []string{"", "short", strings.Repeat("x", longest+1)} {
		if _, err := (List{}).With("A", Planner, password); err == nil {
			t.Errorf("a password of %d was taken", len(password))
		}
	}
}
