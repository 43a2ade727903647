package source

import (
	"errors"
	"io"
	"io/fs"
	"path"
	"strings"

	"jobsheaf/internal/diag"
)

// Files lists the YAML files in a folder and the folders below it, sorted. Names
// that start with "." or "_" are passed over; a link, or anything else that is not
// a plain file, is a problem, and so is a link to a folder. A folder that is not there has no files.
func Files(fsys fs.FS, dir string) ([]string, diag.List) {
	var names []string
	var problems diag.List
	switch info, err := fs.Lstat(fsys, dir); {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err == nil && info.Mode()&fs.ModeSymlink != 0:
		problems.Errorf(diag.Pos{File: dir}, "file", "put the file or folder itself there", "is a link, and links are not followed")
		return nil, problems
	}
	err := fs.WalkDir(fsys, dir, func(name string, e fs.DirEntry, err error) error {
		switch base := path.Base(name); {
		case err != nil:
			problems.Errorf(diag.Pos{File: name}, "file", "check its permissions", "cannot be read: %s", reason(err))
			if e != nil && e.IsDir() {
				return fs.SkipDir
			}
		case name != dir && (strings.HasPrefix(base, ".") || strings.HasPrefix(base, "_")):
			if e.IsDir() {
				return fs.SkipDir
			}
		case e.IsDir():
		case e.Type()&fs.ModeSymlink != 0 && (isYAML(name) || linksToFolder(fsys, name)):
			problems.Errorf(diag.Pos{File: name}, "file", "put the file or folder itself there", "is a link, and links are not followed")
		case LostYAML(name) != "":
			problems.Warnf(diag.Pos{File: name}, "file", "rename it to "+path.Base(LostYAML(name)), "the file is not read: its name ends in %s, and that of a record in .yaml", path.Ext(name))
		case !isYAML(name):
		case NameFault(strings.TrimSuffix(base, path.Ext(base))) != "":
			problems.Errorf(diag.Pos{File: name}, "name", NameHint, "the file's name is not valid: %s", NameFault(strings.TrimSuffix(base, path.Ext(base))))
		case !e.Type().IsRegular():
			problems.Errorf(diag.Pos{File: name}, "file", "put the file itself there", "is not a plain file")
		default:
			names = append(names, name)
		}
		return nil
	})
	if err != nil {
		problems.Errorf(diag.Pos{File: dir}, "file", "", "cannot be read: %s", reason(err))
	}
	return names, problems
}

// linksToFolder reports whether a link leads to a folder, whose records would be missed.
func linksToFolder(fsys fs.FS, name string) bool {
	info, err := fs.Stat(fsys, name)
	return err == nil && info.IsDir()
}

// isYAML reports whether a file's name ends as YAML files do.
func isYAML(name string) bool {
	ext := strings.ToLower(path.Ext(name))
	return ext == ".yaml" || ext == ".yml"
}

// LostYAML gives the name that a YAML file had before a program added its own ending,
// such as l.yaml of l.yaml.txt; "" for any other file, and for an editor's copy.
func LostYAML(name string) string {
	ext := strings.ToLower(path.Ext(name))
	bare := name[:len(name)-len(ext)]
	if ext == ".bak" || ext == ".orig" || ext == ".old" || ext == ".tmp" || strings.HasSuffix(ext, "~") || isYAML(name) || !isYAML(bare) {
		return ""
	}
	return bare
}

// ReadFile reads the documents of one file. A file that is not there, or is no
// plain file, is a problem.
func ReadFile(fsys fs.FS, name string, opt Options) ([]*Doc, diag.List) {
	var problems diag.List
	fail := func(err error) ([]*Doc, diag.List) {
		problems.Errorf(diag.Pos{File: opt.Prefix + name}, "file", "check that it is there and can be read", "cannot be read: %s", reason(err))
		return nil, problems
	}
	info, err := fs.Lstat(fsys, name)
	if err != nil {
		return fail(err)
	}
	if !info.Mode().IsRegular() {
		return fail(errors.New("it is not a plain file"))
	}
	f, err := fsys.Open(name)
	if err != nil {
		return fail(err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxFile+1))
	if err != nil {
		return fail(err)
	}
	return Read(name, data, opt)
}

// reason gives the cause of a file error without the path, which may name folders
// of the machine.
func reason(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}
