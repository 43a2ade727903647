package cli

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"

	"jobsheaf/internal/week"
)

// folder is an output folder as week wants it: every file in it is whole.
type folder string

// Create begins a file under a temporary name in the same folder.
func (dir folder) Create(name string) (week.Draft, error) {
	to := filepath.Join(string(dir), filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return nil, err
	}
	f, err := os.CreateTemp(filepath.Dir(to), ".jobsheaf-*")
	if err != nil {
		return nil, err
	}
	return &draft{File: f, path: to}, nil
}

// Put writes finished files, which stand in the folder or in one within it.
func (dir folder) Put(files ...week.File) error {
	names := make([]week.File, len(files))
	to := string(dir)
	for i, f := range files {
		to = filepath.Join(string(dir), filepath.FromSlash(path.Dir(f.Name)))
		names[i] = week.File{Name: path.Base(f.Name), Data: f.Data}
	}
	if err := os.MkdirAll(to, 0o755); err != nil {
		return err
	}
	return writeFiles(to, names)
}

// draft is a file under its temporary name.
type draft struct {
	*os.File
	path string
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
	return os.Rename(d.Name(), d.path)
}

// Drop removes the file.
func (d *draft) Drop() {
	d.Close()
	os.Remove(d.Name())
}

// Ends gives the first and the last bytes of a file.
func (dir folder) Ends(name string, n int) (head, tail []byte, err error) {
	f, err := os.Open(filepath.Join(string(dir), filepath.FromSlash(name)))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, nil
	}
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, nil, &fs.PathError{Op: "read", Path: f.Name(), Err: errors.New("it is not a plain file")}
	}
	read := func(from, n int64) ([]byte, error) {
		b := make([]byte, n)
		_, err := f.ReadAt(b, from)
		if errors.Is(err, io.EOF) {
			err = nil
		}
		return b, err
	}
	size := min(int64(n), info.Size())
	if head, err = read(0, size); err == nil {
		tail, err = read(info.Size()-size, size)
	}
	return head, tail, err
}
