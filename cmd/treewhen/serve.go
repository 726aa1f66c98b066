package main

import (
	"context"
	"fmt"
	"net"
	"net/url"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"treewhen/calendar/inputs"
	"treewhen/calendar/serve"
	"treewhen/phenology/problem"
)

var serveCommand = command{
	name: "serve", args: "[PLAN] --listen ADDR [options]",
	summary: "the same feeds and a page, over HTTP",
	about: "Serves the page at /, the feeds at /feeds/NAME.ics and its own state at /healthz. It works\n" +
		"everything out anew when a file of the plan changes, and every day. When the inputs turn bad, it\n" +
		"keeps the last good feeds and says so: the status at /healthz is ok; behind when measured days end\n" +
		"too early or a forecast is left out; lagging while a copy stands in for temperatures that cannot be\n" +
		"fetched; unsent while an alert cannot be sent; stale while an input is bad; overdue when reading and\n" +
		"working out take far too long; or unsaved when --state cannot be written. It talks plain HTTP, by\n" +
		"default to this machine alone: put a web server that speaks HTTPS before it. With a feed_key in the\n" +
		"plan, no address can be guessed.",
	setup: func(fs *pflag.FlagSet) action {
		o := serveOptions{daily: clockTime(5 * 60), poll: pollInputs, retry: retryBad}
		o.addTo(fs)
		o.addActivity(fs)
		fs.StringVar(&o.listen, "listen", "127.0.0.1:8367", "the `ADDR` to listen at, host:port")
		fs.StringVar(&o.address, "address", "",
			"the `URL` at which people reach the page, where a web server stands before this one")
		fs.StringVar(&o.state, "state", "",
			"a `DIR` that keeps the feeds as feed --out does, so that revisions go on after a restart")
		addParsed(fs, &o.daily, parseClock, "daily",
			"civil `TIME` of the plan's first site at which to work everything out anew every day")
		return func(ctx context.Context, p *program, args []string) error { return p.serve(ctx, args, &o) }
	},
}

type serveOptions struct {
	inputOptions
	listen, address, state string
	daily                  clockTime
	poll, retry            time.Duration
}

// clockTime is a time of day, in minutes after midnight.
type clockTime int

func (c clockTime) String() string { return fmt.Sprintf("%02d:%02d", int(c)/60, int(c)%60) }

func parseClock(s string) (clockTime, error) {
	t, err := time.Parse("15:04", s)
	if err != nil || len(s) != 5 {
		return 0, fmt.Errorf("found %q, want a time of day such as 05:00", s)
	}
	return clockTime(t.Hour()*60 + t.Minute()), nil
}

const (
	pollInputs = 3 * time.Second
	retryBad   = 30 * time.Second
)

// serve runs the server until ctx is done.
func (p *program) serve(ctx context.Context, args []string, o *serveOptions) error {
	if err := o.checkWhole("serve"); err != nil {
		return err
	}
	if slices.Contains(args, "-") {
		return problem.Usagef("serve: a plan on standard input cannot be read again; want a file")
	}
	base, err := publicAddress(o.address)
	if err != nil {
		return err
	}
	if _, _, err := net.SplitHostPort(o.listen); err != nil {
		return problem.Usagef("--listen: found %q, want host:port such as 127.0.0.1:8367", o.listen)
	}
	if err := p.source(args, &o.inputOptions); err != nil {
		return err
	}
	o.Stdin = nil // what is read from it is gone when a file changes and all is read again
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", o.listen)
	if err != nil {
		return fmt.Errorf("cannot listen: %w", err)
	}
	s := &serve.Server{
		Inputs: o.Options, Base: base, Public: base != nil, State: o.state, Daily: int(o.daily),
		Log: p.stderr, Poll: o.poll, Retry: o.retry,
	}
	return s.Serve(ctx, listener, func(in *inputs.Inputs, page string) error {
		p.hints(in, listener.Addr())
		// The page's address is the one result there is; with a feed_key, nobody could guess it.
		_, err := fmt.Fprintln(p.stdout, page)
		return err
	})
}

// publicAddress reads --address; nil if it is not set.
func publicAddress(text string) (*url.URL, error) {
	if text == "" {
		return nil, nil
	}
	u, err := url.Parse(text)
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.User != nil ||
		u.RawQuery != "" || u.Fragment != "" {
		return nil, problem.Usagef("--address: found %q, want the page's address, such as https://example.org/trees/",
			text)
	}
	if !strings.HasSuffix(u.Path, "/") {
		u.Path += "/"
	}
	return u, nil
}

// hints says what the owner of a server should know.
func (p *program) hints(in *inputs.Inputs, a net.Addr) {
	p.say("listening at %s", a)
	tcp, ok := a.(*net.TCPAddr)
	if ok && !tcp.IP.IsLoopback() && in.Plan.FeedKey == "" {
		p.say("hint: whoever can reach %s sees the sites; a feed_key in the plan makes the addresses unguessable", a)
	}
	if in.Plan.FeedID == nil && !in.Demo {
		p.say("hint: the plan sets no feed_id; treewhen check says how and why")
	}
}
