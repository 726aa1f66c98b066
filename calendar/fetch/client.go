// Package fetch answers: how is a file got from the web, so that nobody is burdened and nothing is lost? It asks one
// request a host at a time, tries again what may pass, asks whether a copy is still good (RFC 9110 section 13) instead
// of fetching again, and keeps copies whole or not at all. It does not know what is in a file.
//
// Only what a plan names is asked, and no redirect leads into a private network: see private.go. The words of an error
// may hold what the other side sent: they are for the log alone.
package fetch

import (
	"cmp"
	"context"
	"errors"
	"net/http"
	"net/url"
	"sync"
	"time"
)

// Limit is how many bytes of a file are taken from the web. An agency's file of a century of days is some 5 MB.
const Limit = 64 << 20

// The bounds of fetching.
const (
	usualTries = 4
	oneTry     = 30 * time.Second // with its answer
	allTries   = 2 * time.Minute  // with the waits between them
	firstWait  = time.Second      // before the second try; doubled before each that follows
	longest    = 30 * time.Second
	redirects  = 5
)

// Client asks the hosts that a plan names. It may be used by several goroutines, which take turns at each host.
type Client struct {
	Kept *Copies                                    // of what was fetched
	Now  func() time.Time                           // the time
	Wait func(context.Context, time.Duration) error // between tries, and between requests to a host

	web   *http.Client
	known *knownHosts
	limit int64         // bytes of an answer, after decompression
	tries int           // of one address, where a request does not say
	total time.Duration // for one address, all tries and waits together

	mu    sync.Mutex
	hosts map[string]*host
}

// host is somebody who is asked one thing at a time.
type host struct {
	sync.Mutex
	last time.Time // when the last answer was there
}

// New returns a client with a folder for copies, "" for none that outlives it, for a plan that names some addresses.
func New(dir string, named ...string) *Client {
	known := &knownHosts{hosts: map[string]bool{}}
	c := &Client{
		web:  &http.Client{Timeout: oneTry, CheckRedirect: checkRedirect, Transport: newTransport(known)},
		Kept: &Copies{dir: dir, limit: Limit}, known: known, limit: Limit, tries: usualTries, total: allTries,
		Now: time.Now, Wait: wait, hosts: map[string]*host{},
	}
	c.Know(named...)
	return c
}

// Know adds addresses that the plan names, so that their hosts may be in a private network.
func (c *Client) Know(named ...string) {
	for _, address := range named {
		if u, err := url.Parse(address); err == nil {
			c.known.add(u)
		}
	}
}

func wait(ctx context.Context, d time.Duration) error {
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-time.After(d):
		return nil
	}
}

var (
	errRedirects = errors.New("it redirects in circles, or too often")
	errDowngrade = errors.New("it redirects from https to an address that is not")
	errScheme    = errors.New("it redirects to an address that is neither https nor http")
)

func checkRedirect(r *http.Request, via []*http.Request) error {
	switch {
	case len(via) > redirects:
		return errRedirects
	case r.URL.Scheme != "http" && r.URL.Scheme != "https":
		return errScheme
	case via[len(via)-1].URL.Scheme == "https" && r.URL.Scheme != "https":
		return errDowngrade
	}
	return nil
}

// Ask asks for an address, as often as that makes sense. Errors are the connection's, or say what was wrong with the
// answer: see [Status], [MayPass] and [Pause].
func (c *Client) Ask(ctx context.Context, r Request) (*Answer, error) {
	ctx, cancel := context.WithTimeout(ctx, c.total)
	defer cancel()
	pause := firstWait
	for try := 1; ; try++ {
		got, err := c.inTurn(ctx, r)
		if err == nil || !MayPass(err) || try == cmp.Or(r.Tries, c.tries) {
			return got, err
		}
		if c.Wait(ctx, min(max(pause, Pause(err)), longest)) != nil {
			return nil, err
		}
		pause *= 2
	}
}

// inTurn asks once, when nobody else is asking the same host and its pace allows it.
func (c *Client) inTurn(ctx context.Context, r Request) (*Answer, error) {
	u, err := url.Parse(r.Address)
	if err != nil {
		return nil, errors.New("the address cannot be read")
	}
	c.mu.Lock()
	h := c.hosts[u.Host]
	if h == nil {
		h = &host{}
		c.hosts[u.Host] = h
	}
	c.mu.Unlock()
	h.Lock()
	defer h.Unlock()
	if ahead := h.last.Add(r.Pace).Sub(c.Now()); !h.last.IsZero() && ahead > 0 {
		if err := c.Wait(ctx, min(ahead, r.Pace)); err != nil {
			return nil, errors.New("stopped before it was asked")
		}
	}
	got, err := c.once(ctx, r)
	h.last = c.Now()
	return got, err
}
