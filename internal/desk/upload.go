package desk

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"errors"
	"hash"
	"html/template"
	"io"
	"mime/multipart"
	"net/http"
	"path"
	"strings"
	"time"
	"unicode"

	"jobsheaf/internal/scan/sheets"
)

// This file takes in files that somebody sends, without ever holding one in memory.

// Held is a file that somebody sent, on the disk. It is gone once it is closed.
type Held interface {
	io.Writer
	io.ReaderAt
	io.Closer
	// Drawn draws a page of it where it is a PDF that takes another program; nil where there
	// is no such program.
	Drawn() sheets.Renderer
}

// FileForm begins a form that sends files, as Form does.
func (f *frame) FileForm(action string) template.HTML {
	return template.HTML(strings.Replace(string(f.Form(action)), "<form ", `<form enctype="multipart/form-data" `, 1))
}

// slowBody lets a body come as slowly as a plant's network is, but not stand still.
type slowBody struct {
	io.ReadCloser
	control *http.ResponseController
	limits  *limits
	now     func() time.Time
	until   time.Time // the zero one: as any body, for whoever has not shown the form's token
}

func (s *slowBody) Read(p []byte) (int, error) {
	if s.until.IsZero() {
		return s.ReadCloser.Read(p)
	}
	next := s.now().Add(s.limits.pause)
	if next.After(s.until) {
		next = s.until
	}
	s.control.SetReadDeadline(next) // where a test's server has none, there is none
	return s.ReadCloser.Read(p)
}

// openParts begins a form with files, whose first part is its token. The body is not read
// any further by then.
func (v *visit) openParts(most int64) (token string, err error) {
	v.raw = &slowBody{ReadCloser: v.r.Body, control: http.NewResponseController(v.w), limits: &v.limits, now: v.Now}
	v.r.Body = http.MaxBytesReader(v.w, v.raw, cmp.Or(most, v.limits.sent)+mostOfForm)
	if v.parts, err = v.r.MultipartReader(); err != nil {
		return "", refuse(http.StatusBadRequest, "fault.form")
	}
	part, err := v.parts.NextPart()
	if err != nil || part.FormName() != tokenField || part.FileName() != "" {
		return "", refuse(http.StatusForbidden, "fault.token")
	}
	raw, err := io.ReadAll(io.LimitReader(part, 100))
	if err != nil {
		return "", refuse(http.StatusBadRequest, "fault.form")
	}
	return string(raw), nil
}

// genuine reports whether a token is the one of this visit's forms.
func (v *visit) genuine(token string) bool {
	return v.id != "" && subtle.ConstantTimeCompare([]byte(token), []byte(v.sessions.token(v.id))) == 1
}

// room is how much a form with files may hold: bytes of a file, of all of them, files.
type room struct {
	one, all int64
	files    int
}

// sentFile is a file that was sent.
type sentFile struct {
	name  string
	size  int64
	sum   string // SHA-256, in hexadecimal
	held  Held   // nil of one that is too large
	large bool
}

func closeAll(files []sentFile) {
	for _, f := range files {
		if f.held != nil {
			f.held.Close()
		}
	}
}

// receive takes in the files of a form. Other fields are put among the form's.
func (v *visit) receive(field string, most room, hold func() (Held, error)) (files []sentFile, err error) {
	v.raw.until = v.Now().Add(v.limits.sending)
	v.raw.control.SetWriteDeadline(v.raw.until.Add(v.limits.write))
	select {
	case v.sending <- struct{}{}:
		defer func() { <-v.sending }()
	default:
		v.drain()
		return nil, refuse(http.StatusServiceUnavailable, "fault.sending")
	}
	defer func() {
		if err != nil {
			closeAll(files)
			files = nil
			v.drain()
		}
	}()
	all := int64(0)
	for n := 0; ; n++ {
		part, err := v.parts.NextPart()
		switch {
		case errors.Is(err, io.EOF):
			return files, nil
		case err != nil:
			return files, most.cutOff(err)
		case n >= most.files:
			return files, refuse(http.StatusRequestEntityTooLarge, "fault.many_files", "n", most.files)
		case part.FileName() == "":
			raw, err := io.ReadAll(io.LimitReader(part, 1000))
			if err != nil {
				return files, most.cutOff(err)
			}
			v.r.PostForm.Add(part.FormName(), string(raw))
			continue
		case part.FormName() != field:
			continue
		}
		f, err := take(part, most, hold)
		files = append(files, f)
		if err != nil {
			return files, err
		}
		if all += f.size; all > most.all {
			return files, most.tooMuch()
		}
	}
}

func (r room) tooMuch() error {
	return refuse(http.StatusRequestEntityTooLarge, "fault.much", "mb", r.all>>20)
}

// cutOff says what an error of reading a body means.
func (r room) cutOff(err error) error {
	if _, large := errors.AsType[*http.MaxBytesError](err); large {
		return r.tooMuch()
	}
	return refuse(http.StatusBadRequest, "fault.cut_off")
}

// sending is a part as it is read; its own errors are told from those of the disk.
type sending struct {
	part *multipart.Part
	sum  hash.Hash
	err  error
}

func (s *sending) Read(p []byte) (int, error) {
	n, err := s.part.Read(p)
	s.sum.Write(p[:n])
	if err != nil && !errors.Is(err, io.EOF) {
		s.err = err
	}
	return n, err
}

// take puts a file that is sent on the disk. One that is too large is read to its end and
// thrown away, so that the others are taken.
func take(part *multipart.Part, most room, hold func() (Held, error)) (f sentFile, err error) {
	f.name = plainName(part.FileName())
	if f.held, err = hold(); err != nil {
		return f, err
	}
	from := &sending{part: part, sum: sha256.New()}
	f.size, err = io.Copy(f.held, io.LimitReader(from, most.one+1))
	if err == nil && f.size > most.one {
		f.held.Close()
		f.held, f.large = nil, true
		var rest int64
		rest, err = io.Copy(io.Discard, from)
		f.size += rest
	}
	switch {
	case from.err != nil:
		return f, most.cutOff(from.err)
	case err != nil:
		return f, err
	}
	f.sum = hex.EncodeToString(from.sum.Sum(nil))
	return f, nil
}

// drain reads on where somebody still sends, for a while: a browser that is cut off shows
// no answer.
func (v *visit) drain() {
	if v.raw != nil {
		io.Copy(io.Discard, io.LimitReader(v.raw, v.limits.sent))
	}
}

// mostOfFileName is the most characters of a file's name that are kept.
const mostOfFileName = 100

// plainName gives the name of a file that somebody sent as it may be shown and kept: without
// folders, and without what cannot be seen or turns the text around it. It is never the
// name of a file of ours.
func plainName(name string) string {
	name = path.Base(strings.ReplaceAll(strings.ToValidUTF8(name, ""), `\`, "/"))
	name = strings.TrimSpace(strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, name))
	if r := []rune(name); len(r) > mostOfFileName {
		name = string(r[:mostOfFileName/2-1]) + "…" + string(r[len(r)-mostOfFileName/2:])
	}
	if name == "" || name == "." || name == "/" || name == ".." {
		return "?"
	}
	return name
}

// inMemory holds a small file, such as a list.
type inMemory struct{ bytes.Buffer }

func (*inMemory) ReadAt([]byte, int64) (int, error) { return 0, errors.ErrUnsupported }
func (*inMemory) Close() error                      { return nil }
func (*inMemory) Drawn() sheets.Renderer            { return nil }
