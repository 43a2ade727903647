package desk

import (
	"sync"
	"sync/atomic"
)

// recent keeps what was worked out last, by key. What is asked for by several at a time is
// worked out once.
type recent[K comparable, V any] struct {
	mu   sync.Mutex
	most int
	by   map[K]*once[V]
	keys []K // the oldest first
}

type once[V any] struct {
	sync.Once
	is   V
	err  error
	done atomic.Bool // without an error
}

func newRecent[K comparable, V any](most int) *recent[K, V] {
	return &recent[K, V]{most: most, by: map[K]*once[V]{}}
}

// get gives what is kept, else what f works out. An error is not kept.
func (r *recent[K, V]) get(key K, f func() (V, error)) (V, error) {
	r.mu.Lock()
	is := r.by[key]
	if is == nil {
		is = &once[V]{}
		if len(r.keys) >= r.most {
			delete(r.by, r.keys[0])
			r.keys = r.keys[1:]
		}
		r.by[key], r.keys = is, append(r.keys, key)
	}
	r.mu.Unlock()
	is.Do(func() {
		is.is, is.err = f()
		is.done.Store(is.err == nil)
	})
	if is.err != nil {
		r.mu.Lock()
		for i, k := range r.keys {
			if k == key && r.by[key] == is {
				delete(r.by, key)
				r.keys = append(r.keys[:i:i], r.keys[i+1:]...)
				break
			}
		}
		r.mu.Unlock()
	}
	return is.is, is.err
}

// kept gives what is kept already.
func (r *recent[K, V]) kept(key K) (is V, ok bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if o := r.by[key]; o != nil && o.done.Load() {
		return o.is, true
	}
	return is, false
}
