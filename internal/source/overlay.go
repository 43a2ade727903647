package source

import (
	"bytes"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"
)

// Overlay gives the files of a site with a folder that is in no file system: what is on
// disk under that name is not seen. The files are named from the site, such as
// register/K-1190/page-14.yaml; those outside the folder are left out.
func Overlay(site fs.FS, folder string, files map[string][]byte) fs.FS {
	o := &overlay{FS: site, root: folder, nodes: map[string]*node{}}
	if len(files) > 0 {
		o.nodes[folder] = &node{name: path.Base(folder), dir: true}
	}
	for name, data := range files {
		if !o.covers(name) || name == folder || !fs.ValidPath(name) {
			continue
		}
		o.add(name, &node{name: path.Base(name), data: data})
	}
	for _, n := range o.nodes {
		slices.SortFunc(n.below, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	}
	return o
}

type overlay struct {
	fs.FS
	root  string
	nodes map[string]*node // the folder and all below it, by name
}

// covers reports whether a name is the folder or lies below it.
func (o *overlay) covers(name string) bool {
	return name == o.root || strings.HasPrefix(name, o.root+"/")
}

// add puts a node into its folder, and that into its own.
func (o *overlay) add(name string, n *node) {
	o.nodes[name] = n
	up := path.Dir(name)
	if o.nodes[up] == nil {
		o.add(up, &node{name: path.Base(up), dir: true})
	}
	o.nodes[up].below = append(o.nodes[up].below, n)
}

func (o *overlay) find(op, name string) (*node, error) {
	if n := o.nodes[name]; n != nil {
		return n, nil
	}
	return nil, &fs.PathError{Op: op, Path: name, Err: fs.ErrNotExist}
}

// Open opens a file.
func (o *overlay) Open(name string) (fs.File, error) {
	if !o.covers(name) {
		return o.FS.Open(name)
	}
	n, err := o.find("open", name)
	if err != nil {
		return nil, err
	}
	return &opened{node: n, Reader: bytes.NewReader(n.data)}, nil
}

// Lstat says what stands under a name; links are not followed.
func (o *overlay) Lstat(name string) (fs.FileInfo, error) {
	if !o.covers(name) {
		return fs.Lstat(o.FS, name)
	}
	n, err := o.find("lstat", name)
	if err != nil {
		return nil, err
	}
	return n, nil
}

// ReadLink gives where a link leads.
func (o *overlay) ReadLink(name string) (string, error) {
	if !o.covers(name) {
		return fs.ReadLink(o.FS, name)
	}
	return "", &fs.PathError{Op: "readlink", Path: name, Err: fs.ErrInvalid}
}

// node is a file or folder of an overlay: its own description and entry.
type node struct {
	name  string
	dir   bool
	data  []byte
	below []fs.DirEntry
}

func (n *node) Name() string               { return n.name }
func (n *node) Size() int64                { return int64(len(n.data)) }
func (n *node) IsDir() bool                { return n.dir }
func (n *node) ModTime() time.Time         { return time.Time{} }
func (n *node) Sys() any                   { return nil }
func (n *node) Type() fs.FileMode          { return n.Mode().Type() }
func (n *node) Info() (fs.FileInfo, error) { return n, nil }
func (n *node) Mode() fs.FileMode {
	if n.dir {
		return fs.ModeDir | 0o555
	}
	return 0o444
}

// opened is a node that is read.
type opened struct {
	*node
	*bytes.Reader
	at int // entries given
}

func (o *opened) Stat() (fs.FileInfo, error) { return o.node, nil }
func (o *opened) Size() int64                { return o.node.Size() }
func (o *opened) Close() error               { return nil }

// ReadDir gives the next entries of a folder.
func (o *opened) ReadDir(n int) ([]fs.DirEntry, error) {
	rest := o.below[o.at:]
	if n > 0 && len(rest) == 0 {
		return nil, io.EOF
	}
	if n > 0 && n < len(rest) {
		rest = rest[:n]
	}
	o.at += len(rest)
	return slices.Clone(rest), nil
}
