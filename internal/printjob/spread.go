package printjob

import (
	"context"
	"runtime"
	"sync"
)

// spread does n things, as many at a time as there are workers, and hands each
// result on in order, one after another. Only a few results wait in memory. It
// stops at the first error, or when ctx ends, after what is in hand.
func spread[T any](ctx context.Context, workers, n int, do func(i int) (T, error), each func(T) error) error {
	type slot struct {
		result T
		err    error
		done   chan struct{}
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	slots := make(chan *slot, workers+1) // in order; its length bounds what waits in memory
	work := make(chan func())
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for do := range work {
				do()
			}
		})
	}
	go func() {
		defer close(slots)
		defer close(work)
		for i := range n {
			s := &slot{done: make(chan struct{})}
			select {
			case <-ctx.Done():
				return
			case slots <- s:
			}
			work <- func() {
				defer close(s.done)
				s.result, s.err = do(i)
			}
		}
	}()
	var first error
	for s := range slots {
		<-s.done
		if first != nil {
			continue
		}
		if first = s.err; first == nil {
			first = each(s.result)
		}
		if first != nil {
			cancel()
		}
	}
	wg.Wait()
	if first == nil {
		first = ctx.Err()
	}
	return first
}
