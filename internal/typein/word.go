package typein

import "errors"

// Word is something that is said of a text, for pages of whichever language: the key of the
// words, and what fills their placeholders, in pairs of name and text.
type Word struct {
	Key  string
	Fill []any
}

func says(key string, fill ...any) Word { return Word{key, fill} }

// Unread gives why a text cannot be kept, of an error of Read or Why; ok is false of another
// error.
func Unread(err error) (w Word, ok bool) {
	u, ok := errors.AsType[*unread](err)
	if !ok {
		return w, false
	}
	return u.is, true
}

// Words says of a verdict what Say does: what is outside by how much, and what may be a
// slip.
func (v Verdict) Words() []Word { return v.words }
