package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"syscall"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/week"
)

// mostOfFile is the most bytes of a file in an output folder that can be one of
// ours: a print file of a crew's day has some megabytes.
const mostOfFile = 1 << 30

// folder is an output folder as week needs it: every file in it is whole.
type folder struct {
	dir string
	run *runLock
}

func (f folder) path(name string) string { return filepath.Join(f.dir, filepath.FromSlash(name)) }

// Create begins a file under a temporary name in the same folder.
func (f folder) Create(name string) (week.Draft, error) {
	if err := f.clear(name); err != nil {
		return nil, err
	}
	to := f.path(name)
	if err := f.make(path.Dir(name)); err != nil {
		return nil, err
	}
	tmp, err := f.run.temp(filepath.Dir(to))
	if err != nil {
		return nil, gone(name, err)
	}
	return &draft{File: tmp, path: to, name: name}, nil
}

// Put writes finished files, which are in the folder or in one within it.
func (f folder) Put(files ...printjob.File) error {
	names := make([]printjob.File, len(files))
	in := "."
	for i, file := range files {
		if err := f.clear(file.Name); err != nil {
			return err
		}
		in = path.Dir(file.Name)
		names[i] = printjob.File{Name: path.Base(file.Name), Data: file.Data}
	}
	if err := f.make(in); err != nil {
		return err
	}
	return gone(files[0].Name, writeFiles(f.run, f.path(in), names))
}

// make makes a folder within the output.
func (f folder) make(in string) error {
	to := f.path(in)
	if info, err := os.Stat(to); err == nil && !info.IsDir() && in != "." {
		return &printjob.Obstacle{Name: in, Why: "it is where a folder of that name is needed"}
	}
	return os.MkdirAll(to, 0o755)
}

// draft is a file under its temporary name.
type draft struct {
	*os.File
	path, name string
}

// Keep gives the file its name.
func (d *draft) Keep() (err error) {
	defer func() {
		if err != nil {
			d.Drop()
		}
	}()
	if err = d.Chmod(0o644); err != nil {
		return err
	}
	if err = d.Close(); err != nil {
		return err
	}
	return gone(d.name, os.Rename(d.Name(), d.path))
}

// Drop removes the file.
func (d *draft) Drop() {
	d.Close()
	os.Remove(d.Name())
}

// gone says that a file was removed while it was being written, where that is the
// error: the run goes on with the others.
func gone(name string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return &printjob.Obstacle{Name: name, Why: "its folder was removed while it was being written"}
	}
	return err
}

// clear holds that a name is free, or that what has it may be one of ours, which is
// replaced.
func (f folder) clear(name string) error {
	_, err := f.ours(name)
	return err
}

// ours gives the length of a file that may be one of ours, -1 where there is none.
// Nothing is opened that could block or never end.
func (f folder) ours(name string) (int64, error) {
	info, err := os.Stat(f.path(name))
	why := ""
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return -1, nil
	case errors.Is(err, syscall.ENOTDIR):
		return -1, &printjob.Obstacle{Name: name, Why: "something that is not a folder is where its folder should be"}
	case err != nil:
		return -1, err
	case info.IsDir():
		why = "a folder of that name is in the way"
	case !info.Mode().IsRegular():
		why = "something that is not a file has that name, such as a pipe or a device"
	case info.Size() > mostOfFile:
		why = fmt.Sprintf("a file of %d MB has that name, larger than any that jobsheaf writes", info.Size()>>20)
	default:
		file, err := os.Open(f.path(name))
		if errors.Is(err, fs.ErrNotExist) {
			return -1, nil
		}
		if err != nil {
			why = "a file of that name cannot be read: " + errors.Unwrap(err).Error()
			break
		}
		file.Close()
		return info.Size(), nil
	}
	return -1, &printjob.Obstacle{Name: name, Why: why}
}

// Size gives the length of a file.
func (f folder) Size(name string) (int64, error) { return f.ours(name) }

// Sum gives the digest of a file.
func (f folder) Sum(name string) (string, error) {
	size, err := f.ours(name)
	if err != nil || size < 0 {
		return "", err
	}
	file, err := os.Open(f.path(name))
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	defer file.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, io.LimitReader(file, mostOfFile)); err != nil {
		return "", &printjob.Obstacle{Name: name, Why: "it cannot be read: " + err.Error()}
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// Ends gives the first and the last bytes of a file.
func (f folder) Ends(name string, n int) (head, tail []byte, err error) {
	size, err := f.ours(name)
	if err != nil || size < 0 {
		return nil, nil, err
	}
	file, err := os.Open(f.path(name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, nil
	}
	if err != nil {
		return nil, nil, err
	}
	defer file.Close()
	read := func(from, n int64) ([]byte, error) {
		b := make([]byte, n)
		_, err := file.ReadAt(b, from)
		if errors.Is(err, io.EOF) {
			err = nil
		}
		return b, err
	}
	most := min(int64(n), size)
	if head, err = read(0, most); err == nil {
		tail, err = read(size-most, most)
	}
	return head, tail, err
}

// inTheWay says of a file why it was not written.
func inTheWay(out string, o printjob.Obstacle) diag.Problem {
	p := diag.Problem{Pos: diag.Pos{File: filepath.Join(out, filepath.FromSlash(o.Name))}, Severity: diag.Error, Rule: "in-the-way",
		Message: "not written: " + o.Why, Hint: "move what is there out of the way and run the command again"}
	if _, err := os.Lstat(p.Pos.File); err != nil {
		p.Hint = "run the command again"
	}
	return p
}

// obstacles says of files why they were not written: what holds for many, such as
// that their folder was taken away, once.
func obstacles(out string, list []printjob.Obstacle) diag.List {
	var problems diag.List
	why := map[string][]printjob.Obstacle{}
	for _, o := range list {
		why[o.Why] = append(why[o.Why], o)
	}
	for _, o := range list {
		same := why[o.Why]
		if len(same) <= 3 {
			problems.Add(inTheWay(out, o))
		} else if o == same[0] {
			p := inTheWay(out, o)
			p.Message += fmt.Sprintf("; the same for %d more", len(same)-1)
			problems.Add(p)
		}
	}
	return problems
}
