// Package parallel does many independent pieces of work on all cores, and keeps their order.
package parallel

import (
	"context"
	"runtime"
)

// InOrder does n pieces of work on all cores and hands the results on in order, one at a time. No more than a few
// pieces are under way or waiting at once, so memory does not grow with n. It stops at the first error of emit, or when
// ctx ends; work that is under way then goes on behind its back, so that what it reads must not be changed.
func InOrder[T any](ctx context.Context, n int, work func(int) T, emit func(T) error) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	workers := runtime.GOMAXPROCS(0)
	type job struct {
		index int
		done  chan T
	}
	jobs := make(chan job)
	waiting := make(chan chan T, 4*workers)
	for range workers {
		go func() {
			for j := range jobs {
				j.done <- work(j.index)
			}
		}()
	}
	go func() {
		defer close(waiting)
		defer close(jobs)
		for i := range n {
			j := job{i, make(chan T, 1)}
			select {
			case waiting <- j.done:
			case <-ctx.Done():
				return
			}
			select {
			case jobs <- j:
			case <-ctx.Done():
				return
			}
		}
	}()
	for done := range waiting {
		select {
		case result := <-done:
			if err := emit(result); err != nil {
				return err
			}
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	return ctx.Err()
}
