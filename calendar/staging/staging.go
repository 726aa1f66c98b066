// Package staging answers: how do files take their places, all of them or none?
//
//	var files staging.Files
//	defer files.Drop()
//	if err := files.Add("a.ics", a); err != nil {
//		return err
//	}
//	if err := files.Add("b.ics", b); err != nil {
//		return err
//	}
//	return files.Put()
//
// A file is written, synced and closed beside the one that it is to replace, under a hidden name of its own, and
// renamed over it: a reader sees the old bytes or the new, never half of each. A full disk, an error or an interruption
// before [Files.Put] changes nothing. What killed runs left behind is taken away by later ones, a day on.
package staging

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"sync"
	"syscall"
	"time"

	"treewhen/phenology/problem"
)

// Files are files on the way to their places. The zero value holds none. Files may be added by several goroutines.
// Whoever makes one drops it at the end; what is in place by then stays.
type Files struct {
	busy sync.RWMutex // held to write while no file is being added

	mu     sync.Mutex
	closed bool
	files  []stagedFile
	swept  []string // folders that staged files are in, without what earlier runs left
	made   []string // folders that were not there before
	locks  []func() // take them away: see [Files.Lock]
}

// stagedFile is a file that lies beside the one that it is to replace.
type stagedFile struct{ path, beside string }

// ErrDropped is returned for files that come when all has been dropped: their run is over.
var ErrDropped = errors.New("the run is over")

// Replace puts one file in place whole or not at all. A file that was there before keeps its mode; a new one has 0644.
func Replace(path string, data []byte) error {
	var s Files
	defer s.Drop()
	if err := s.Add(path, data); err != nil {
		return err
	}
	return s.Put()
}

// Add writes what is to replace a file, or to be a new one, beside it. Its folder must be there: see
// [Files.MakeFolder].
func (s *Files) Add(path string, data []byte) error {
	return s.AddBy(path, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

// AddBy is [Files.Add] with what write writes, for results too large to hold in memory. An error of write leaves
// nothing.
func (s *Files) AddBy(path string, write func(io.Writer) error) error {
	s.busy.RLock()
	defer s.busy.RUnlock()
	if !s.begin(filepath.Dir(path)) {
		return ErrDropped
	}
	f, err := stage(path, write)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.files = append(s.files, f)
	return nil
}

// begin reports whether a file may still be added. It sweeps a folder the first time that one is staged in it.
func (s *Files) begin(dir string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.closed && !slices.Contains(s.swept, dir) {
		s.swept = append(s.swept, dir)
		sweep(dir, time.Now())
	}
	return !s.closed
}

// MakeFolder makes a folder, and those above it, that are taken away again if nothing is put into them.
func (s *Files) MakeFolder(dir string) error {
	s.busy.RLock()
	defer s.busy.RUnlock()
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return ErrDropped
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
		return problem.OfFile(err)
	}
	return nil
}

// Put renames the files over those that they replace, in the order in which they were added. It goes on to the end even
// if the run is interrupted: it takes a moment, and some files new and some old would be the worst of both.
func (s *Files) Put() error {
	s.busy.Lock()
	defer s.busy.Unlock()
	s.made = nil
	for len(s.files) > 0 {
		f := s.files[0]
		if err := os.Rename(f.beside, f.path); err != nil {
			return problem.OfFile(err)
		}
		s.files = s.files[1:]
	}
	return nil
}

// Drop takes away what has not been put and the locks, waits for what is being added, and lets nothing more be added.
func (s *Files) Drop() {
	s.mu.Lock()
	s.closed = true
	s.mu.Unlock()
	s.busy.Lock() // what is being written ends first
	defer s.busy.Unlock()
	for _, f := range s.files {
		os.Remove(f.beside)
	}
	s.files = nil
	for _, release := range s.locks {
		release()
	}
	s.locks = nil
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
		return staged, problem.OfFile(err)
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
			err = problem.OfFile(err)
		}
	}()
	if err = write(f); err == nil {
		err = f.Chmod(mode)
	}
	if err == nil {
		err = f.Sync()
	}
	if err == nil {
		err = f.Close()
	}
	return stagedFile{path, f.Name()}, err
}

// stagedName is the pattern of the name of a file that a process stages: ".NAME.treewhen-PROCESS-RANDOM".
func stagedName(base string, process int) string {
	return fmt.Sprintf(".%s.treewhen-%d-*", base, process)
}

var stagedNames = regexp.MustCompile(`^\..+\.treewhen-([0-9]+)-[0-9]+$`)

// leftFor is how old a staged file must be to be taken for one that a killed run left behind. A run that is under way
// on another machine, on a folder that both share, stages its files hours before they take their places at most.
const leftFor = 24 * time.Hour

// sweep takes away the staged files that earlier runs left in a folder when they were killed: those of that name alone,
// a day old, and of no process that is alive here. What cannot be looked at or taken away stays.
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
