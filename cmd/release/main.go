// Command release packs the program for plants that have no Go: for each target an
// archive with the binary, its manual pages and shell completions, and all licences;
// see `make release`. The same sources give the same bytes.
package main

import (
	"bytes"
	"crypto/sha256"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"

	"jobsheaf/internal/cli"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

func main() {
	targets := flag.String("targets", "linux/amd64", "what to build for: system/processor, with spaces between")
	out := flag.String("out", "dist", "the folder to write into")
	flag.Parse()
	if err := release(".", *out, strings.Fields(*targets)); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

// file is one entry of an archive.
type file struct {
	name string
	data []byte
	run  bool // may be executed
}

// release writes the archives and their checksums. root is the top folder of the
// sources.
func release(root, out string, targets []string) error {
	command := cli.Root(cli.Streams{In: os.Stdin, Out: os.Stdout, Err: os.Stderr})
	date, err := sourceDate(root)
	if err != nil {
		return err
	}
	common, err := commonFiles(root, command, date)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return err
	}
	var sums bytes.Buffer
	for _, target := range targets {
		system, processor, ok := strings.Cut(target, "/")
		if !ok {
			return fmt.Errorf("target %q; wanted is system/processor, such as windows/amd64", target)
		}
		binary, err := build(root, system, processor)
		if err != nil {
			return err
		}
		licences, err := moduleLicences(root, system, processor)
		if err != nil {
			return err
		}
		name, packed, pack := fmt.Sprintf("jobsheaf-%s-%s-%s", command.Version, system, processor), ".tar.gz", tarball
		program := "jobsheaf"
		if system == "windows" {
			packed, pack, program = ".zip", zipball, "jobsheaf.exe"
		}
		files := append([]file{{program, binary, true}}, append(common, licences...)...)
		data, err := pack(name, files, date)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(out, name+packed), data, 0o644); err != nil {
			return err
		}
		fmt.Fprintf(&sums, "%x  %s\n", sha256.Sum256(data), name+packed)
	}
	return os.WriteFile(filepath.Join(out, "SHA256SUMS"), sums.Bytes(), 0o644)
}

// sourceDate is the date that everything in the archives bears: that of the last
// commit, or SOURCE_DATE_EPOCH where the sources stand outside their repository.
func sourceDate(root string) (time.Time, error) {
	text := os.Getenv("SOURCE_DATE_EPOCH")
	if text == "" {
		out, err := exec.Command("git", "-C", root, "log", "-1", "--format=%ct").Output()
		if err != nil {
			return time.Time{}, fmt.Errorf("the sources have no date: set SOURCE_DATE_EPOCH (seconds since 1970): %w", err)
		}
		text = strings.TrimSpace(string(out))
	}
	seconds, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return time.Time{}, err
	}
	return time.Unix(seconds, 0).UTC(), nil
}

// build compiles the program for a target.
func build(root, system, processor string) ([]byte, error) {
	dir, err := os.MkdirTemp("", "release")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	to := filepath.Join(dir, "jobsheaf")
	// Without the repository's state: a tree with the same sources gives the same file.
	cmd := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w", "-o", to, "./cmd/jobsheaf")
	cmd.Dir, cmd.Stderr = root, os.Stderr
	cmd.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS="+system, "GOARCH="+processor)
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("build for %s/%s: %w", system, processor, err)
	}
	return os.ReadFile(to)
}

var heading = regexp.MustCompile(`(?m)^## (\S+)`)

// commonFiles gives what every archive holds: what to read, manual pages, completions
// and the licences of the program and its typefaces.
func commonFiles(root string, command *cobra.Command, date time.Time) ([]file, error) {
	var files []file
	for from, to := range map[string]string{"README.md": "README.md", "CHANGELOG.md": "CHANGELOG.md", "LICENSE": "LICENSE",
		"samples/README.md": "doc/sites.md", "templates/README.md": "doc/procedures.md",
		"fonts/DejaVu-LICENSE.txt": "licences/fonts/DejaVu.txt", "fonts/IBMPlex-LICENSE.txt": "licences/fonts/IBMPlex.txt"} {
		data, err := os.ReadFile(filepath.Join(root, from))
		if err != nil {
			return nil, err
		}
		if from == "CHANGELOG.md" {
			newest := heading.FindSubmatch(data)
			if newest == nil || string(newest[1]) != command.Version {
				return nil, fmt.Errorf("the program is version %s, and the first heading of CHANGELOG.md says %q", command.Version, newest)
			}
		}
		files = append(files, file{name: to, data: data})
	}
	command.InitDefaultHelpCmd()
	for name, write := range map[string]func(*bytes.Buffer) error{
		"completions/jobsheaf.bash": func(b *bytes.Buffer) error { return command.GenBashCompletionV2(b, true) },
		"completions/_jobsheaf":     func(b *bytes.Buffer) error { return command.GenZshCompletion(b) },
		"completions/jobsheaf.fish": func(b *bytes.Buffer) error { return command.GenFishCompletion(b, true) },
		"completions/jobsheaf.ps1":  func(b *bytes.Buffer) error { return command.GenPowerShellCompletionWithDesc(b) },
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			return nil, err
		}
		files = append(files, file{name: name, data: b.Bytes()})
	}
	for _, c := range append([]*cobra.Command{command}, command.Commands()...) {
		if !c.IsAvailableCommand() && c != command {
			continue
		}
		c.DisableAutoGenTag = true
		var b bytes.Buffer
		header := &doc.GenManHeader{Date: &date, Source: "jobsheaf " + command.Version, Manual: "jobsheaf"}
		if err := doc.GenMan(c, header, &b); err != nil {
			return nil, err
		}
		files = append(files, file{name: "man/man1/" + strings.ReplaceAll(c.CommandPath(), " ", "-") + ".1", data: b.Bytes()})
	}
	return files, nil
}

// moduleLicences gives the licences of Go and of every module that a target's binary
// is made from.
func moduleLicences(root, system, processor string) ([]file, error) {
	cmd := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Dir}}{{end}}{{end}}", "./cmd/jobsheaf")
	cmd.Dir, cmd.Stderr = root, os.Stderr
	cmd.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS="+system, "GOARCH="+processor)
	out, err := cmd.Output()
	if err != nil {
		return nil, err
	}
	goroot, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, err
	}
	dirs := map[string]string{"go": strings.TrimSpace(string(goroot))}
	for line := range strings.Lines(string(out)) {
		if path, dir, ok := strings.Cut(strings.TrimSpace(line), " "); ok {
			dirs[path] = dir
		}
	}
	var files []file
	for path, dir := range dirs {
		found, err := filepath.Glob(filepath.Join(dir, "LICEN[CS]E*"))
		if err != nil {
			return nil, err
		}
		if len(found) == 0 {
			return nil, fmt.Errorf("module %s has no licence in its folder", path)
		}
		notices, err := filepath.Glob(filepath.Join(dir, "NOTICE*"))
		if err != nil {
			return nil, err
		}
		for _, name := range append(found, notices...) {
			data, err := os.ReadFile(name)
			if err != nil {
				return nil, err
			}
			files = append(files, file{name: "licences/" + path + "/" + filepath.Base(name), data: data})
		}
	}
	return files, nil
}
