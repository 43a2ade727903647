// Package users is who may sign in at the desk: names, roles, and what their passwords
// are checked against. It is the one door to the hashing of passwords.
//
// Entry points: Parse and List.Encode for the file, List.With to add somebody,
// List.Check to let somebody in. It belongs here if it decides who somebody is. It is not
// for what a role may do, nor for sessions (desk).
package users

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// FileName is the name of the file within a site's folder. Nobody but its owner may read
// it.
const FileName = "desk-users.json"

// Role is what somebody does at the desk.
type Role string

// The roles.
const (
	Planner  Role = "planner"  // plans, prints, reviews and closes
	Mechanic Role = "mechanic" // types in what came back
	Auditor  Role = "auditor"  // reads, and writes nothing
)

// roles are all of them.
var roles = []Role{Planner, Mechanic, Auditor}

func (r Role) check() error {
	if !slices.Contains(roles, r) {
		return fmt.Errorf("a role is planner, mechanic or auditor, and not %q", string(r))
	}
	return nil
}

// User is somebody who may sign in.
type User struct {
	Name string `json:"name"` // of 1 to 60 characters, as the register takes it
	Role Role   `json:"role"`
	Hash string `json:"hash"` // what the password is checked against
}

// List is everybody who may sign in.
type List []User

// file is the shape of the file.
type file struct {
	Format int  `json:"format"`
	Users  List `json:"users"`
}

const format = 1

// Parse reads what Encode wrote.
func Parse(raw []byte) (List, error) {
	var f file
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil {
		return nil, fmt.Errorf("%s: %w", FileName, err)
	}
	if f.Format != format {
		return nil, fmt.Errorf("%s: format is %d; this program reads %d", FileName, f.Format, format)
	}
	for i, u := range f.Users {
		if err := u.check(); err != nil {
			return nil, fmt.Errorf("%s: %w", FileName, err)
		}
		if f.Users.at(u.Name) != i {
			return nil, fmt.Errorf("%s: %s is there twice", FileName, u.Name)
		}
	}
	return f.Users, nil
}

// Encode writes the list as its file has it.
func (l List) Encode() ([]byte, error) {
	raw, err := json.MarshalIndent(file{format, l}, "", "  ")
	return append(raw, '\n'), err
}

func (u User) check() error {
	runes := []rune(u.Name)
	switch {
	case len(runes) == 0 || len(runes) > 60:
		return fmt.Errorf("a name has 1 to 60 characters, not %d", len(runes))
	case !unicode.IsLetter(runes[0]) && !unicode.IsDigit(runes[0]):
		return fmt.Errorf("the name %q does not begin with a letter or a digit", u.Name)
	case slices.ContainsFunc(runes, func(r rune) bool { return !unicode.IsPrint(r) }) || strings.TrimSpace(u.Name) != u.Name:
		return fmt.Errorf("the name %q ends in a space, or holds a character that cannot be printed", u.Name)
	}
	if err := u.Role.check(); err != nil {
		return fmt.Errorf("the role of %s: %w", u.Name, err)
	}
	if _, err := parseHash(u.Hash); err != nil {
		return fmt.Errorf("the password of %s: %w", u.Name, err)
	}
	return nil
}

// at gives where a name stands, in upper or lower case; -1 where it does not.
func (l List) at(name string) int {
	return slices.IndexFunc(l, func(u User) bool { return strings.EqualFold(u.Name, name) })
}

// Find gives somebody by name, in upper or lower case.
func (l List) Find(name string) (u User, known bool) {
	if i := l.at(name); i >= 0 {
		return l[i], true
	}
	return User{}, false
}

// With gives the list with somebody added, or with a new role and password of somebody
// who is there.
func (l List) With(name string, role Role, password string) (List, error) {
	if err := role.check(); err != nil {
		return nil, err
	}
	if n := len([]rune(password)); n < shortest || len(password) > longest {
		return nil, fmt.Errorf("the password has %d characters; take %d at least, and %d bytes at most: a few words in a row are easier to remember than signs", n, shortest, longest)
	}
	hash, err := newHash(password)
	if err != nil {
		return nil, err
	}
	u := User{Name: name, Role: role, Hash: hash}
	if err := u.check(); err != nil {
		return nil, err
	}
	out := slices.Clone(l)
	if i := out.at(name); i >= 0 {
		out[i] = u
		return out, nil
	}
	return append(out, u), nil
}
