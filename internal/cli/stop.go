package cli

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

// stopped is the cause of a context that a signal ended.
type stopped struct{ signal os.Signal }

func (s stopped) Error() string { return "stopped by the signal " + s.signal.String() }

// code gives the exit code by which a shell knows a command that a signal ended: 130
// after Ctrl-C, 143 after a request to terminate. Windows has no such convention, and
// takes the same codes.
func (s stopped) code() int {
	if n, ok := s.signal.(syscall.Signal); ok {
		return 128 + int(n)
	}
	return exitWrong
}

// interrupted is the message of a command that was asked to stop: the state of its
// files, and what asked it to stop.
type interrupted struct {
	state string
	cause error
}

func (i interrupted) Error() string { return "interrupted; " + i.state }
func (i interrupted) Unwrap() error { return i.cause }

// untilStopped gives a context that ends at the first request to stop. A second one
// ends the program at once, as it would any other.
func untilStopped(ctx context.Context) (context.Context, func()) {
	ctx, cancel := context.WithCancelCause(ctx)
	asked := make(chan os.Signal, 1)
	signal.Notify(asked, os.Interrupt, syscall.SIGTERM)
	go func() {
		select {
		case s := <-asked:
			signal.Stop(asked)
			cancel(stopped{s})
		case <-ctx.Done():
		}
	}()
	return ctx, func() {
		signal.Stop(asked)
		cancel(nil)
	}
}
