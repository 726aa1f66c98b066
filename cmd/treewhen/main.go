// Command treewhen works out when trees do things, and puts that on the calendars of the people who must be there.
//
// See the README for what it is for, and "treewhen help" for how it is used.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"strings"
	"syscall"
	"time"
	_ "time/tzdata" // time zones also where the machine has none

	"treewhen/calendar/fetch"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

func main() {
	if err := checkRoom(); err != nil { // before anything takes some of it
		fmt.Fprintf(os.Stderr, "treewhen: %v\n", err)
		os.Exit(exitFailed)
	}
	collectLate()
	ctx, stop := signal.NotifyContext(context.Background(), endSignals()...)
	context.AfterFunc(ctx, func() {
		stop() // asked a second time, it ends at once
		time.AfterFunc(endGrace, func() {
			fmt.Fprintln(os.Stderr, "treewhen: interrupted; what was under way did not end, a file or a disk keeps "+
				"it waiting")
			os.Exit(exitFailed)
		})
	})
	p := &program{stdin: os.Stdin, stdout: os.Stdout, stderr: os.Stderr, today: civil.FromTime(time.Now())}
	p.now, p.pause = time.Now, time.Minute
	p.ascii = !utf8Locale(os.Getenv)
	p.caches, _ = os.UserCacheDir() // where there is none, what services gave is kept in memory
	p.terminal = isTerminal(os.Stdout) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
	code := p.run(ctx, os.Args[1:])
	stop()
	os.Exit(code)
}

// endGrace is how long a run may take to end once it is asked to: longer than the server gives its readers.
const endGrace = 20 * time.Second

// endSignals are those that ask a run to end and leave nothing half-done behind: also that its terminal has gone,
// unless it was started to outlive that.
func endSignals() []os.Signal {
	list := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) {
		list = append(list, syscall.SIGHUP)
	}
	return list
}

// The exit statuses.
const (
	exitDone   = 0
	exitFailed = 1 // it could not be done: a bad file, no data, no room to write
	exitUsage  = 2 // it was asked for wrongly
)

// program is one run: what it reads from and writes to, and what it must be told, today's date and the clock.
type program struct {
	stdin    io.Reader
	stdout   io.Writer
	stderr   io.Writer
	today    civil.Date
	terminal bool // stdout is a terminal that wants colours
	ascii    bool // the user's locale is not UTF-8

	caches string              // the folder of the user's caches; "" for none
	tune   func(*fetch.Client) // a test's own clock and hosts for weather services; else nil

	now   func() time.Time // asked when alerts are sent, and no more
	pause time.Duration    // before feed tries again to send what failed
}

// run carries out a command line and returns its exit status.
func (p *program) run(ctx context.Context, args []string) int {
	err := p.dispatch(ctx, args)
	if err == nil {
		return exitDone
	}
	p.report(err)
	var usage problem.Usage
	if errors.As(err, &usage) {
		return exitUsage
	}
	return exitFailed
}

// report writes an error, a line for each problem, and hints under them.
func (p *program) report(err error) {
	var list problem.List
	var usage problem.Usage
	switch {
	case errors.As(err, &list):
		hints := map[string]bool{}
		for i, one := range list {
			if i == mostProblems && len(list) > mostProblems+1 {
				p.say("and %d more like these; mend the first ones and look again", len(list)-mostProblems)
				break
			}
			p.say("%s", one.Error())
			if one.Hint != "" && !hints[one.Hint] {
				hints[one.Hint] = true
				p.say("hint: %s", one.Hint)
			}
		}
	case errors.As(err, &usage):
		p.say("%s", usage.Text)
		if usage.Hint != "" {
			p.say("hint: %s", usage.Hint)
		}
	case errors.Is(err, context.Canceled):
		p.say("interrupted")
	default:
		p.say("%v", err)
	}
}

// mostProblems is how many problems are told of. More would push the first ones out of sight, which may be why there
// are others.
const mostProblems = 20

// say talks to the user, never on standard output.
func (p *program) say(format string, args ...any) {
	fmt.Fprintf(p.stderr, "treewhen: "+format+"\n", args...)
}

// isTerminal reports whether a file is a terminal: a character device will do for deciding on colours.
func isTerminal(f *os.File) bool {
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// utf8Locale reports whether the locale's characters are UTF-8: POSIX.1-2017, XBD section 8.2. The first of the
// variables that is set decides; where none is, it is the POSIX locale. Windows has no such variables, and consoles
// that know UTF-8.
func utf8Locale(getenv func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := strings.ToLower(getenv(name)); v != "" {
			return strings.Contains(v, "utf-8") || strings.Contains(v, "utf8")
		}
	}
	return runtime.GOOS == "windows"
}
