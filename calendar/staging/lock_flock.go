//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package staging

import (
	"errors"
	"io/fs"
	"os"
	"sync"
	"syscall"
)

// tryLock locks a file, and makes it if it is not there.
func tryLock(path string) (release func(), err error) {
	// Whoever may write to the folder may lock it, also where another user's killed run has left the file.
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|syscall.O_NONBLOCK|syscall.O_NOFOLLOW, 0o666)
	if errors.Is(err, fs.ErrPermission) {
		f, err = os.OpenFile(path, os.O_RDONLY|syscall.O_NONBLOCK|syscall.O_NOFOLLOW, 0)
	}
	if err != nil {
		return nil, err
	}
	for {
		err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		if !errors.Is(err, syscall.EINTR) {
			break
		}
	}
	if err == nil {
		// Who held it before may have taken the file away: then what is locked is no file of the folder.
		mine, errMine := f.Stat()
		there, errThere := os.Stat(path)
		if errMine == nil && errThere == nil && os.SameFile(mine, there) {
			return sync.OnceFunc(func() {
				os.Remove(path) // while it is locked, so that it is ours
				f.Close()
			}), nil
		}
		err = ErrLocked
	}
	f.Close()
	if errors.Is(err, syscall.EWOULDBLOCK) {
		err = ErrLocked
	}
	return nil, err
}

// noLocks reports whether a file system has no locks, or takes no new files.
func noLocks(err error) bool {
	for _, e := range []error{syscall.ENOLCK, syscall.ENOSYS, syscall.EBADF, syscall.EROFS, syscall.EOPNOTSUPP} {
		if errors.Is(err, e) {
			return true
		}
	}
	return false
}
