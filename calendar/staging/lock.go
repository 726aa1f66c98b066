package staging

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"time"

	"treewhen/phenology/problem"
)

// lockName is the hidden file by which a folder is locked. It is taken away with the lock; what a killed run leaves of
// it locks nothing.
const lockName = ".treewhen.lock"

// lockLook is how often a locked folder is looked at.
const lockLook = 20 * time.Millisecond

// ErrLocked is the error of [Lock] for a folder that another run holds.
var ErrLocked = errors.New("found another run of treewhen at work in this folder, want one at a time: " +
	"what one of them reads there, another may be writing anew")

// Lock keeps other runs out of a folder, so that what is read there is what is replaced. It waits for one that is
// there, up to patience and as long as ctx lasts; the error is then [ErrLocked], with the folder. The system takes the
// lock of a run that is killed. Where files cannot be made, nothing can be written either, and where the file system
// has no locks there is none to be had: then other runs are not kept out, and release does nothing. Release may be
// called again.
//
// On Unix it is the lock of flock(2) on a file in the folder, on Windows a file that is opened for one alone.
func Lock(ctx context.Context, dir string, patience time.Duration) (release func(), err error) {
	path := filepath.Join(dir, lockName)
	end := time.Now().Add(patience)
	for {
		release, err := tryLock(path)
		switch {
		case err == nil:
			return release, nil
		case cannotLock(err):
			return func() {}, nil
		case !errors.Is(err, ErrLocked):
			return nil, problem.OfFile(err)
		case !time.Now().Before(end):
			return nil, fmt.Errorf("%s: %w", dir, ErrLocked)
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(lockLook):
		}
	}
}

// cannotLock reports whether an error says that a folder cannot be locked, rather than that it is.
func cannotLock(err error) bool {
	return errors.Is(err, fs.ErrPermission) || errors.Is(err, errors.ErrUnsupported) || noLocks(err)
}

// Lock locks a folder for as long as the files are held: see the function [Lock]. [Files.Drop] takes the lock away.
func (s *Files) Lock(ctx context.Context, dir string, patience time.Duration) error {
	release, err := Lock(ctx, dir, patience)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		release()
		return ErrDropped
	}
	s.locks = append(s.locks, release)
	return nil
}
