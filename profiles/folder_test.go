package profiles_test

import (
	"errors"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"treewhen/phenology/problem"
	"treewhen/profiles"
)

// shut is a folder one of whose files cannot be opened.
type shut struct {
	fstest.MapFS
	name string
}

func (s shut) Open(name string) (fs.File, error) {
	if name == s.name {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return s.MapFS.Open(name)
}

// A bibliography or a profile that is there and cannot be read is an error that names it, never as good as none.
func TestUnreadableFileOfAFolder(t *testing.T) {
	for _, name := range []string{"sources.yaml", "acer-rubrum.yaml"} {
		_, err := profiles.Read(shut{fstest.MapFS{name: {}}, name}, "own")
		var list problem.List
		if !errors.As(err, &list) || len(list) != 1 || list[0].File != "own/"+name ||
			!strings.Contains(err.Error(), "permission denied") {
			t.Errorf("%s: found %v", name, err)
		}
	}
	if _, err := profiles.Read(fstest.MapFS{}, "own"); err != nil {
		t.Errorf("a folder without a bibliography: %v", err)
	}
}
