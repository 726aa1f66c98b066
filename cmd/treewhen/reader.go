package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"treewhen/calendar/planfile"
	"treewhen/cmd/treewhen/demo"
	"treewhen/phenology/problem"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

// reader reads the files of a plan, each once: thousands of sites may share a record.
type reader struct {
	p         *program
	open      func(path string) (io.ReadCloser, error)
	name      func(path string) string
	records   map[recordKey]*weather.Record
	normals   map[recordKey]*weather.Normals
	problems  problem.List
	stdinUsed bool
	cache     string
}

// recordKey is what makes two readings of a file the same.
type recordKey struct {
	path    string
	options weather.Options
}

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

// awaited reads what may keep one waiting, such as a terminal's standard input, until the run is interrupted. A read that
// is under way then goes on behind its back, into a buffer of its own.
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

func (r *reader) demo() (*planfile.Plan, error) {
	r.open = func(path string) (io.ReadCloser, error) { return demo.Files.Open(path) }
	r.name = func(path string) string { return path }
	f, err := r.open(demo.Plan)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return planfile.Read(f, demo.Plan)
}

// plan reads a plan file; files that it names are relative to it.
func (r *reader) plan(path string) (*planfile.Plan, error) {
	dir := "."
	if path != "-" {
		dir = filepath.Dir(path)
	}
	r.name = func(path string) string {
		if path == "-" || filepath.IsAbs(path) {
			return path
		}
		return filepath.Join(dir, path)
	}
	r.open = func(path string) (io.ReadCloser, error) {
		if path == "-" {
			if r.stdinUsed {
				return nil, errors.New("standard input can be read only once")
			}
			r.stdinUsed = true
			return io.NopCloser(awaited{r.p.context(), r.p.stdin}), nil
		}
		f, err := os.Open(r.name(path))
		if err != nil {
			return nil, err
		}
		return interruptible{r.p.context(), f}, nil
	}
	var f io.ReadCloser
	var err error
	if path == "-" {
		f, err = r.open("-")
	} else {
		f, err = os.Open(path)
	}
	if err != nil {
		return nil, problem.OfFile(err)
	}
	defer f.Close()
	return planfile.Read(f, path)
}

// readTable reads the table of sites that the plan names, if it does.
func (in *inputs) readTable(r *reader) error {
	from := in.plan.SitesFrom
	if from == nil {
		return nil
	}
	f, err := r.open(from.Path)
	if err != nil {
		r.problems.Add(in.plan.File, from.Line, "sites_from", "%v", problem.OfFile(err))
		return r.problems.Err()
	}
	defer f.Close()
	name := r.name(from.Path)
	in.files = append(in.files, name)
	return in.plan.AddSites(f, name)
}

// library returns the species: the built-in ones, and over them the user's own.
func (p *program) library(dir string) (*profiles.Library, error) {
	if dir == "" {
		return profiles.Builtin(), nil
	}
	if info, err := os.Stat(dir); err != nil {
		return nil, problem.OfFile(err)
	} else if !info.IsDir() {
		return nil, fmt.Errorf("%s: found a file, want a folder of species profiles", dir)
	}
	return profiles.Read(os.DirFS(dir), dir)
}

// record reads a temperature file, or finds it read.
func (r *reader) record(in *inputs, src planfile.Source) *weather.Record {
	key := recordKey{src.Path.Path, src.Options}
	if rec, ok := r.records[key]; ok {
		return rec
	}
	r.records[key] = nil
	var rec *weather.Record
	if src.Remote {
		rec = r.remote(in, src)
	} else {
		rec = readFile(r, in, src, weather.Read)
	}
	r.records[key] = rec
	if rec != nil {
		for _, w := range rec.Warnings {
			r.p.say("%s", w)
		}
	}
	return rec
}

// monthly reads a file of monthly normals, or finds it read.
func (r *reader) monthly(in *inputs, src planfile.Source) *weather.Normals {
	key := recordKey{src.Path.Path, src.Options}
	n, ok := r.normals[key]
	if !ok {
		n = readFile(r, in, src, weather.ReadNormals)
		if r.normals == nil {
			r.normals = map[recordKey]*weather.Normals{}
		}
		r.normals[key] = n
	}
	if n == nil || src.Elevation == nil {
		return n
	}
	moved := *n
	moved.Station.Elevation = src.Elevation
	return &moved
}

// readFile reads a file that a source names; nil if that cannot be done, which is noted.
func readFile[T any](r *reader, in *inputs, src planfile.Source, read func(io.Reader, string, weather.Options) (*T, error)) *T {
	f, err := r.open(src.Path.Path)
	if err != nil {
		r.problems.Add(in.plan.File, src.Line, "file", "%v", problem.OfFile(err))
		return nil
	}
	defer f.Close()
	name := r.name(src.Path.Path)
	got, err := read(f, name, src.Options)
	if err != nil {
		r.add(name, err)
		return nil
	}
	in.files = append(in.files, name)
	return got
}

// remote fetches a temperature file. What is not as it should be with it is said, and noted for every output.
func (r *reader) remote(in *inputs, src planfile.Source) *weather.Record {
	in.remote = true
	name := shown(src.Path.Path)
	var rec *weather.Record
	stale, err := newFetcher(r.cache).get(r.p.context(), src.Path.Path, func(body io.Reader) (err error) {
		rec, err = weather.Read(body, name, src.Options)
		return err
	})
	var list problem.List
	switch {
	case errors.As(err, &list):
		r.add(name, err)
		return nil
	case err != nil:
		r.problems.Add(in.plan.File, src.Line, "url", "%s: %v", name, err)
		return nil
	}
	if stale != "" {
		r.p.say("%s: %s", name, stale)
		in.notes = append(in.notes, fmt.Sprintf("Temperatures are not the latest: %s: %s.", name, stale))
	}
	return rec
}

// add keeps an error's problems.
func (r *reader) add(name string, err error) {
	var list problem.List
	if errors.As(err, &list) {
		r.problems = append(r.problems, list...)
		return
	}
	r.problems.Add(name, 0, "", "%v", err)
}
