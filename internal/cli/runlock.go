package cli

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// The temporary files of a run are named .jobsheaf-RUN-..., and while the run lasts
// it holds the lock of the file .jobsheaf-RUN.lock in its output folder. A lock goes
// with its process, however that ends, so the next run can tell what a killed run
// left from what belongs to one that goes on, also one of another machine that
// prints its share into the same folder.
const ours = ".jobsheaf-"

// runLock is the lock of a run. The zero one has no lock: for a file that is written
// into a folder of its own.
type runLock struct {
	id   string
	file *os.File
}

// lockRun takes the lock of a new run in an output folder, and removes what runs
// that were killed have left there.
func lockRun(dir string) (*runLock, error) {
	for {
		raw := make([]byte, 6)
		rand.Read(raw)
		r := &runLock{id: hex.EncodeToString(raw)}
		name := filepath.Join(dir, ours+r.id+".lock")
		file, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_RDWR, 0o644)
		if err != nil {
			return nil, err
		}
		r.file = file
		// Where the file system has no locks, nobody can tell that this run is over, and
		// what it leaves when it is killed stays.
		tryLock(file)
		// A run that began meanwhile may have taken the file, not locked yet, for that of
		// a dead one, and removed it.
		mine, err := file.Stat()
		if err != nil {
			return nil, err
		}
		if there, err := os.Stat(name); err == nil && os.SameFile(mine, there) {
			sweep(dir, r.id)
			return r, nil
		}
		file.Close()
	}
}

// release ends the lock.
func (r *runLock) release() {
	name := r.file.Name()
	r.file.Close()
	os.Remove(name)
}

// temp makes a temporary file of the run.
func (r *runLock) temp(dir string) (*os.File, error) { return os.CreateTemp(dir, ours+r.id+"-*") }

// hasCompany reports whether other runs go on in the folder.
func (r *runLock) hasCompany() bool { return len(liveRuns(filepath.Dir(r.file.Name()), r.id)) > 1 }

// liveRuns gives the runs that go on in a folder, with one's own, and removes the locks of
// those that are over.
func liveRuns(dir, own string) map[string]bool {
	live := map[string]bool{own: true}
	locks, err := filepath.Glob(filepath.Join(globbed(dir), ours+"*.lock"))
	if err != nil {
		return live
	}
	for _, name := range locks {
		id := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(name), ours), ".lock")
		if id != own && !removeDead(name) {
			live[id] = true
		}
	}
	return live
}

// sweep removes the temporary files of runs that are over.
func sweep(dir, own string) {
	live := liveRuns(dir, own)
	for _, in := range []string{".", "print", "front", "changed"} {
		left, err := filepath.Glob(filepath.Join(globbed(dir), in, ours+"*"))
		if err != nil {
			continue
		}
		for _, name := range left {
			id, _, ok := strings.Cut(strings.TrimPrefix(filepath.Base(name), ours), "-")
			info, err := os.Lstat(name)
			if err != nil || !info.Mode().IsRegular() || strings.HasSuffix(name, ".lock") {
				continue
			}
			// The names of version 0.1 do not say whose they are.
			if ok && !live[id] || !ok && time.Since(info.ModTime()) > time.Hour {
				os.Remove(name)
			}
		}
	}
}

// globbed writes a path so that a pattern takes it as it is.
func globbed(dir string) string {
	return strings.NewReplacer("[", "[[]", "*", "[*]", "?", "[?]").Replace(dir)
}

// removeDead removes the lock file of a run that is over; false where the run goes
// on, or where that is not known.
func removeDead(name string) bool {
	info, err := os.Lstat(name)
	if err != nil {
		return errors.Is(err, fs.ErrNotExist)
	}
	if !info.Mode().IsRegular() {
		return false
	}
	file, err := os.OpenFile(name, os.O_RDWR, 0)
	if err != nil {
		return false
	}
	free, err := tryLock(file)
	if !lockedByOpening && err == nil && free {
		os.Remove(name) // while it is locked, so that its run cannot take it
	}
	file.Close()
	if lockedByOpening {
		return os.Remove(name) == nil // refused while the run has it open
	}
	return err == nil && free
}
