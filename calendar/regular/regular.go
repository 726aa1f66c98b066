// Package regular answers: how is a file opened so that nothing waits for it for ever?
//
// A named pipe keeps whoever opens it waiting until somebody writes to it, a terminal until somebody types, and a tape
// may begin to wind. So files are looked at before they are opened, opened without waiting, and looked at again once
// they are open, since what a name stands for may have changed in between. What is no file is refused by its kind.
package regular

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Open opens a file to read. What is no regular file is refused with an [fs.PathError] that says what was found; a link
// to a file will do.
func Open(path string) (*os.File, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if err := check(path, info); err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path, os.O_RDONLY|withoutWaiting, 0)
	if err != nil {
		return nil, err
	}
	if info, err = f.Stat(); err == nil {
		err = check(path, info)
	}
	if err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}

// check refuses what is no regular file.
func check(path string, info fs.FileInfo) error {
	if info.Mode().IsRegular() {
		return nil
	}
	return &fs.PathError{Op: "open", Path: path, Err: fmt.Errorf("found %s, want a file", kind(info.Mode()))}
}

// kind names what a mode says is there.
func kind(m fs.FileMode) string {
	switch {
	case m.IsDir():
		return "a folder"
	case m&fs.ModeNamedPipe != 0:
		return "a named pipe"
	case m&fs.ModeSocket != 0:
		return "a socket"
	case m&fs.ModeDevice != 0:
		return "a device"
	}
	return "something that is no file"
}

// Folder is [os.DirFS] whose files are opened as [Open] does. Folders in it can be read as well.
func Folder(dir string) fs.FS { return folder{os.DirFS(dir), dir} }

type folder struct {
	fs.FS
	dir string
}

// Open opens a file, or a folder.
func (f folder) Open(name string) (fs.File, error) {
	if !fs.ValidPath(name) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrInvalid}
	}
	path := filepath.Join(f.dir, filepath.FromSlash(name))
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return f.FS.Open(name)
	}
	file, err := Open(path)
	if err != nil {
		return nil, err
	}
	return file, nil
}
