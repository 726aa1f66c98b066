// Package serve answers: what do people who subscribed get today? It reads the inputs again whenever a file of theirs
// changes and every day, works out the feeds and the page, and hands them out over HTTP; when the inputs turn bad, the
// last good ones stay and say so. What is handed out, package feed keeps; what is in it, package build works out.
package serve

import (
	"context"
	"io"
	"net"
	"net/url"
	"strings"
	"sync/atomic"
	"time"

	"treewhen/calendar/alerts/deliver"
	"treewhen/calendar/feed"
	"treewhen/calendar/inputs"
)

// Server makes what is served. Its fields are not changed once it serves.
type Server struct {
	Inputs inputs.Options // what is read; Today is the server's own, and Stdin must be nil
	Base   *url.URL       // where people reach the page; nil: at the listener's address
	Public bool           // Base outlives this run, so that feeds may name it
	State  string         // a folder that keeps the feeds over restarts, "" for none
	Daily  int            // minutes after midnight at the plan's first site at which all is worked out anew every day
	Log    io.Writer      // is told what happens, at most [linesAMinute]
	Poll   time.Duration  // how often files are looked at
	Retry  time.Duration  // how often bad inputs are read again

	log       *calmLog
	good      *inputs.Inputs // last read
	zone      *time.Location
	published map[string][]byte // the feeds as last published, by path
	unsaved   string            // why the state could not be written; "" if it could
	unsure    bool              // a file may have changed while it was read
	unlock    func()            // gives the state's folder free; nil while it is not locked

	// shown is what was worked out last, for who reports on the server while it is at work: the fields above are the
	// work's own.
	shown atomic.Pointer[shown]
	// outbox sends alerts; nil while no plan has had any.
	outbox atomic.Pointer[deliver.Outbox]
	health atomic.Pointer[health] // as last told
}

// shown is what was worked out last. It never changes.
type shown struct {
	in       *inputs.Inputs
	zone     *time.Location
	computed time.Time
	feeds    int // how many
}

// The bounds of the server. A feed is some 50 kB, 10 kB when zipped: who takes 16 KiB in five seconds has it in 15 or
// in 3.
const (
	fetchAgain     = time.Hour // with temperatures from the web
	maxConnections = 512
	maxHeader      = 16 << 10
	readHeaderTime = 5 * time.Second
	readTime       = 10 * time.Second
	writeTime      = 60 * time.Second
	idleTime       = 30 * time.Second
	pieceSize      = 16 << 10 // bytes of an answer that must be taken in pieceTime
	pieceTime      = 5 * time.Second
	sendBuffer     = 64 << 10        // the system's, a connection: what is in it counts as taken
	spareTime      = 2 * time.Second // that a connection may be busy for while others wait for room
	stopTime       = 10 * time.Second
	linesAMinute   = 20

	// patience is how long working everything out may take, beside ten times what it has taken, before it is overdue.
	// An address that does not answer takes two minutes.
	patience = 15 * time.Minute
	// statePatience is how long the start waits for another run that writes to the state's folder.
	statePatience = 10 * time.Second
)

// Serve serves until ctx is done, and lets what is under way end. It fails if the inputs are bad at the start, with the
// error of [inputs.Read] or of package build. Once there is something to serve, ready is told from what, and the page's
// address, before the first request is answered; its error ends the server.
func (s *Server) Serve(
	ctx context.Context, listener net.Listener, ready func(in *inputs.Inputs, page string) error,
) error {
	defer listener.Close()
	s.log, s.published = &calmLog{w: s.Log, most: linesAMinute}, map[string][]byte{}
	handler := &feed.Handler{}
	if s.Public {
		handler.Prefix = strings.TrimSuffix(s.Base.Path, "/")
	}
	base := "http://" + listener.Addr().String() + "/"
	if s.Base == nil {
		s.Base = ownAddress(listener.Addr())
	}
	if s.Base != nil {
		base = s.Base.String()
	}
	if err := s.lockState(ctx); err != nil {
		return err
	}
	defer s.unlockState()
	source := &feed.Source{
		Compute: s.compute, Stale: s.stale, Stamp: s.stamp, Next: s.next, Renew: s.renew,
		Log: s.log.Println, Poll: s.Poll, Retry: s.Retry, Patience: patience, Grace: stopTime,
	}
	if err := source.Start(ctx, handler); err != nil {
		return err
	}
	if err := ready(s.good, base+strings.TrimPrefix(s.page(s.good, "").Address(), "/")); err != nil {
		return err
	}
	web := newWebServer(handler, s.log)
	return serveUntil(
		ctx, web, newCrowd(listener, maxConnections), func(ctx context.Context) { source.Run(ctx, handler) },
		s.sendAlerts,
	)
}

// ownAddress returns the address of a listener if people could use it; nil if it listens everywhere, since then nobody
// here knows the machine's name.
func ownAddress(a net.Addr) *url.URL {
	if tcp, ok := a.(*net.TCPAddr); !ok || tcp.IP.IsUnspecified() {
		return nil
	}
	return &url.URL{Scheme: "http", Host: a.String(), Path: "/"}
}
