package inputs

import (
	"context"
	"io"
)

// interruptible reads a file until the run is interrupted, however long the file is.
type interruptible struct {
	ctx context.Context
	io.ReadCloser
}

func (i interruptible) Read(b []byte) (int, error) {
	if err := i.ctx.Err(); err != nil {
		return 0, err
	}
	return i.ReadCloser.Read(b)
}

// Awaited reads what may keep one waiting until ctx ends.
func Awaited(ctx context.Context, r io.Reader) io.Reader { return awaited{ctx, r} }

// awaited reads what may keep one waiting, such as a terminal's standard input, until the run is interrupted. A read
// that is under way then goes on behind its back, into a buffer of its own.
type awaited struct {
	ctx context.Context
	r   io.Reader
}

func (a awaited) Read(b []byte) (int, error) {
	type result struct {
		data []byte
		err  error
	}
	done := make(chan result, 1)
	go func() {
		own := make([]byte, len(b))
		n, err := a.r.Read(own)
		done <- result{own[:n], err}
	}()
	select {
	case got := <-done:
		return copy(b, got.data), got.err
	case <-a.ctx.Done():
		return 0, a.ctx.Err()
	}
}
