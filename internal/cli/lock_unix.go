//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package cli

import (
	"errors"
	"os"
	"syscall"
)

// lockedByOpening says whether an open file cannot be removed, which is then its lock.
const lockedByOpening = false

// tryLock locks a file for this process; free is false where another has it.
func tryLock(f *os.File) (free bool, err error) {
	err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return false, nil
	}
	return err == nil, err
}
