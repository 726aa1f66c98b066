package main

import (
	"fmt"
	"os"
	"strings"
	"sync"
	"time"
)

// progress is a line on standard error that tells how far a long piece of work is and how long it has still to go,
// where that is a terminal.
type progress struct {
	mu      sync.Mutex
	p       *program
	what    string
	width   int
	on      bool
	now     func() time.Time
	started time.Time
	written time.Time
}

func (p *program) progress(what string) *progress {
	f, isFile := p.stderr.(*os.File)
	l := &progress{p: p, what: what, on: isFile && isTerminal(f) && os.Getenv("TERM") != "dumb", now: time.Now}
	l.started = l.now()
	return l
}

// often is how soon the line is written again: what changes faster nobody can read. What is done before soon is not
// told.
const (
	often = 100 * time.Millisecond
	soon  = 300 * time.Millisecond
)

// update rewrites the line.
func (l *progress) update(done, of int) {
	if !l.on {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	if now.Sub(l.started) < soon || done < of && now.Sub(l.written) < often {
		return
	}
	l.written = now
	text := fmt.Sprintf("treewhen: %s: %d of %d%s", l.what, done, of, timeLeft(now.Sub(l.started), done, of))
	fmt.Fprintf(l.p.stderr, "\r%-*s", l.width, text)
	l.width = len(text)
}

// timeLeft says how much longer work takes that goes on as it has; nothing in its first seconds, which tell little.
func timeLeft(spent time.Duration, done, of int) string {
	if spent < 2*time.Second || done <= 0 || done >= of {
		return ""
	}
	left := time.Duration(float64(spent) / float64(done) * float64(of-done))
	switch {
	case left < time.Minute:
		return fmt.Sprintf(", %d s left", int(left.Seconds())+1)
	case left < time.Hour:
		return fmt.Sprintf(", %d min left", int(left.Minutes())+1)
	default:
		return fmt.Sprintf(", %.1f h left", left.Hours())
	}
}

// end wipes the line.
func (l *progress) end() {
	if l.on && l.width > 0 {
		fmt.Fprintf(l.p.stderr, "\r%s\r", strings.Repeat(" ", l.width))
	}
}
