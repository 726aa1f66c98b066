package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// output writes a result to standard output or, whole or not at all, to a file.
func (p *program) output(path string, inputs []string, write func(io.Writer) error) error {
	if path == "" || path == "-" {
		w := bufio.NewWriter(p.stdout)
		if err := write(w); err != nil {
			return err
		}
		return w.Flush()
	}
	for _, in := range inputs {
		if sameFile(in, path) {
			return usagef("--out %s would write over a file that was read, want another", path)
		}
	}
	f, err := stageBy(path, func(w io.Writer) error {
		buffered := bufio.NewWriter(w) // not the whole in memory: a grid's table is hundreds of megabytes
		if err := write(buffered); err != nil {
			return err
		}
		return buffered.Flush()
	})
	if err != nil {
		return err
	}
	return f.put()
}

func sameFile(a, b string) bool {
	ai, errA := os.Stat(a)
	bi, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(ai, bi)
}

// replaceFile puts a file in place whole or not at all.
func replaceFile(path string, data []byte) error {
	f, err := stageFile(path, data)
	if err != nil {
		return err
	}
	return f.put()
}

// stagedFile is a file that is written, synced and closed beside the one that it is to replace.
type stagedFile struct{ path, beside string }

// stageFile writes what is to replace a file into a new one in the same folder, with the old one's mode.
func stageFile(path string, data []byte) (stagedFile, error) {
	return stageBy(path, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

// stageBy is [stageFile] with what write writes. An error of write leaves nothing.
func stageBy(path string, write func(io.Writer) error) (staged stagedFile, err error) {
	mode := os.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		if !info.Mode().IsRegular() {
			return staged, fmt.Errorf("%s: found something that is no file, want a file to replace", path)
		}
		mode = info.Mode().Perm()
	}
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return staged, plain(err)
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
			err = plain(err)
		}
	}()
	if err = write(f); err != nil {
		return staged, err
	}
	if err = f.Chmod(mode); err != nil {
		return staged, err
	}
	if err = f.Sync(); err != nil {
		return staged, err
	}
	if err = f.Close(); err != nil {
		return staged, err
	}
	return stagedFile{path, f.Name()}, nil
}

// put renames the file over the one that it replaces.
func (f stagedFile) put() error {
	if err := os.Rename(f.beside, f.path); err != nil {
		f.drop()
		return plain(err)
	}
	return nil
}

// drop takes the file away again; after put there is nothing to take.
func (f stagedFile) drop() { os.Remove(f.beside) }
