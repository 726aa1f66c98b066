package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/feed"
	"treewhen/calendar/ical"
	"treewhen/calendar/page"
	"treewhen/calendar/staging"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// server makes what is served.
type server struct {
	p    *program
	args []string
	o    *serveOptions
	base *url.URL // where people reach the page; nil if that is not known
	log  *calmLog

	good      *inputs // last read
	zone      *time.Location
	shown     page.Page
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
	maker := feedMaker{
		in: in, plan: in.calendarPlan(in.feedSpan()), whole: len(s.o.activities) == 0, dir: s.o.state, before: s.before,
		adorn: func(f feedFile, c *ical.Feed) {
			if s.o.address == "" {
				return // a feed outlives the port that a server happens to have
			}
			c.Source = s.absolute(s.feedDocument(in, f))
			if in.plan.FeedKey == "" { // who is told a feed's address is not told the page's
				c.URL = s.base.String()
			}
		},
	}
	files, page, err := s.makeFeeds(ctx, maker)
	if err != nil {
		return nil, err
	}
	s.save(files)
	var docs []feed.Document
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

// makeFeeds works out the feeds of every site, and the page. Of the sites that a page names and no more, it keeps nothing
// but the feeds.
func (s *server) makeFeeds(ctx context.Context, maker feedMaker) ([]feedFile, page.Page, error) {
	type made struct {
		siteFeeds
		place *calendar.Place
		work  *calendar.Work
	}
	var files []feedFile
	schedule := calendar.NewSchedule(maker.plan)
	silent := &progress{}
	err := atEveryPlace(ctx, maker.in, silent, func(pl *place) (m made) {
		m.siteFeeds = maker.site(pl, func(at *calendar.Place, work *calendar.Work) { m.place, m.work = at, work })
		return m
	}, func(pl *place, m made) error {
		if len(maker.plan.Places) >= page.MaxPageSites {
			m.place, m.work.Entries = maker.in.namedPlace(pl), nil
		}
		maker.plan.Places = append(maker.plan.Places, m.place)
		schedule.Add(m.work)
		files = append(files, m.files...)
		return m.err
	})
	if refused := maker.in.refused(schedule.Problems); refused != nil && !errors.Is(err, context.Canceled) {
		err = refused
	}
	schedule.Sort()
	return files, page.Page{Plan: maker.plan, Schedule: current(schedule)}, err
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
	return readFeed(path)
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
		if old, readErr := readFeed(f.path); readErr == nil && bytes.Equal(old, f.data) {
			continue
		}
		err = staging.Replace(f.path, f.data)
	}
	text := ""
	if err != nil {
		text = problem.OfFile(err).Error()
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
		Policy: page.PagePolicy() + "; frame-ancestors 'none'", Body: []byte(body)}
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
func (s *server) link(d feed.Document, f feedFile) page.FeedLink {
	up := strings.Repeat("../", strings.Count(s.page("").Address(), "/")-1)
	l := page.FeedLink{Site: f.site.site.ID, Activity: f.activity, Address: up + strings.TrimPrefix(d.Address(), "/")}
	if s.base != nil {
		_, rest, _ := strings.Cut(s.absolute(d), "://")
		l.Webcal = "webcal://" + rest
	}
	return l
}

// pageAndHealth makes the two documents that say how the server is.
func (s *server) pageAndHealth(trouble string, h health) ([]feed.Document, error) {
	shown := s.shown
	shown.Trouble = trouble
	var b strings.Builder
	if err := page.WritePage(&b, shown); err != nil {
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
