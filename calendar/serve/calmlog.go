package serve

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"sync"
	"time"
)

// calmLog writes lines to a log, so many a minute; of the rest it tells how many there were.
type calmLog struct {
	mu    sync.Mutex
	w     io.Writer
	most  int
	since time.Time
	lines int
	left  int
}

// Println writes a text, a line each with the program's name.
func (l *calmLog) Println(text string) { l.Write([]byte(text)) }

// Write is Println for package log.
func (l *calmLog) Write(text []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := time.Now()
	if now.Sub(l.since) >= time.Minute {
		if l.left > 0 {
			fmt.Fprintf(l.w, "treewhen: %d more lines were left out\n", l.left)
		}
		l.since, l.lines, l.left = now, 0, 0
	}
	for line := range strings.Lines(strings.TrimSpace(string(text))) {
		if l.lines >= l.most {
			l.left++
			continue
		}
		l.lines++
		_, err := fmt.Fprintf(l.w, "treewhen: %s\n", strings.TrimSpace(line))
		if err != nil && !errors.Is(err, fs.ErrClosed) {
			return len(text), err
		}
	}
	return len(text), nil
}
