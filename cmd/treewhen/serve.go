package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/spf13/pflag"

	"treewhen/calendar"
	"treewhen/calendar/feed"
	"treewhen/phenology/civil"
)

var serveCommand = command{
	name: "serve", args: "[PLAN] --listen ADDR [options]",
	summary: "the same feeds and a page, over HTTP",
	about: "Serves the page at /, the feeds at /feeds/NAME.ics and its own state at /healthz. It works\n" +
		"everything out anew when a file of the plan changes, and every day. When the inputs turn bad, it\n" +
		"keeps the last good feeds and says so. It talks plain HTTP, by default to this machine alone:\n" +
		"put a web server that speaks HTTPS before it. With a feed_key in the plan, no address can be guessed.",
	setup: func(fs *pflag.FlagSet) action {
		o := serveOptions{daily: clockTime(5 * 60), poll: pollInputs, retry: retryBad}
		o.addTo(fs)
		o.addActivity(fs)
		fs.StringVar(&o.listen, "listen", "127.0.0.1:8367", "the `ADDR` to listen at, host:port")
		fs.StringVar(&o.address, "address", "", "the `URL` at which people reach the page, where a web server stands before this one")
		fs.StringVar(&o.state, "state", "", "a `DIR` that keeps the feeds as feed --out does, so that revisions go on after a restart")
		fs.Var(&o.daily, "daily", "civil `TIME` of the plan's first site at which to work everything out anew every day")
		return func(ctx context.Context, p *program, args []string) error { return p.serve(ctx, args, &o) }
	},
}

type serveOptions struct {
	inputOptions
	listen, address, state string
	daily                  clockTime
	poll, retry            time.Duration
}

// clockTime is a time of day, in minutes after midnight, as an option's value.
type clockTime int

// Set, String and Type make a clockTime an option's value.
func (c *clockTime) Set(s string) error {
	t, err := time.Parse("15:04", s)
	if err != nil || len(s) != 5 {
		return fmt.Errorf("found %q, want a time of day such as 05:00", s)
	}
	*c = clockTime(t.Hour()*60 + t.Minute())
	return nil
}

func (c *clockTime) String() string { return fmt.Sprintf("%02d:%02d", int(*c)/60, int(*c)%60) }

// Type names the value in help.
func (c *clockTime) Type() string { return "TIME" }

// The bounds of the server. A feed is some 50 kB, so that a slow line has it in ten seconds.
const (
	pollInputs      = 3 * time.Second
	retryBad        = 30 * time.Second
	fetchAgain      = time.Hour // with temperatures from the web
	maxConnections  = 512
	maxHeader       = 16 << 10
	readHeaderTime  = 5 * time.Second
	readTime        = 10 * time.Second
	writeTime       = 60 * time.Second
	idleTime        = 30 * time.Second
	stopTime        = 10 * time.Second
	logLinesAMinute = 20
)

// serve runs the server until ctx is done.
func (p *program) serve(ctx context.Context, args []string, o *serveOptions) error {
	if o.season != 0 || len(o.species) > 0 {
		return usagef("serve: --season and --species would cancel everything else in the feeds; leave them out")
	}
	if slices.Contains(args, "-") {
		return usagef("serve: a plan on standard input cannot be read again; want a file")
	}
	base, err := publicAddress(o.address)
	if err != nil {
		return err
	}
	s := &server{p: p, args: args, o: o, base: base, published: map[string][]byte{}, log: newCalmLog(p.stderr, logLinesAMinute)}
	source := &feed.Source{
		Compute: s.compute, Stale: s.stale, Stamp: s.stamp, Next: s.next,
		Log: s.log.Println, Poll: o.poll, Retry: o.retry,
	}
	if _, _, err := net.SplitHostPort(o.listen); err != nil {
		return usagef("--listen: found %q, want host:port such as 127.0.0.1:8367", o.listen)
	}
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", o.listen)
	if err != nil {
		return fmt.Errorf("cannot listen: %w", err)
	}
	defer listener.Close()
	if s.base == nil {
		s.base = ownAddress(listener.Addr())
	}
	handler := &feed.Handler{}
	if base != nil {
		handler.Prefix = strings.TrimSuffix(base.Path, "/")
	}
	if err := source.Start(ctx, handler); err != nil {
		return err
	}
	s.hints(listener.Addr())
	// The page's address is the one result there is; with a feed_key, nobody could guess it.
	if _, err := fmt.Fprintln(p.stdout, s.shownBase(listener.Addr())+strings.TrimPrefix(s.page("").Address(), "/")); err != nil {
		return err
	}
	web := newWebServer(handler, s.log)
	return serveUntil(ctx, web, newLimitedListener(listener, maxConnections), func(ctx context.Context) { source.Run(ctx, handler) })
}

