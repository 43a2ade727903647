//go:build unix

package cli

import (
	"os/signal"
	"syscall"
)

// tellOfFileLimit makes a file that grows beyond the limit of the account an error of
// writing, as on a full disk, and not the end of the program with half a file left.
func tellOfFileLimit() { signal.Ignore(syscall.SIGXFSZ) }
