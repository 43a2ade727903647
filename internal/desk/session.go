package desk

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"net/http"
	"net/netip"
	"regexp"
	"sync"
	"time"
)

// How long somebody is known: since the last request, and in all. A shift is 12 hours at
// most. Common practice, no source.
const (
	mostIdle   = 2 * time.Hour
	mostInAll  = 12 * time.Hour
	mostPeople = 2000 // sessions at a time; of more, the one that was idle longest ends
)

// session is somebody who is known.
type session struct {
	name        string
	signedIn    bool         // else whoever sits there gave the name
	hash        string       // of the password at that time
	from        netip.Prefix // a session holds from there alone
	began, seen time.Time
}

// sessions are all who are known, by the SHA-256 of their ids, so that nothing that can be
// read in memory lets anybody in. They end with the program.
type sessions struct {
	now func() time.Time
	key [32]byte // of the tokens

	mu sync.Mutex
	by map[[sha256.Size]byte]*session
}

func newSessions(now func() time.Time) *sessions {
	s := &sessions{now: now, by: map[[sha256.Size]byte]*session{}}
	rand.Read(s.key[:]) // it never fails
	return s
}

// newID gives an id of 256 random bits.
func newID() string {
	var raw [32]byte
	rand.Read(raw[:])
	return base64.RawURLEncoding.EncodeToString(raw[:])
}

// idForm is how an id is written.
var idForm = regexp.MustCompile(`^[A-Za-z0-9_-]{43}$`)

// token is what a form carries to show that it is one of ours for whoever has an id.
func (s *sessions) token(id string) string {
	h := hmac.New(sha256.New, s.key[:])
	h.Write([]byte(id))
	return base64.RawURLEncoding.EncodeToString(h.Sum(nil))
}

// get gives a copy of the session of an id, nil where there is none any more.
func (s *sessions) get(id string) *session {
	if id == "" {
		return nil
	}
	key, now := sha256.Sum256([]byte(id)), s.now()
	s.mu.Lock()
	defer s.mu.Unlock()
	is := s.by[key]
	if is == nil {
		return nil
	}
	if now.Sub(is.seen) > mostIdle || now.Sub(is.began) > mostInAll {
		delete(s.by, key)
		return nil
	}
	is.seen = now
	out := *is
	return &out
}

// begin begins a session under a new id.
func (s *sessions) begin(is session) (id string) {
	id = newID()
	now := s.now()
	is.began, is.seen = now, now
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.by) >= mostPeople {
		s.room(now)
	}
	s.by[sha256.Sum256([]byte(id))] = &is
	return id
}

// room ends what is over, else the session that was idle longest.
func (s *sessions) room(now time.Time) {
	var oldest [sha256.Size]byte
	var when time.Time
	over := false
	for k, is := range s.by {
		if now.Sub(is.seen) > mostIdle || now.Sub(is.began) > mostInAll {
			delete(s.by, k)
			over = true
		} else if when.IsZero() || is.seen.Before(when) {
			oldest, when = k, is.seen
		}
	}
	if !over {
		delete(s.by, oldest)
	}
}

func (s *sessions) end(id string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.by, sha256.Sum256([]byte(id)))
}

// cookieName names the cookie of the id: by TLS so that no other name may set it.
func (v *visit) cookieName() string {
	if v.Secure {
		return "__Host-desk"
	}
	return "desk"
}

// remember has the browser keep an id, or forget it where it is "".
func (v *visit) remember(id string) {
	c := &http.Cookie{Name: v.cookieName(), Value: id, Path: "/", HttpOnly: true, Secure: v.Secure, SameSite: http.SameSiteStrictMode}
	if id == "" {
		c.MaxAge = -1
	}
	http.SetCookie(v.w, c)
	v.id = id
}

// token gives the token of a form, and an id to whoever has none yet.
func (v *visit) token() string {
	if v.id == "" {
		v.remember(newID())
	}
	return v.sessions.token(v.id)
}
