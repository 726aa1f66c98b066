package main

import (
	"bufio"
	"context"
	"io"
	"os"

	"github.com/spf13/pflag"

	"treewhen/calendar/staging"
	"treewhen/phenology/problem"
)

// addOut adds the option that names where a result goes.
func addOut(fs *pflag.FlagSet, path *string) {
	fs.StringVar(path, "out", "", "write to this `FILE` instead of standard output")
}

// output writes a result to standard output or, whole or not at all, to a file.
func (p *program) output(ctx context.Context, path string, inputs []string, write func(io.Writer) error) error {
	if path == "" || path == "-" {
		w := bufio.NewWriter(untilDone{ctx, p.stdout})
		if err := write(w); err != nil {
			return err
		}
		return w.Flush()
	}
	for _, in := range inputs {
		if sameFile(in, path) {
			return problem.Usagef("--out %s would write over a file that was read, want another", path)
		}
	}
	var files staging.Files
	defer files.Drop()
	err := files.AddBy(path, func(w io.Writer) error {
		// not the whole in memory: a grid's table is hundreds of megabytes
		buffered := bufio.NewWriter(untilDone{ctx, w})
		if err := write(buffered); err != nil {
			return err
		}
		return buffered.Flush()
	})
	if err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	return files.Put()
}

// untilDone writes until a run is interrupted.
type untilDone struct {
	ctx context.Context
	w   io.Writer
}

func (u untilDone) Write(b []byte) (int, error) {
	if err := u.ctx.Err(); err != nil {
		return 0, err
	}
	return u.w.Write(b)
}

func sameFile(a, b string) bool {
	ai, errA := os.Stat(a)
	bi, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(ai, bi)
}
