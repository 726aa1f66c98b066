package main

import (
	"os"
	"runtime"
	"runtime/debug"
)

// earlyGC is the percentage by which memory may grow before it is first collected: 16 MB in place of Go's usual 4. Many
// runs are over by then, and save up to a sixth of their time.
const earlyGC = 400

// collectLate puts the first collection off; from then on memory is collected as ever. It leaves alone whoever has set
// how ($GOGC, $GOMEMLIMIT).
func collectLate() {
	if os.Getenv("GOGC") != "" || os.Getenv("GOMEMLIMIT") != "" {
		return
	}
	usual := debug.SetGCPercent(earlyGC)
	first := new(*int) // nothing holds it: its cleanup runs after the first collection
	runtime.AddCleanup(first, func(usual int) {
		if now := debug.SetGCPercent(usual); now != earlyGC {
			debug.SetGCPercent(now) // set by then for a plan of many sites
		}
	}, usual)
}
