//go:build linux || freebsd

package main

import (
	"fmt"
	"syscall"
)

// leastRoom is how much room for addresses (ulimit -v, setrlimit's RLIMIT_AS) a run takes on a small plan: Go reserves
// a hundred times what it uses. Below half of it, Go ends before it comes to a word of ours; with less than all of it,
// in the middle of a run. Measured with the demonstration on 64 bits.
const leastRoom = 2000 << 20

// checkRoom refuses to begin where the room for addresses does not serve. Where it serves for a small plan and not for
// a large one, Go ends the run with a report of its own, which no program can word.
func checkRoom() error {
	var limit syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_AS, &limit); err != nil {
		return nil
	}
	return checkLimit(uint64(limit.Cur))
}

func checkLimit(room uint64) error {
	if room < leastRoom {
		return fmt.Errorf(
			"found %d MiB of room for addresses (ulimit -v), want %d: a run reserves far more than it uses; "+
				"to bound what it uses, set GOMEMLIMIT, such as GOMEMLIMIT=100MiB", room>>20, uint64(leastRoom)>>20,
		)
	}
	return nil
}
