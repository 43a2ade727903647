package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"time"

	"jobsheaf/internal/users"

	"golang.org/x/term"
)

// userFile is the file of who may sign in, read anew once it has changed.
type userFile struct {
	path string

	mu   sync.Mutex
	at   time.Time
	size int64
	list users.List
}

// mostOfUsers is the most bytes of that file: a thousand users have some 200 kB.
const mostOfUsers = 1 << 20

// read gives who may sign in; nobody where there is no file.
func (u *userFile) read() (users.List, error) {
	u.mu.Lock()
	defer u.mu.Unlock()
	info, err := os.Lstat(u.path)
	if errors.Is(err, fs.ErrNotExist) {
		u.list, u.size = nil, 0
		return nil, nil
	}
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular() || info.Size() > mostOfUsers:
		return nil, fmt.Errorf("%s is no file of users", u.path)
	case runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0:
		return nil, fmt.Errorf("%s: others than its owner may read it: its mode is %04o; make it 0600", u.path, info.Mode().Perm())
	case u.list != nil && info.ModTime().Equal(u.at) && info.Size() == u.size:
		return u.list, nil
	}
	raw, err := os.ReadFile(u.path)
	if err != nil {
		return nil, err
	}
	list, err := users.Parse(raw)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", filepath.Dir(u.path), err)
	}
	u.list, u.at, u.size = list, info.ModTime(), info.Size()
	return list, nil
}

// addUser adds somebody to the file of a site, which is written whole or not at all.
func addUser(s Streams, d serving) error {
	if _, err := openSite(d.site); err != nil {
		return err
	}
	if d.addUser == "" || d.role == "" {
		return errors.New("name who is added and what they do: --add-user NAME --role planner, mechanic or auditor")
	}
	file := &userFile{path: filepath.Join(d.site, users.FileName)}
	if _, err := file.read(); err != nil {
		return err
	}
	password, err := askPassword(s, d.passwordStdin)
	if err != nil {
		return err
	}
	lock, err := lockRun(d.site)
	if err != nil {
		return err
	}
	defer lock.release()
	list, err := file.read()
	if err != nil {
		return err
	}
	before := len(list)
	if list, err = list.With(d.addUser, users.Role(d.role), password); err != nil {
		return err
	}
	raw, err := list.Encode()
	if err != nil {
		return err
	}
	if err := writeSecret(lock, file.path, raw); err != nil {
		return err
	}
	what := "may sign in"
	if len(list) == before {
		what = "has another password"
	}
	_, err = fmt.Fprintf(s.Out, "%s %s now, as %s\n", d.addUser, what, d.role)
	return err
}

// writeSecret writes a file that its owner alone may read, whole or not at all.
func writeSecret(run *runLock, path string, data []byte) error {
	f, err := run.temp(filepath.Dir(path)) // of mode 0600
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // of no effect once it is renamed
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if err := errors.Join(err, f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// askPassword asks for a password on the terminal, twice and unseen, or reads the first
// line of standard input.
func askPassword(s Streams, fromStdin bool) (string, error) {
	if fromStdin {
		line, err := bufio.NewReader(io.LimitReader(s.In, 4096)).ReadString('\n')
		if err != nil && err != io.EOF {
			return "", err
		}
		return strings.TrimRight(line, "\r\n"), nil
	}
	in, ok := s.In.(*os.File)
	if !ok || !term.IsTerminal(int(in.Fd())) {
		return "", errors.New("there is no terminal to ask for the password on; give it with --password-stdin")
	}
	var said [2]string
	for i, ask := range []string{"Password: ", "Once more: "} {
		fmt.Fprint(s.Err, ask)
		raw, err := term.ReadPassword(int(in.Fd()))
		fmt.Fprintln(s.Err)
		if err != nil {
			return "", err
		}
		said[i] = string(raw)
	}
	if said[0] != said[1] {
		return "", errors.New("the two passwords are not the same; nothing was changed")
	}
	return said[0], nil
}
