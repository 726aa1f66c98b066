package parallel

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"
)

// Results come in the order of the work, an error of the taker ends it, and so does the context.
func TestInOrder(t *testing.T) {
	var running, most atomic.Int32
	var got []int
	err := InOrder(context.Background(), 500, func(i int) int {
		most.Store(max(most.Load(), running.Add(1)))
		defer running.Add(-1)
		return i * i
	}, func(x int) error {
		got = append(got, x)
		return nil
	})
	if err != nil || len(got) != 500 {
		t.Fatalf("%d results, %v", len(got), err)
	}
	for i, x := range got {
		if x != i*i {
			t.Fatalf("result %d is %d, out of order", i, x)
		}
	}
	full := errors.New("the disk is full")
	n := 0
	if err := InOrder(context.Background(), 500, func(i int) int { return i }, func(int) error {
		if n++; n == 3 {
			return full
		}
		return nil
	}); !errors.Is(err, full) || n != 3 {
		t.Errorf("after %d results: %v, want the third's error", n, err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if err := InOrder(ctx, 500, func(i int) int { return i }, func(int) error { return nil }); err == nil {
		t.Error("it went on after the context ended")
	}
}
