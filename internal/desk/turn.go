package desk

import (
	"net/http"
	"runtime"
	"sync"
)

// turns lets a few pages be made at a time, in the order in which they were asked for: were
// all made at once, each would take as long as all of them, and as much memory.
type turns chan struct{}

func newTurns() turns { return make(turns, 2*runtime.GOMAXPROCS(0)) }

// take waits for a turn. It is over with the first byte that is sent, so that whoever reads
// slowly keeps nobody else waiting; at the latest when done is called. ok is false where
// whoever asked has left.
func (t turns) take(w http.ResponseWriter, r *http.Request) (on http.ResponseWriter, done func(), ok bool) {
	select {
	case t <- struct{}{}:
	case <-r.Context().Done():
		return w, nil, false
	}
	done = sync.OnceFunc(func() { <-t })
	return &turned{w, done}, done, true
}

// turned ends a turn with the first byte.
type turned struct {
	http.ResponseWriter
	done func()
}

func (t *turned) WriteHeader(status int) {
	t.done()
	t.ResponseWriter.WriteHeader(status)
}

func (t *turned) Write(b []byte) (int, error) {
	t.done()
	return t.ResponseWriter.Write(b)
}

// Unwrap is for http.ResponseController.
func (t *turned) Unwrap() http.ResponseWriter { return t.ResponseWriter }
