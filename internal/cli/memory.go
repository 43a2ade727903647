package cli

import (
	"runtime"
	"runtime/debug"
)

// memoryGoal is what a run may take before the collector is asked to work harder:
// with the program itself that is below 100 MB.
const memoryGoal = 72 << 20

// boundMemory lets the collector work seldom and keeps what is in use near the
// goal. It is asked for before a site is read, which makes many small things: a
// week of 300 jobs so takes a thirtieth less time. It gives what sets things back.
func boundMemory() (restore func()) {
	percent := debug.SetGCPercent(400)
	limit := debug.SetMemoryLimit(memoryGoal)
	return func() {
		debug.SetGCPercent(percent)
		debug.SetMemoryLimit(limit)
	}
}

// roomForSite raises the goal, once a site is read, to near twice what it takes by
// itself: else the collector would never rest with a large one.
func roomForSite() {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	if 2*m.HeapAlloc <= memoryGoal {
		return
	}
	runtime.GC()
	runtime.ReadMemStats(&m)
	debug.SetMemoryLimit(max(memoryGoal, int64(2*m.HeapAlloc)))
}

// roomForList raises the goal while a large list is read and held against the
// records: near the goal the collector would take most of the time. It gives what
// sets it back.
func roomForList(bytes int) (restore func()) {
	if bytes < 256<<10 {
		return func() {}
	}
	limit := debug.SetMemoryLimit(240 << 20)
	return func() { debug.SetMemoryLimit(limit) }
}
