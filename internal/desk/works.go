package desk

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"runtime/debug"
	"slices"
	"sync"
	"time"
)

// This file is about work that goes on while nobody waits for it: scans that are read, a
// week that is printed. It goes on when whoever began it leaves, and ends with the desk.

// workState says how far a work is.
type workState string

// The states of a work.
const (
	waits   workState = "waits" // for its turn
	runs    workState = "runs"
	done    workState = "done"
	stopped workState = "stopped" // by somebody, or with the desk
	failed  workState = "failed"
)

// work is one of them. What is its own is in pile or printing.
type work struct {
	id, who string
	asked   time.Time
	pile    *pile     // of scans that are read
	print   *printing // of a week that is printed

	ctx    context.Context
	cancel context.CancelFunc

	mu      sync.Mutex // of what follows, and of what is in pile and print
	state   workState
	ended   time.Time
	stopper string // who stopped it
	fault   *fault // why it failed, or did nothing
}

// How much work is kept and waits. A pile's scans lie on the disk until they are read.
const (
	mostWorks   = 40 // that are over, or go on
	mostWaiting = 6  // piles of scans, with the one that is read
)

// works are all that the desk does and did since it was opened.
type works struct {
	now  func() time.Time
	log  func(string, ...any)
	ctx  context.Context
	stop context.CancelFunc
	wait sync.WaitGroup

	mu      sync.Mutex
	closed  bool
	all     []*work // the oldest first
	reading []*work // the first of them is read, the others wait
	print   *work   // the one that goes on, else nil
}

func newWorks(now func() time.Time, log func(string, ...any)) *works {
	ctx, stop := context.WithCancel(context.Background())
	return &works{now: now, log: log, ctx: ctx, stop: stop}
}

// Why work is not begun.
var (
	errMuchWaits = errors.New("too much waits already")
	errClosing   = errors.New("the desk closes")
)

// inTheWayOf is why a week is not printed: another is.
type inTheWayOf struct{ *work }

func (inTheWayOf) Error() string { return "another week is being printed" }

// newWork gives a work that is not begun.
func (ws *works) newWork(who string) *work {
	var id [8]byte
	rand.Read(id[:])
	w := &work{id: hex.EncodeToString(id[:]), who: who, asked: ws.now(), state: waits}
	w.ctx, w.cancel = context.WithCancel(ws.ctx)
	return w
}

// begin does a work as soon as it is its turn. do is called in any case, if begin gives no
// error: its context may have ended by then.
func (ws *works) begin(w *work, do func(context.Context) error) error {
	ws.mu.Lock()
	defer ws.mu.Unlock()
	switch {
	case ws.closed:
		return errClosing
	case w.pile != nil && len(ws.reading) >= mostWaiting:
		return errMuchWaits
	case w.print != nil && ws.print != nil:
		return inTheWayOf{ws.print}
	}
	ws.all = append(ws.all, w)
	for i := 0; len(ws.all) > mostWorks && i < len(ws.all); {
		if old := ws.all[i]; old.over() {
			ws.all = slices.Delete(ws.all, i, i+1)
		} else {
			i++
		}
	}
	if w.print != nil {
		ws.print = w
		ws.wait.Go(func() {
			ws.run(w, do)
			ws.mu.Lock()
			defer ws.mu.Unlock()
			ws.print = nil
		})
		return nil
	}
	w.pile.turn = make(chan struct{})
	if ws.reading = append(ws.reading, w); len(ws.reading) == 1 {
		close(w.pile.turn)
	}
	ws.wait.Go(func() {
		<-w.pile.turn
		ws.run(w, do)
		ws.mu.Lock()
		defer ws.mu.Unlock()
		if ws.reading = ws.reading[1:]; len(ws.reading) > 0 {
			close(ws.reading[0].pile.turn)
		}
	})
	return nil
}

// run does a work, whose turn it is.
func (ws *works) run(w *work, do func(context.Context) error) {
	defer w.cancel()
	w.mu.Lock()
	w.state = runs
	w.mu.Unlock()
	err := func() (err error) {
		defer func() {
			if bug := recover(); bug != nil {
				err = fmt.Errorf("%v\n%s", bug, debug.Stack())
			}
		}()
		return do(w.ctx)
	}()
	w.mu.Lock()
	defer w.mu.Unlock()
	w.ended, w.state = ws.now(), done
	told, isTold := errors.AsType[*fault](err)
	switch {
	case err == nil:
	case isTold:
		w.state, w.fault = failed, told
	case w.ctx.Err() != nil:
		w.state = stopped
	default:
		ws.log("the work of %s failed: %v", w.who, err)
		w.state, w.fault = failed, &fault{key: "fault.failed"}
	}
}

// over reports whether nothing more comes of it.
func (w *work) over() bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.state != waits && w.state != runs
}

// end ends a work, in somebody's name.
func (w *work) end(who string) {
	w.mu.Lock()
	if w.stopper == "" && (w.state == waits || w.state == runs) {
		w.stopper = who
	}
	w.mu.Unlock()
	w.cancel()
}

// find gives a work by its id, nil where there is none.
func (ws *works) find(id string) *work {
	ws.mu.Lock()
	defer ws.mu.Unlock()
	for _, w := range ws.all {
		if w.id == id {
			return w
		}
	}
	return nil
}

// list gives those that are of a kind, the newest first.
func (ws *works) list(is func(*work) bool) (out []*work) {
	ws.mu.Lock()
	defer ws.mu.Unlock()
	for _, w := range slices.Backward(ws.all) {
		if is(w) {
			out = append(out, w)
		}
	}
	return out
}

// before gives the piles that are read before one, in order.
func (ws *works) before(w *work) []*work {
	ws.mu.Lock()
	defer ws.mu.Unlock()
	i := slices.Index(ws.reading, w)
	return slices.Clone(ws.reading[:max(i, 0)])
}

// close ends all work and waits for it.
func (ws *works) close() {
	ws.mu.Lock()
	ws.closed = true
	ws.mu.Unlock()
	ws.stop()
	ws.wait.Wait()
}

// glance is a work as it is at a moment, for a page.
type glance struct {
	ID, Who, Stopper string
	Asked, Ended     time.Time
	State            workState
	Fault            *fault
}

// glance needs the lock.
func (w *work) glance() glance {
	return glance{ID: w.id, Who: w.who, Stopper: w.stopper, Asked: w.asked, Ended: w.ended, State: w.state, Fault: w.fault}
}

// Over reports whether nothing more comes of it.
func (g glance) Over() bool { return g.State != waits && g.State != runs }

// followEvery is after how many seconds a page shows what has come of a work since.
const followEvery = "5"

// follow has a browser ask for the page again while a work goes on, unless whoever looks
// wants it to stay as it is.
func (v *visit) follow(g glance) {
	if !g.Over() && !v.Still() {
		v.w.Header().Set("Refresh", followEvery)
	}
}

// Still reports whether the page stays as it is.
func (v *visit) Still() bool { return v.r.URL.Query().Has("still") }
