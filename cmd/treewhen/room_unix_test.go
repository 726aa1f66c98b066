//go:build linux || freebsd

package main

import (
	"math"
	"strings"
	"testing"
)

// Too little room for addresses is told in a line; no bound, and one that serves, are none.
func TestRoom(t *testing.T) {
	if err := checkLimit(1000 << 20); err == nil || !strings.HasPrefix(err.Error(), "found 1000 MiB of room for addresses (ulimit -v)") {
		t.Errorf("found %v", err)
	}
	for _, room := range []uint64{leastRoom, 1 << 40, math.MaxUint64, math.MaxInt64} {
		if err := checkLimit(room); err != nil {
			t.Errorf("%d: %v", room, err)
		}
	}
}
