package cli

import (
	"runtime"
	"runtime/debug"
)

// memoryGoal is what a run may take before the collector is asked to work harder:
// with the program itself that is below 100 MB.
const memoryGoal = 72 << 20

// boundMemory lets the collector work seldom and keeps what is in use near the
// goal, or near twice what a large site takes by itself. It gives what sets things
// back.
func boundMemory() (restore func()) {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	percent := debug.SetGCPercent(400)
	limit := debug.SetMemoryLimit(max(memoryGoal, int64(2*m.HeapAlloc)))
	return func() {
		debug.SetGCPercent(percent)
		debug.SetMemoryLimit(limit)
	}
}
