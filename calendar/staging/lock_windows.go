package staging

import (
	"errors"
	"io/fs"
	"sync"
	"syscall"
)

// Of the Windows API: CreateFile, and the system's error codes.
const (
	deleteOnClose    = 0x04000000
	sharingViolation = syscall.Errno(32)
)

// tryLock opens a file that nobody else may open meanwhile, and that goes when it is closed.
func tryLock(path string) (release func(), err error) {
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: path, Err: err}
	}
	h, err := syscall.CreateFile(
		name, syscall.GENERIC_READ|syscall.GENERIC_WRITE, 0, nil, syscall.OPEN_ALWAYS,
		syscall.FILE_ATTRIBUTE_NORMAL|deleteOnClose, 0,
	)
	switch {
	case errors.Is(err, sharingViolation), errors.Is(err, syscall.ERROR_ACCESS_DENIED): // the second while it is going
		return nil, ErrLocked
	case err != nil:
		return nil, &fs.PathError{Op: "open", Path: path, Err: err}
	}
	return sync.OnceFunc(func() { syscall.CloseHandle(h) }), nil
}

func noLocks(error) bool { return false }
