// Package cli is the command line: one file for each command.
//
// Entry points: Main, and Root for the release. It belongs here if it is about flags, streams, files or the
// clock; it is the only room that sees them. It is not for deciding anything about
// a packet.
//
// Rules of the terminal: results go to standard output, messages to standard
// error. --json gives both in a form for programs. Exit codes: 0 all done, 1 some
// job was not printed, a check found an error or a finding of a review stands, 2 the command was used wrongly or the
// machine failed, 130 and 143 the command was stopped by a signal.
package cli

import (
	"cmp"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"
)

// version is the program's version; it is part of every fingerprint.
const version = "0.2.0"

// program is what packets say that they were made with.
const program = "jobsheaf " + version

// Streams are the three standard streams.
type Streams struct {
	In       io.Reader
	Out, Err io.Writer
}

// Exit codes.
const (
	exitDone    = 0
	exitRefused = 1
	exitWrong   = 2
)

// errRefused says that a job was not printed or an error found, and that this was reported.
var errRefused = errors.New("refused")

// errUnread says that a file could not be read, and that this was reported.
var errUnread = errors.New("a file could not be read")

// Root gives the command with all commands below it, for those who print its manual.
func Root(s Streams) *cobra.Command {
	root := &cobra.Command{
		Use:   "jobsheaf",
		Short: "Print job packets for pump work from records and procedures",
		Long: `jobsheaf merges a unit's record with a procedure and prints the packet that a
mechanic carries to the pump: lockout and liquid hazards, the numbers of this very
unit, the steps, the wear sheet and the sign-off. The working of every number is an
annex of its own.`,
		Version:       version,
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.SetIn(s.In)
	root.SetOut(s.Out)
	root.SetErr(s.Err)
	root.CompletionOptions.HiddenDefaultCmd = true
	root.AddCommand(startCommand(s), checkCommand(s), makeCommand(s), weekCommand(s), explainCommand(s), proveCommand(s),
		readCommand(s), placeCommand(s), typeCommand(s),
		reviewCommand(s), acceptCommand(s), settleCommand(s), closeCommand(s), voidCommand(s), reopenCommand(s),
		registerCommand(s), deskCommand(s))
	return root
}

// Main runs a command and gives the exit code.
func Main(args []string, s Streams) int {
	out := &resultWriter{w: s.Out}
	s.Out = out
	root := Root(s)
	root.SetArgs(args)
	err := root.Execute()
	if err == nil || errors.Is(err, errRefused) || errors.Is(err, errUnread) {
		err = cmp.Or(out.err, err)
	}
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errRefused):
		return exitRefused
	case errors.Is(err, errUnread):
		return exitWrong
	}
	fmt.Fprintf(s.Err, "jobsheaf: %s\n", err)
	if by, ok := errors.AsType[stopped](err); ok {
		return by.code()
	}
	return exitWrong
}

// resultWriter keeps the first error of writing results: a result that did not
// arrive is not reported as done.
type resultWriter struct {
	w   io.Writer
	err error
}

func (r *resultWriter) Write(b []byte) (int, error) {
	n, err := r.w.Write(b)
	r.err = cmp.Or(r.err, err)
	return n, err
}
