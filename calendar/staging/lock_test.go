package staging

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// One run at a time is let into a folder; who comes while it is there waits, or is told so with the folder's name. Nothing
// of the lock stays.
func TestLock(t *testing.T) {
	dir := t.TempDir()
	release, err := Lock(t.Context(), dir, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Lock(t.Context(), dir, 0); !errors.Is(err, ErrLocked) || !strings.HasPrefix(err.Error(), dir+": found another") {
		t.Errorf("found %v, want the folder to be locked", err)
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := Lock(ctx, dir, time.Hour); !errors.Is(err, context.Canceled) {
		t.Errorf("interrupted: found %v", err)
	}
	if other, err := Lock(t.Context(), t.TempDir(), 0); err != nil {
		t.Errorf("another folder: %v", err)
	} else {
		other()
	}
	go func() {
		time.Sleep(3 * lockLook)
		release()
	}()
	again, err := Lock(t.Context(), dir, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	release() // once more is no matter
	if _, err := Lock(t.Context(), dir, 0); !errors.Is(err, ErrLocked) {
		t.Errorf("found %v, want the folder to be locked by the second", err)
	}
	again()
	if got := names(t, dir); len(got) != 0 {
		t.Errorf("found %q, want an empty folder", got)
	}
	// What a killed run left locks nothing.
	if err := os.WriteFile(filepath.Join(dir, lockName), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	var files Files
	if err := files.Lock(t.Context(), dir, 0); err != nil {
		t.Errorf("a file left behind: %v", err)
	}
	files.Drop()
	if got := names(t, dir); len(got) != 0 {
		t.Errorf("found %q, want an empty folder", got)
	}
	if _, err := Lock(t.Context(), filepath.Join(dir, "nowhere"), 0); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("no folder: found %v", err)
	}
}

// Many at once: a counter in a file, read and written under the lock, loses nothing.
func TestLockLosesNothing(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "count")
	const writers, rounds = 8, 25
	var wait sync.WaitGroup
	for range writers {
		wait.Go(func() {
			for range rounds {
				release, err := Lock(t.Context(), dir, time.Minute)
				if err != nil {
					t.Error(err)
					return
				}
				old, _ := os.ReadFile(path)
				if err := os.WriteFile(path, append(slices.Clone(old), '.'), 0o644); err != nil {
					t.Error(err)
				}
				release()
			}
		})
	}
	wait.Wait()
	if data, _ := os.ReadFile(path); len(data) != writers*rounds {
		t.Errorf("found %d rounds, want %d", len(data), writers*rounds)
	}
}
