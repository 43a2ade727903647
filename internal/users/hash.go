package users

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
	"sync"

	"golang.org/x/crypto/argon2"
)

// The lengths of a password: the least in characters, which is our own figure, and the
// most in bytes.
const (
	shortest = 12
	longest  = 256
)

// cost is how much work a hash takes.
type cost struct {
	memory uint32 // KiB
	passes uint32
	lanes  uint8
}

// now is what new hashes take: about a tenth of a second. Source: RFC 9106, 4, asks for 64 MiB
// and three passes where memory is short; half the memory is common practice, no source, for
// a desk that has 200 MB in all.
var now = cost{memory: 32 << 10, passes: 3, lanes: 1}

const (
	saltBytes = 16
	hashBytes = 32
	hashForm  = "$argon2id$v=19$m=%d,t=%d,p=%d$"
)

// one lets one password be hashed at a time: each takes 32 MB, and whoever guesses waits.
var one sync.Mutex

// hash is what a password is checked against, taken apart.
type hash struct {
	cost
	salt, sum []byte
}

func (c cost) of(password string, salt []byte) []byte {
	one.Lock()
	defer one.Unlock()
	return argon2.IDKey([]byte(password), salt, c.passes, c.memory, c.lanes, hashBytes)
}

func newHash(password string) (string, error) {
	salt := make([]byte, saltBytes)
	if _, err := rand.Read(salt); err != nil {
		return "", err
	}
	b := base64.RawStdEncoding
	return fmt.Sprintf(hashForm, now.memory, now.passes, now.lanes) + b.EncodeToString(salt) + "$" + b.EncodeToString(now.of(password, salt)), nil
}

// parseHash reads what newHash wrote. What would take more work than twice that is
// refused: nobody could sign in.
func parseHash(text string) (h hash, err error) {
	parts := strings.Split(text, "$")
	if len(parts) != 6 {
		return h, errors.New("it is not written as this program writes it")
	}
	n, err := fmt.Sscanf(strings.Join(parts[:4], "$")+"$", hashForm, &h.memory, &h.passes, &h.lanes)
	if err != nil || n != 3 {
		return h, errors.New("it is not written as this program writes it")
	}
	if h.memory < 8 || h.memory > 2*now.memory || h.passes < 1 || h.passes > 2*now.passes || h.lanes < 1 || h.lanes > 4 {
		return h, errors.New("its hash takes more or less work than this program does")
	}
	b := base64.RawStdEncoding.Strict()
	h.salt, err = b.DecodeString(parts[4])
	if err == nil {
		h.sum, err = b.DecodeString(parts[5])
	}
	if err == nil && (len(h.salt) < saltBytes || len(h.sum) != hashBytes) {
		err = errors.New("its hash is cut short")
	}
	return h, err
}

// nobody is the hash that is worked out for a name that is not known, so that it takes as
// long as another.
var nobody = hash{cost: now, salt: make([]byte, saltBytes), sum: make([]byte, hashBytes)}

// Check gives whoever has a name and a password. A name that is not known takes the same
// work as a wrong password.
func (l List) Check(name, password string) (u User, ok bool) {
	u, known := l.Find(name)
	h := nobody
	if known {
		var err error
		if h, err = parseHash(u.Hash); err != nil {
			h, known = nobody, false
		}
	}
	if len(password) > longest {
		password, known = password[:longest], false
	}
	same := subtle.ConstantTimeCompare(h.of(password, h.salt), h.sum) == 1
	if !known || !same {
		return User{}, false
	}
	return u, true
}