// newWebServer puts bounds on what a client can cost.
func newWebServer(handler http.Handler, say io.Writer) *http.Server {
	return &http.Server{
		Handler: handler, ReadHeaderTimeout: readHeaderTime, ReadTimeout: readTime, WriteTimeout: writeTime,
		IdleTimeout: idleTime, MaxHeaderBytes: maxHeader, ErrorLog: log.New(say, "", 0),
	}
}

// serveUntil serves until ctx is done, and lets what is under way end; keep runs beside it.
func serveUntil(ctx context.Context, web *http.Server, listener net.Listener, keep func(context.Context)) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var wait sync.WaitGroup
	defer wait.Wait()
	wait.Go(func() { keep(ctx) })
	failed := make(chan error, 1)
	wait.Go(func() { failed <- web.Serve(listener) })
	select {
	case err := <-failed:
		cancel()
		return err
	case <-ctx.Done():
	}
	grace, stop := context.WithTimeout(context.Background(), stopTime)
	defer stop()
	if err := web.Shutdown(grace); err != nil {
		web.Close() // whoever is still reading after ten seconds is cut off
	}
	return nil
}

// publicAddress reads --address; nil if it is not set.
func publicAddress(text string) (*url.URL, error) {
	if text == "" {
		return nil, nil
	}
	u, err := url.Parse(text)
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.User != nil || u.RawQuery != "" || u.Fragment != "" {
		return nil, usagef("--address: found %q, want the page's address, such as https://example.org/trees/", text)
	}
	if !strings.HasSuffix(u.Path, "/") {
		u.Path += "/"
	}
	return u, nil
}

// ownAddress returns the address of a listener if people could use it; nil if it listens everywhere, since then nobody
// here knows the machine's name.
func ownAddress(a net.Addr) *url.URL {
	if tcp, ok := a.(*net.TCPAddr); !ok || tcp.IP.IsUnspecified() {
		return nil
	}
	return &url.URL{Scheme: "http", Host: a.String(), Path: "/"}
}

// shownBase is the page's folder as the first line of output names it.
func (s *server) shownBase(a net.Addr) string {
	if s.base != nil {
		return s.base.String()
	}
	return "http://" + a.String() + "/"
}

// hints says what the owner of a server should know.
func (s *server) hints(a net.Addr) {
	s.p.say("listening at %s", a)
	tcp, ok := a.(*net.TCPAddr)
	if ok && !tcp.IP.IsLoopback() && s.good.plan.FeedKey == "" {
		s.p.say("hint: whoever can reach %s sees the sites; a feed_key in the plan makes the addresses unguessable", a)
	}
	if s.good.plan.FeedID == nil && !s.good.isDemo {
		s.p.say("hint: the plan sets no feed_id; treewhen check says how and why")
	}
}

// server makes what is served.
type server struct {
	p    *program
	args []string
	o    *serveOptions
	base *url.URL // where people reach the page; nil if that is not known
	log  *calmLog

	good      *inputs // last read
	zone      *time.Location
	shown     calendar.Page
	computed  time.Time
	published map[string][]byte // the feeds as last published, by name
	unsaved   string            // why the state could not be written; "" if it could
	unsure    bool              // a file may have changed while it was read
}

