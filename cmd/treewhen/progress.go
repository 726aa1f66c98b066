package main

import (
	"fmt"
	"os"
	"strings"
	"sync"
)

// progress is a line on standard error that tells how far a long piece of work is, where that is a terminal.
type progress struct {
	mu    sync.Mutex
	p     *program
	what  string
	width int
	on    bool
}

func (p *program) progress(what string) *progress {
	f, isFile := p.stderr.(*os.File)
	return &progress{p: p, what: what, on: isFile && isTerminal(f) && os.Getenv("TERM") != "dumb"}
}

// update rewrites the line.
func (l *progress) update(done, of int) {
	if !l.on {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	text := fmt.Sprintf("treewhen: %s: %d of %d", l.what, done, of)
	fmt.Fprintf(l.p.stderr, "\r%-*s", l.width, text)
	l.width = len(text)
}

// end wipes the line.
func (l *progress) end() {
	if l.on && l.width > 0 {
		fmt.Fprintf(l.p.stderr, "\r%s\r", strings.Repeat(" ", l.width))
	}
}
