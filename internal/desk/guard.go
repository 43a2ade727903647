package desk

import (
	"errors"
	"mime/multipart"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"runtime/debug"
	"slices"
	"strings"

	"jobsheaf/internal/users"
)

// level is what somebody must be for a page.
type level int

// The levels; each has those before it.
const (
	anyone level = iota
	reader
	mechanic
	planner
)

// levels are what the roles are.
var levels = map[users.Role]level{users.Auditor: reader, users.Mechanic: mechanic, users.Planner: planner}

// route is one page: what answers to a method and a path.
type route struct {
	pattern string
	who     level
	do      func(*visit) error
	most    int64 // bytes of a body; 0: mostOfForm
	lasting bool  // a browser may keep what is sent: it never changes
	named   bool  // whoever uses it has given a name, under which it is entered
	files   bool  // its form sends files, which it takes in by itself
}

// mostOfForm is the most bytes of a form without files.
const mostOfForm = 64 << 10

// visit is one request and what answers it.
type visit struct {
	*Desk
	w    http.ResponseWriter
	r    *http.Request
	id   string   // of the session, "" where there is none
	who  *session // nil where nobody is known
	role level
	from netip.Addr
	lang string
	site *reading // set by read

	parts *multipart.Reader // of a form with files
	raw   *slowBody         // its body, without its limit
}

// fault is an answer that says that something is not to be had.
type fault struct {
	status int
	key    string // of the words that say why
	fill   []any
}

func (f *fault) Error() string { return f.key }

func refuse(status int, key string, fill ...any) error { return &fault{status, key, fill} }

// header is what every answer says of itself: nothing of it is fetched from elsewhere, run
// from within a page, shown inside another page or kept.
var header = map[string]string{
	"Content-Security-Policy":      "default-src 'none'; style-src 'self'; img-src 'self'; font-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
	"X-Content-Type-Options":       "nosniff",
	"X-Frame-Options":              "DENY",
	"Referrer-Policy":              "no-referrer",
	"Cross-Origin-Opener-Policy":   "same-origin",
	"Cross-Origin-Resource-Policy": "same-origin",
	"Permissions-Policy":           "camera=(), microphone=(), geolocation=()",
	"Cache-Control":                "no-store",
}

// bounded answers what is wrong with a request whatever its page is: a host that is not
// ours (a name elsewhere that was made to lead here), a method that no page has.
func (d *Desk) bounded(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		for k, v := range header {
			w.Header().Set(k, v)
		}
		if d.Secure {
			w.Header().Set("Strict-Transport-Security", "max-age=31536000")
		}
		defer func() {
			if bug := recover(); bug != nil {
				d.Log("a page failed: %s %s: %v\n%s", r.Method, r.URL.Path, bug, debug.Stack())
				http.Error(w, "the desk failed", http.StatusInternalServerError)
			}
		}()
		host := r.Host
		if h, _, err := net.SplitHostPort(host); err == nil {
			host = h
		}
		if !d.Hosts(strings.ToLower(strings.Trim(host, "[]"))) {
			http.Error(w, "this desk is not called by that name", http.StatusMisdirectedRequest)
			return
		}
		if !slices.Contains([]string{http.MethodGet, http.MethodHead, http.MethodPost}, r.Method) {
			http.Error(w, "no page takes that", http.StatusMethodNotAllowed)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// guarded holds a page to who may see it, and what writes to where it comes from. It is
// the one place that does.
func (d *Desk) guarded(p route) http.Handler {
	origin := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		v := &visit{Desk: d, w: w, r: r}
		if p.lasting {
			w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
		}
		err := v.know()
		if err == nil {
			err = v.may(p, origin)
		}
		if err == nil && r.Method != http.MethodPost {
			on, done, ok := d.turns.take(w, r)
			if !ok {
				return
			}
			defer done()
			v.w = on
		}
		if err == nil {
			err = p.do(v)
		}
		if err != nil {
			v.fail(err)
		}
	})
}

