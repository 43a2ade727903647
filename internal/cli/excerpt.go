package cli

import (
	"io"
	"io/fs"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
	"jobsheaf/templates"
)

// mostShown is the most bytes of a file of which lines are shown.
const mostShown = 1 << 20

// excerpts gives the lines of the files that problems are in.
type excerpts struct {
	site  fs.FS
	lines map[string][]string
}

// of gives the line that an error is in, "" where there is none to show: a list counts
// its columns by cells, and a warning is about what is not there as often as not.
func (e *excerpts) of(p diag.Problem) string {
	name := p.Pos.File
	if e == nil || p.Severity != diag.Error || p.Pos.Line < 1 || !strings.HasSuffix(name, ".yaml") && !strings.HasSuffix(name, ".yml") {
		return ""
	}
	lines, read := e.lines[name]
	if !read {
		lines = e.read(name)
		if e.lines == nil {
			e.lines = map[string][]string{}
		}
		e.lines[name] = lines
	}
	if p.Pos.Line > len(lines) {
		return ""
	}
	return lines[p.Pos.Line-1]
}

// read gives the lines of a file, none where it cannot be read.
func (e *excerpts) read(name string) []string {
	from := e.site
	if rest, ok := strings.CutPrefix(name, source.BuiltIn); ok {
		from, name = templates.FS, rest
	}
	if info, err := fs.Lstat(from, name); err != nil || !info.Mode().IsRegular() {
		return nil
	}
	f, err := from.Open(name)
	if err != nil {
		return nil
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, mostShown))
	if err != nil {
		return nil
	}
	return strings.Split(strings.ReplaceAll(strings.TrimPrefix(string(text), "\ufeff"), "\r\n", "\n"), "\n")
}