// health is what /healthz says. It names no place and no file: those are in the log.
type health struct {
	Status   string     `json:"status"` // ok; stale: the inputs are bad and the feeds the last good ones; unsaved: the state could not be written
	AsOf     civil.Date `json:"as_of"`
	Computed time.Time  `json:"computed"`
	Since    *time.Time `json:"since,omitempty"` // when the inputs turned bad
	Feeds    int        `json:"feeds"`
}

const (
	feedCache = "max-age=300"
	pageCache = "no-cache" // may be kept, but is asked for every time
)

// compute reads all inputs and works out all documents.
func (s *server) compute(ctx context.Context) ([]feed.Document, error) {
	began := time.Now()
	in, err := s.load(ctx)
	if err != nil {
		return nil, err
	}
	s.unsure = in.changedSince(began.Add(-coarsest))
	for _, n := range in.notes {
		if s.good != nil && !slices.Contains(s.good.notes, n) {
			s.log.Println(n)
		}
	}
	plan := in.calendarPlan(in.feedSpan())
	maker := feedMaker{in: in, dir: s.o.state, before: s.before, adorn: func(f feedFile, c *calendar.Feed) {
		if s.o.address == "" {
			return // a feed outlives the port that a server happens to have
		}
		c.Source = s.absolute(s.feedDocument(in, f))
		if in.plan.FeedKey == "" { // who is told a feed's address is not told the page's
			c.URL = s.base.String()
		}
	}}
	maker.recall(plan)
	schedule, err := in.build(plan)
	if err != nil {
		return nil, err
	}
	files, err := maker.render(schedule, len(s.o.activities) == 0)
	if err != nil {
		return nil, err
	}
	s.save(files)
	var docs []feed.Document
	page := calendar.Page{Plan: plan, Schedule: current(schedule)}
	s.good, s.computed = in, time.Now()
	for _, f := range files {
		s.published[f.path] = f.data
		d := s.feedDocument(in, f)
		docs = append(docs, d)
		page.Feeds = append(page.Feeds, s.link(d, f))
	}
	s.shown = page
	rest, err := s.pageAndHealth("", health{Status: "ok", Feeds: len(files)})
	return append(docs, rest...), err
}

// coarsest is how far apart two times of a file system may be and still be told as one: FAT counts in two seconds.
const coarsest = 2 * time.Second

// changedSince reports whether a file that was read has changed after a time.
func (in *inputs) changedSince(t time.Time) bool {
	return !in.isDemo && slices.ContainsFunc(in.files, func(path string) bool {
		info, err := os.Stat(path)
		return err != nil || info.ModTime().After(t)
	})
}

// current returns the schedule without what is over, which feeds keep for some days and a page does not.
func current(s *calendar.Schedule) *calendar.Schedule {
	kept := *s
	kept.Entries = slices.DeleteFunc(slices.Clone(s.Entries), func(e *calendar.Entry) bool { return e.Window.Last < s.AsOf })
	return &kept
}

// load reads the inputs as they are now, on the day that it is at the plan's first site.
func (s *server) load(ctx context.Context) (*inputs, error) {
	q := *s.p
	q.ctx, q.stdin = ctx, readOnce{}
	if s.good != nil {
		q.stderr = io.Discard // said at the start
	}
	zone := s.zone
	if zone == nil {
		zone = time.Local
	}
	for {
		q.today = civil.FromTime(time.Now().In(zone))
		in, err := q.load(s.args, &s.o.inputOptions)
		if err != nil {
			return nil, err
		}
		s.zone = in.plan.Sites[0].Zone
		if zone == s.zone || civil.FromTime(time.Now().In(s.zone)) == q.today {
			return in, nil
		}
		zone, q.stderr = s.zone, io.Discard
	}
}

// readOnce stands in for standard input: what is read from it is gone when a file changes and all is read again.
type readOnce struct{}

