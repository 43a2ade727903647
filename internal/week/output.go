package week

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"slices"
	"strings"

	"jobsheaf/internal/printjob"
)

// Output is where finished files go. Every file in it is whole. An error of one
// name alone is an *printjob.Obstacle, and the run goes on without that file; any other
// error is of the machine and ends the run.
type Output interface {
	// Create begins a file, which takes its name, in place of an older one, when it
	// is kept and not before.
	Create(name string) (Draft, error)
	// Put writes finished files of one folder, all of them or none.
	Put(files ...printjob.File) error
	// Ends gives the first and the last bytes of a file, at most n of each; none
	// where there is no such file.
	Ends(name string, n int) (head, tail []byte, err error)
	// Size gives the length of a file in bytes, -1 where there is none.
	Size(name string) (int64, error)
	// Sum gives the SHA-256 of a file in hexadecimal, "" where there is none.
	Sum(name string) (string, error)
}

// Draft is a file in the making. One of Keep and Drop is called, once.
type Draft interface {
	io.Writer
	Keep() error
	Drop()
}

// File is a file that a run wrote, as it was then.
type File struct {
	Name   string `json:"name"`
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}

// output is the Output of a run, with what was written into it and what was wrong
// there.
type output struct {
	Output
	files     map[string]File // that the run wrote or found as they should be
	before    map[string]File // that the run before wrote
	obstacles []printjob.Obstacle
	restored  []string // files that were not as the run before left them
}

func newOutput(to Output, before *Ledger) *output {
	o := &output{Output: to, files: map[string]File{}, before: map[string]File{}}
	if before != nil {
		for _, f := range before.Files {
			o.before[f.Name] = f
		}
	}
	return o
}

// passed takes note of an obstacle and gives nil for it; another error it gives
// back.
func (o *output) passed(err error) error {
	if err == nil {
		return nil
	}
	var ob *printjob.Obstacle
	if !errors.As(err, &ob) {
		return err
	}
	if !slices.ContainsFunc(o.obstacles, func(had printjob.Obstacle) bool { return had.Name == ob.Name }) {
		o.obstacles = append(o.obstacles, *ob)
	}
	return nil
}

// put writes finished files and enters them.
func (o *output) put(files ...printjob.File) error {
	if err := o.Put(files...); err != nil {
		return o.passed(err)
	}
	for _, f := range files {
		sum := sha256.Sum256(f.Data)
		o.files[f.Name] = File{f.Name, int64(len(f.Data)), hex.EncodeToString(sum[:])}
	}
	return nil
}

// create begins a file that is entered once it is kept. Where something is in its
// way it is written nowhere, so that the run can go on.
func (o *output) create(name string) (Draft, error) {
	d, err := o.Create(name)
	if err != nil {
		if err = o.passed(err); err != nil {
			return nil, err
		}
		return nowhere{}, nil
	}
	return &entered{Draft: d, to: o, name: name, sum: sha256.New()}, nil
}

// entered is a draft that is entered when it is kept.
type entered struct {
	Draft
	to   *output
	name string
	n    int64
	sum  hash.Hash
}

func (e *entered) Write(b []byte) (int, error) {
	n, err := e.Draft.Write(b)
	e.n += int64(n)
	e.sum.Write(b[:n])
	return n, err
}

func (e *entered) Keep() error {
	if err := e.Draft.Keep(); err != nil {
		return e.to.passed(err)
	}
	e.to.files[e.name] = File{e.name, e.n, hex.EncodeToString(e.sum.Sum(nil))}
	return nil
}

// nowhere is a draft of a file that cannot be written.
type nowhere struct{}

func (nowhere) Write(b []byte) (int, error) { return len(b), nil }
func (nowhere) Keep() error                 { return nil }
func (nowhere) Drop()                       {}

// there reports whether there is a file of that name.
func (o *output) there(name string) (bool, error) {
	n, err := o.Size(name)
	if err != nil {
		return false, o.passed(err)
	}
	return n >= 0, nil
}

// file gives what a file is now; the zero File where there is none.
func (o *output) file(name string) (File, error) {
	n, err := o.Size(name)
	if err != nil || n < 0 {
		return File{}, o.passed(err)
	}
	sum, err := o.Sum(name)
	if err != nil || sum == "" {
		return File{}, o.passed(err)
	}
	return File{name, n, sum}, nil
}

// asLeft reports whether a file is as the run before left it, and takes note of it
// where it is not. A file that the run before did not write, or that need not be the
// same, is taken as it is.
func (o *output) asLeft(name string, same bool) (bool, error) {
	now, err := o.file(name)
	if err != nil {
		return false, err
	}
	was, known := o.before[name]
	if known && same && now != was {
		o.restore(name)
		return false, nil
	}
	if now.Name == "" {
		return false, nil
	}
	o.files[name] = now
	return true, nil
}

func (o *output) restore(name string) {
	if !slices.Contains(o.restored, name) {
		o.restored = append(o.restored, name)
	}
}

// missing takes the files that are gone out of what was written: somebody may have
// taken them, or their folder, away while the run went on.
func (o *output) missing() error {
	for name, f := range o.files {
		n, err := o.Size(name)
		switch {
		case err != nil:
			if err = o.passed(err); err != nil {
				return err
			}
		case n == f.Bytes:
			continue
		case n < 0:
			o.passed(&printjob.Obstacle{Name: name, Why: "it was taken away while the run went on"})
		default:
			o.passed(&printjob.Obstacle{Name: name, Why: fmt.Sprintf("it was changed while the run went on: it has %d bytes, not %d", n, f.Bytes)})
		}
		delete(o.files, name)
	}
	return nil
}

// list gives the files that were written, by name, without those of the folder
// changed, which are of this run alone.
func (o *output) list() []File {
	var all []File
	for _, f := range o.files {
		if !strings.HasPrefix(f.Name, changedIn) {
			all = append(all, f)
		}
	}
	return sortedFiles(all)
}