// may reports why somebody may not have a page. Whoever reads and is not known is sent to
// sign in.
func (v *visit) may(p route, origin *http.CrossOriginProtection) error {
	writes := v.r.Method == http.MethodPost
	if writes {
		most := p.most
		if most == 0 {
			most = mostOfForm
		}
		if err := origin.Check(v.r); err != nil {
			return refuse(http.StatusForbidden, "fault.origin")
		}
		token := ""
		if p.files {
			var err error
			if token, err = v.openParts(p.most); err != nil {
				return err
			}
			v.r.PostForm = url.Values{}
		} else {
			v.r.Body = http.MaxBytesReader(v.w, v.r.Body, most)
			if err := v.r.ParseForm(); err != nil {
				if _, large := errors.AsType[*http.MaxBytesError](err); large {
					return refuse(http.StatusRequestEntityTooLarge, "fault.large")
				}
				return refuse(http.StatusBadRequest, "fault.form")
			}
			token = v.r.PostForm.Get(tokenField)
		}
		if !v.genuine(token) {
			return refuse(http.StatusForbidden, "fault.token")
		}
	}
	switch {
	case v.role >= p.who && p.named && v.who == nil && writes:
		return refuse(http.StatusForbidden, "fault.nameless")
	case v.role >= p.who && p.named && v.who == nil:
		return errNameless
	case v.role >= p.who:
		return nil
	case v.role == anyone && !writes:
		return errSignIn
	case v.role == anyone:
		return refuse(http.StatusUnauthorized, "fault.signed_out")
	}
	return refuse(http.StatusForbidden, "fault.role")
}

// errSignIn sends somebody to sign in.
var errSignIn = errors.New("sign in first")

// know finds out who asks, and from where.
func (v *visit) know() error {
	v.from = v.address()
	v.lang = v.chosen()
	if c, err := v.r.Cookie(v.cookieName()); err == nil && idForm.MatchString(c.Value) {
		v.id = c.Value
	}
	list, err := v.Users()
	if err != nil {
		return err
	}
	if !v.SignIn && len(list) == 0 {
		v.role = planner // whoever sits there
	}
	s := v.sessions.get(v.id)
	switch {
	case s == nil:
	case s.from != near(v.from):
		v.Log("the session of %q was used from another address, %s, and is ended", s.name, v.from)
		v.forget()
	case !s.signedIn:
		v.who = s
	default:
		// Somebody who was taken off the list, or has another password, is signed out at once.
		u, known := list.Find(s.name)
		if !known || u.Hash != s.hash {
			v.forget()
			return nil
		}
		v.who, v.role = s, levels[u.Role]
	}
	return nil
}

// forget ends the session of whoever asks.
func (v *visit) forget() {
	v.sessions.end(v.id)
	v.id, v.who = "", nil
}

// address is where a request comes from: as the proxy says that stands before the desk,
// else as the connection has it. Whoever asks may write earlier addresses before the
// proxy's.
func (v *visit) address() netip.Addr {
	at := v.r.RemoteAddr
	if v.Proxied {
		list := strings.Join(v.r.Header.Values("X-Forwarded-For"), ",")
		if said := strings.TrimSpace(list[strings.LastIndexByte(list, ',')+1:]); said != "" {
			if a, err := netip.ParseAddr(said); err == nil {
				return a.Unmap().WithZone("")
			}
		}
	}
	if p, err := netip.ParseAddrPort(at); err == nil {
		return p.Addr().Unmap().WithZone("")
	}
	return netip.Addr{}
}

// near is the address that a session holds on to: of version 6 the network, since a
// machine changes the rest of its address by itself.
func near(a netip.Addr) netip.Prefix {
	bits := 64
	if a.Is4() {
		bits = 32
	}
	p, err := a.Prefix(bits)
	if err != nil {
		return netip.Prefix{}
	}
	return p
}