func (readOnce) Read([]byte) (int, error) {
	return 0, errors.New("serve reads everything again and again, and standard input only once; want a file")
}

// before returns a feed as last published: from memory or, at the start, from the state.
func (s *server) before(path string) ([]byte, error) {
	if data, ok := s.published[path]; ok {
		return data, nil
	}
	if s.o.state == "" {
		return nil, fs.ErrNotExist
	}
	return os.ReadFile(path)
}

// save writes the feeds that changed to the state. A full disk does not keep anybody from the feeds: it is said, and
// tried again every time.
func (s *server) save(files []feedFile) {
	if s.o.state == "" {
		return
	}
	err := os.MkdirAll(s.o.state, 0o755)
	for _, f := range files {
		if err != nil {
			break
		}
		if old, readErr := os.ReadFile(f.path); readErr == nil && bytes.Equal(old, f.data) {
			continue
		}
		err = replaceFile(f.path, f.data)
	}
	text := ""
	if err != nil {
		text = plain(err).Error()
	}
	if text != "" && text != s.unsaved {
		s.log.Println("cannot keep the feeds in --state: " + text)
	}
	s.unsaved = text
}

// feedDocument is a feed as it is handed out.
func (s *server) feedDocument(in *inputs, f feedFile) feed.Document {
	d := feed.Document{Path: "/feeds/" + f.name, Type: "text/calendar; charset=utf-8", CacheControl: "public, " + feedCache, Body: f.data}
	if in.plan.FeedKey != "" {
		d.Key, d.CacheControl = feed.Key(in.plan.FeedKey, d.Path), "private, "+feedCache
	}
	return d
}

// page is the page as a document, without its body: at /, or, with a key, at /page/KEY/.
func (s *server) page(body string) feed.Document {
	d := feed.Document{Path: "/", Type: "text/html; charset=utf-8", CacheControl: pageCache,
		Policy: calendar.PagePolicy() + "; frame-ancestors 'none'", Body: []byte(body)}
	if key := s.good.plan.FeedKey; key != "" {
		d.Path = "/page/"
		d.Key, d.CacheControl = feed.Key(key, d.Path), "private, "+pageCache
	}
	return d
}

// absolute returns a document's address as people reach it.
func (s *server) absolute(d feed.Document) string {
	return s.base.JoinPath(d.Address()).String()
}

// link returns how the page links to a feed.
func (s *server) link(d feed.Document, f feedFile) calendar.FeedLink {
	up := strings.Repeat("../", strings.Count(s.page("").Address(), "/")-1)
	l := calendar.FeedLink{Site: f.site.site.ID, Activity: f.activity, Address: up + strings.TrimPrefix(d.Address(), "/")}
	if s.base != nil {
		_, rest, _ := strings.Cut(s.absolute(d), "://")
		l.Webcal = "webcal://" + rest
	}
	return l
}

// pageAndHealth makes the two documents that say how the server is.
func (s *server) pageAndHealth(trouble string, h health) ([]feed.Document, error) {
	page := s.shown
	page.Trouble = trouble
	var b strings.Builder
	if err := calendar.WritePage(&b, page); err != nil {
		return nil, err
	}
	if h.Status == "ok" && s.unsaved != "" {
		h.Status = "unsaved"
	}
	h.AsOf, h.Computed = s.good.asOf, s.computed.UTC().Truncate(time.Second)
	text, err := json.Marshal(h)
	if err != nil {
		return nil, err
	}
	return []feed.Document{s.page(b.String()), {
		Path: "/healthz", Type: "application/json", CacheControl: "no-store", Body: append(text, '\n'),
	}}, nil
}

