//go:build unix

package main

import (
	"bytes"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// asProcess runs the program as a process of its own: the tests' binary under the name by which it is the program.
func asProcess(t *testing.T, dir string, args ...string) *exec.Cmd {
	t.Helper()
	path, err := exec.LookPath("treewhen")
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(path, args...)
	c.Dir = dir
	return c
}

// However a run is asked to end, it ends with status 1 and leaves no staged file, no lock and no folder behind.
func TestSignalsLeaveNothingBehind(t *testing.T) {
	for _, s := range []syscall.Signal{syscall.SIGHUP, syscall.SIGTERM, syscall.SIGINT} {
		dir := t.TempDir()
		var said bytes.Buffer
		c := asProcess(t, dir, "feed", "--out", "out")
		c.Stderr = &said
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		waitForWriting(filepath.Join(dir, "out"), 30*time.Second) // the lock, or the first staged file
		c.Process.Signal(s)
		c.Wait()
		if code := c.ProcessState.ExitCode(); code == exitDone {
			t.Logf("%v: too late", s)
		} else if left, _ := os.ReadDir(dir); code != exitFailed || len(left) > 0 || !strings.Contains(said.String(), "interrupted") {
			t.Errorf("%v: status %d, left %v\n%s", s, code, left, &said)
		}
	}
}

// A run that waits for its input ends all the same, and so does one that is started to outlive its terminal.
func TestSignalsWhileWaiting(t *testing.T) {
	for _, row := range []struct {
		name string
		args []string
		end  syscall.Signal
	}{
		{"a plan on standard input", []string{"check", "-"}, syscall.SIGTERM},
		{"a terminal that has gone", []string{"check", "-"}, syscall.SIGHUP},
	} {
		if signal.Ignored(row.end) {
			continue // these tests were started to outlive their terminal, and so is what they start
		}
		r, w, err := os.Pipe()
		if err != nil {
			t.Fatal(err)
		}
		c := asProcess(t, t.TempDir(), row.args...)
		c.Stdin = r
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		ended := make(chan error, 1)
		go func() { ended <- c.Wait() }()
		time.Sleep(300 * time.Millisecond)
		c.Process.Signal(row.end)
		select {
		case <-ended:
			if code := c.ProcessState.ExitCode(); code != exitFailed {
				t.Errorf("%s: status %d", row.name, code)
			}
		case <-time.After(30 * time.Second):
			c.Process.Kill()
			t.Errorf("%s: it does not end", row.name)
		}
		r.Close()
		w.Close()
	}
}
