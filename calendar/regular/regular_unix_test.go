//go:build unix

package regular_test

import (
	"errors"
	"io"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"treewhen/calendar/regular"
)

// Whatever stands where a file should is refused at once, with its kind, from a folder as by its path.
func TestOpen(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	for _, err := range []error{
		os.WriteFile(at("file"), []byte("as it is"), 0o644), os.Symlink("file", at("link")), os.Mkdir(at("folder"), 0o755),
		syscall.Mkfifo(at("pipe"), 0o644), os.Symlink("pipe", at("to-pipe")), os.Symlink("nowhere", at("dangling")),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	l, err := net.Listen("unix", at("socket"))
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	own := regular.Folder(dir)
	for name, want := range map[string]string{
		"file": "", "link": "", "folder": "found a folder, want a file", "pipe": "found a named pipe, want a file",
		"to-pipe": "found a named pipe, want a file", "socket": "found a socket, want a file",
		"dangling": "no such file", "nothing": "no such file",
	} {
		f, err := regular.Open(at(name))
		if want == "" {
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			data, err := io.ReadAll(f)
			if f.Close(); string(data) != "as it is" || err != nil {
				t.Errorf("%s: found %q, %v", name, data, err)
			}
			continue
		}
		var path *fs.PathError
		if !errors.As(err, &path) || path.Path != at(name) || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: found %v, want %q", name, err, want)
		}
		if name == "folder" {
			continue
		}
		if _, err := own.Open(name); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s in a folder: found %v, want %q", name, err, want)
		}
	}
	if _, err := regular.Open(os.DevNull); err == nil || !strings.Contains(err.Error(), "found a device, want a file") {
		t.Errorf("%s: found %v", os.DevNull, err)
	}
	if data, err := fs.ReadFile(own, "link"); string(data) != "as it is" || err != nil {
		t.Errorf("found %q, %v", data, err)
	}
	if list, err := fs.ReadDir(own, "."); len(list) != 7 || err != nil {
		t.Errorf("found %v, %v", list, err)
	}
	if _, err := own.Open("../file"); err == nil {
		t.Error("opened a file outside the folder")
	}
}

// What a name stands for may change between the look and the opening: a pipe in the place of a file is refused, not
// waited for.
func TestOpenWhileItChanges(t *testing.T) {
	path := filepath.Join(t.TempDir(), "file")
	stop, done := make(chan bool), make(chan bool)
	go func() {
		defer close(done)
		for {
			select {
			case <-stop:
				return
			default:
			}
			os.WriteFile(path+"-", nil, 0o644)
			os.Rename(path+"-", path)
			syscall.Mkfifo(path+"-", 0o644)
			os.Rename(path+"-", path)
		}
	}()
	for range 5000 {
		if f, err := regular.Open(path); err == nil {
			f.Close()
		} else if !strings.Contains(err.Error(), "named pipe") && !errors.Is(err, fs.ErrNotExist) {
			t.Fatal(err)
		}
	}
	close(stop)
	<-done
}