// stale keeps the last good feeds and says on the page and in /healthz that they are not up to date. What is wrong with
// which file is in the log: it is the owner's business. The answer is still 200: whoever restarts what is not well would
// lose the last good feeds.
func (s *server) stale(last []feed.Document, _ error, since time.Time) []feed.Document {
	since = since.UTC().Truncate(time.Second)
	trouble := fmt.Sprintf("Since %s the files behind this page cannot be read; it shows what was worked out before, as of %s. The server's log says which file, and what is wrong with it.",
		since.In(s.zone).Format("2 January 2006 15:04 MST"), s.good.asOf.Format("2 January 2006"))
	rest, err := s.pageAndHealth(trouble, health{Status: "stale", Since: &since, Feeds: len(s.shown.Feeds)})
	if err != nil {
		return last
	}
	kept := slices.DeleteFunc(slices.Clone(last), func(d feed.Document) bool {
		return slices.ContainsFunc(rest, func(r feed.Document) bool { return r.Path == d.Path })
	})
	return append(kept, rest...)
}

// stamp tells states of the inputs apart by the size and time of every file read, the species' profiles among them.
func (s *server) stamp() string {
	if s.unsure {
		s.unsure = false
		return "unsure"
	}
	var b strings.Builder
	add := func(path string) {
		if info, err := os.Stat(path); err != nil {
			fmt.Fprintf(&b, "%s: %v\n", path, err)
		} else {
			fmt.Fprintf(&b, "%s: %d %d\n", path, info.Size(), info.ModTime().UnixNano())
		}
	}
	for _, path := range s.args {
		add(path)
	}
	if s.good != nil && !s.good.isDemo {
		for _, path := range s.good.files {
			add(path)
		}
	}
	if s.o.profiles != "" {
		filepath.WalkDir(s.o.profiles, func(path string, _ fs.DirEntry, err error) error {
			add(path)
			return nil // what cannot be read is told when it is read
		})
	}
	return b.String()
}

// next returns the next time at which to work everything out anew: the civil time of the day, or sooner where
// temperatures are fetched.
func (s *server) next(now time.Time) time.Time {
	y, m, d := now.In(s.zone).Date()
	at := time.Date(y, m, d, int(s.o.daily)/60, int(s.o.daily)%60, 0, 0, s.zone)
	if !at.After(now) {
		at = time.Date(y, m, d+1, int(s.o.daily)/60, int(s.o.daily)%60, 0, 0, s.zone)
	}
	if again := now.Add(fetchAgain); s.good.remote && again.Before(at) {
		return again
	}
	return at
}

// limitedListener accepts so many connections at a time; more wait in the system's queue.
type limitedListener struct {
	net.Listener
	slots  chan struct{}
	closed chan struct{}
	once   sync.Once
}

func newLimitedListener(l net.Listener, most int) *limitedListener {
	return &limitedListener{Listener: l, slots: make(chan struct{}, most), closed: make(chan struct{})}
}

// Accept waits for a free slot, then for a connection.
func (l *limitedListener) Accept() (net.Conn, error) {
	select {
	case l.slots <- struct{}{}:
	case <-l.closed:
		return nil, net.ErrClosed
	}
	c, err := l.Listener.Accept()
	if err != nil {
		<-l.slots
		return nil, err
	}
	return &limitedConn{Conn: c, free: sync.OnceFunc(func() { <-l.slots })}, nil
}

// Close stops accepting.
func (l *limitedListener) Close() error {
	l.once.Do(func() { close(l.closed) })
	return l.Listener.Close()
}

type limitedConn struct {
	net.Conn
	free func()
}

// Close frees the connection's slot.
func (c *limitedConn) Close() error {
	defer c.free()
	return c.Conn.Close()
}

// calmLog writes lines to a log, so many a minute; of the rest it tells how many there were.
type calmLog struct {
	mu    sync.Mutex
	w     io.Writer
	most  int
	since time.Time
	lines int
	left  int
}

func newCalmLog(w io.Writer, most int) *calmLog { return &calmLog{w: w, most: most} }

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
		if _, err := fmt.Fprintf(l.w, "treewhen: %s\n", strings.TrimSpace(line)); err != nil && !errors.Is(err, fs.ErrClosed) {
			return len(text), err
		}
	}
	return len(text), nil
}
