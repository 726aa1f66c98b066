package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"sync"
	"syscall"
	"time"
)

// staging holds files that are written, synced and closed beside those that they are to replace, until all take their
// places or none does: a full disk, an error or an interruption on the way changes nothing. Files may be added by several
// goroutines. Whoever makes one drops it at the end; what is in place by then stays.
type staging struct {
	busy sync.RWMutex // held to write while no file is being added

	mu      sync.Mutex
	closed  bool
	files   []stagedFile
	folders map[string]bool // that staged files are in, swept of what earlier runs left
	made    []string        // folders that were not there before
}

// stagedFile is a file that lies beside the one that it is to replace.
type stagedFile struct{ path, beside string }

// errDropped is returned for files that come when all has been dropped: their run is over.
var errDropped = errors.New("the run is over")

// replaceFile puts a file in place whole or not at all.
func replaceFile(path string, data []byte) error {
	var s staging
	defer s.drop()
	if err := s.add(path, data); err != nil {
		return err
	}
	return s.put()
}

// add writes what is to replace a file, or to be a new one.
func (s *staging) add(path string, data []byte) error {
	return s.addBy(path, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

// addBy is [staging.add] with what write writes. An error of write leaves nothing.
func (s *staging) addBy(path string, write func(io.Writer) error) error {
	s.busy.RLock()
	defer s.busy.RUnlock()
	if s.isClosed() {
		return errDropped
	}
	s.sweepOnce(filepath.Dir(path))
	f, err := stage(path, write)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.files = append(s.files, f)
	return nil
}

func (s *staging) isClosed() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.closed
}

// sweepOnce sweeps a folder the first time that a file is staged in it.
func (s *staging) sweepOnce(dir string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.folders[dir] {
		if s.folders == nil {
			s.folders = map[string]bool{}
		}
		s.folders[dir] = true
		sweep(dir, time.Now())
	}
}

// makeFolder makes a folder, and those above it, that are taken away again if nothing is put into them.
func (s *staging) makeFolder(dir string) error {
	s.busy.RLock()
	defer s.busy.RUnlock()
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return errDropped
	}
	var missing []string // the deepest first
	for d := dir; ; d = filepath.Dir(d) {
		if _, err := os.Stat(d); !errors.Is(err, os.ErrNotExist) || d == filepath.Dir(d) {
			break
		}
		missing = append(missing, d)
	}
	err := os.MkdirAll(dir, 0o755)
	s.made = append(missing, s.made...)
	if err != nil {
		return plain(err)
	}
	return nil
}

// put renames the files over those that they replace, in the order in which they were added. It goes on to the end even if
// the run is interrupted: it takes a moment, and some files new and some old would be the worst of both.
func (s *staging) put() error {
	s.busy.Lock()
	defer s.busy.Unlock()
	s.made = nil
	for len(s.files) > 0 {
		f := s.files[0]
		if err := os.Rename(f.beside, f.path); err != nil {
			return plain(err)
		}
		s.files = s.files[1:]
	}
	return nil
}

// drop takes away what has not been put, and lets nothing more be added.
func (s *staging) drop() {
	s.mu.Lock()
	s.closed = true
	s.mu.Unlock()
	s.busy.Lock() // what is being written ends first
	defer s.busy.Unlock()
	for _, f := range s.files {
		os.Remove(f.beside)
	}
	s.files = nil
	for _, dir := range s.made {
		os.Remove(dir) // unless something is in it
	}
	s.made = nil
}

// stage writes what is to replace a file into a new one in the same folder, with the old one's mode.
func stage(path string, write func(io.Writer) error) (staged stagedFile, err error) {
	mode := os.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		if !info.Mode().IsRegular() {
			return staged, fmt.Errorf("%s: found something that is no file, want a file to replace", path)
		}
		mode = info.Mode().Perm()
	}
	f, err := os.CreateTemp(filepath.Dir(path), stagedName(filepath.Base(path), os.Getpid()))
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

// stagedName is the pattern of the name of a file that a process stages: ".NAME.treewhen-PROCESS-RANDOM".
func stagedName(base string, process int) string {
	return fmt.Sprintf(".%s.treewhen-%d-*", base, process)
}

var stagedNames = regexp.MustCompile(`^\..+\.treewhen-([0-9]+)-[0-9]+$`)

// leftFor is how old a staged file must be to be taken for one that a killed run left behind. A run that is under way on
// another machine, on a folder that both share, stages its files hours before they take their places at most.
const leftFor = 24 * time.Hour

// sweep takes away the staged files that earlier runs left in a folder when they were killed: those of that name alone, a
// day old, and of no process that is alive here. What cannot be looked at or taken away stays.
func sweep(dir string, now time.Time) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		m := stagedNames.FindStringSubmatch(e.Name())
		if m == nil || !e.Type().IsRegular() {
			continue
		}
		info, err := e.Info()
		if err != nil || now.Sub(info.ModTime()) < leftFor {
			continue
		}
		if process, err := strconv.Atoi(m[1]); err != nil || alive(process) {
			continue
		}
		os.Remove(filepath.Join(dir, e.Name()))
	}
}

// alive reports whether a process runs on this machine, or may: where that cannot be known, it does.
func alive(process int) bool {
	p, err := os.FindProcess(process)
	if err != nil {
		return false
	}
	defer p.Release()
	err = p.Signal(syscall.Signal(0))
	return !errors.Is(err, os.ErrProcessDone) && !errors.Is(err, syscall.ESRCH)
}
