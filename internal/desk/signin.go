package desk

import (
	"errors"
	"net/http"
	"net/url"
	"strings"

	"jobsheaf/internal/register"
)

// This file lets people in and out, and asks whoever sits there for a name.

// mostOfName is the most characters of a name.
const mostOfName = 60

// entrance is the page to sign in, or to give a name.
type entrance struct {
	To, Name string
	Fault    *fault // what was wrong with what was sent
}

// within gives a path of ours to go on to: anything else is the first page.
func within(to string) string {
	u, err := url.Parse(to)
	if err != nil || u.IsAbs() || u.Host != "" || !strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") || strings.ContainsAny(to, "\\\r\n\t") {
		return "/"
	}
	return to
}

func (v *visit) signInPage() error {
	return v.show("sign-in", entrance{To: within(v.asked("to", 2000))})
}

// signIn lets somebody in under a new id.
func (v *visit) signIn() error {
	name, to := v.field("name", mostOfName), within(v.r.PostForm.Get("to"))
	again := func(status int, key string) error {
		return v.showAs(status, "sign-in", entrance{To: to, Name: name, Fault: &fault{key: key}})
	}
	if !v.tries.take(name, v.from) {
		v.Log("too many tries to sign in as %q, from %s", name, v.from)
		v.w.Header().Set("Retry-After", "900")
		return again(http.StatusTooManyRequests, "sign_in.often")
	}
	list, err := v.Users()
	if err != nil {
		return err
	}
	u, ok := list.Check(name, v.r.PostForm.Get("password"))
	if !ok {
		v.Log("%q was not let in, from %s", name, v.from)
		return again(http.StatusForbidden, "sign_in.wrong")
	}
	v.tries.forget(name)
	v.sessions.end(v.id)
	v.remember(v.sessions.begin(session{name: u.Name, signedIn: true, hash: u.Hash, from: near(v.from)}))
	v.Log("%s signed in, from %s", u.Name, v.from)
	return v.to(to)
}

func (v *visit) signOut() error {
	v.sessions.end(v.id)
	v.remember("")
	return v.to("/")
}

func (v *visit) namePage() error {
	if v.SignedIn() {
		return v.to("/")
	}
	return v.show("name", entrance{To: within(v.asked("to", 2000)), Name: v.Who()})
}

// giveName notes who sits there, where nobody signs in.
func (v *visit) giveName() error {
	if v.SignedIn() {
		return v.to("/")
	}
	name, to := v.field("name", mostOfName), within(v.r.PostForm.Get("to"))
	by := register.By{Who: name, At: v.Now()}
	if err := by.Check(); err != nil {
		return v.showAs(http.StatusUnprocessableEntity, "name", entrance{To: to, Name: name, Fault: &fault{key: "name.wrong"}})
	}
	v.sessions.end(v.id)
	v.remember(v.sessions.begin(session{name: name, from: near(v.from)}))
	return v.to(to)
}

// by gives under which name and when something is entered, for a page that is named.
func (v *visit) by() register.By { return register.By{Who: v.Who(), At: v.Now()} }

// errNameless sends whoever sits there to give a name first.
var errNameless = errors.New("give a name first")
