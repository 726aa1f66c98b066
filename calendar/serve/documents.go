package serve

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"treewhen/calendar/build"
	"treewhen/calendar/feed"
	"treewhen/calendar/inputs"
	"treewhen/calendar/page"
	"treewhen/phenology/civil"
)

// health is what /healthz says. It names no place and no file: those are in the log.
type health struct {
	// ok; stale: the inputs are bad and the feeds the last good ones; unsaved: the state could not be written.
	Status   string     `json:"status"`
	AsOf     civil.Date `json:"as_of"`
	Computed time.Time  `json:"computed"`
	Since    *time.Time `json:"since,omitempty"` // when the inputs turned bad
	Feeds    int        `json:"feeds"`
}

const (
	feedCache = "max-age=300"
	pageCache = "no-cache" // may be kept, but is asked for every time
)

// feedDocument is a feed as it is handed out.
func (s *Server) feedDocument(in *inputs.Inputs, f *build.FeedFile) feed.Document {
	d := feed.Document{
		Path: "/feeds/" + f.Name, Type: "text/calendar; charset=utf-8", CacheControl: "public, " + feedCache, Body: f.Data,
	}
	if in.Plan.FeedKey != "" {
		d.Key, d.CacheControl = feed.Key(in.Plan.FeedKey, d.Path), "private, "+feedCache
	}
	return d
}

// page is the page as a document, without its body: at /, or, with a key, at /page/KEY/.
func (s *Server) page(body string) feed.Document {
	d := feed.Document{Path: "/", Type: "text/html; charset=utf-8", CacheControl: pageCache,
		Policy: page.PagePolicy() + "; frame-ancestors 'none'", Body: []byte(body)}
	if key := s.good.Plan.FeedKey; key != "" {
		d.Path = "/page/"
		d.Key, d.CacheControl = feed.Key(key, d.Path), "private, "+pageCache
	}
	return d
}

// absolute returns a document's address as people reach it.
func (s *Server) absolute(d feed.Document) string {
	return s.Base.JoinPath(d.Address()).String()
}

// link returns how the page links to a feed.
func (s *Server) link(d feed.Document, f *build.FeedFile) page.FeedLink {
	up := strings.Repeat("../", strings.Count(s.page("").Address(), "/")-1)
	l := page.FeedLink{Site: f.Site, Activity: f.Activity, Address: up + strings.TrimPrefix(d.Address(), "/")}
	if s.Base != nil {
		_, rest, _ := strings.Cut(s.absolute(d), "://")
		l.Webcal = "webcal://" + rest
	}
	return l
}

// pageAndHealth makes the two documents that say how the server is.
func (s *Server) pageAndHealth(trouble string, h health) ([]feed.Document, error) {
	shown := s.shown
	shown.Trouble = trouble
	var b strings.Builder
	if err := page.WritePage(&b, shown); err != nil {
		return nil, err
	}
	for _, pl := range shown.Plan.Places {
		forget(pl)
	}
	if h.Status == "ok" && s.unsaved != "" {
		h.Status = "unsaved"
	}
	h.AsOf, h.Computed = s.good.AsOf, s.computed.UTC().Truncate(time.Second)
	text, err := json.Marshal(h)
	if err != nil {
		return nil, err
	}
	return []feed.Document{s.page(b.String()), {
		Path: "/healthz", Type: "application/json", CacheControl: "no-store", Body: append(text, '\n'),
	}}, nil
}

// stale keeps the last good feeds and says on the page and in /healthz that they are not up to date. What is wrong with
// which file is in the log: it is the owner's business. The answer is still 200: whoever restarts what is not well
// would lose the last good feeds.
func (s *Server) stale(last []feed.Document, _ error, since time.Time) []feed.Document {
	since = since.UTC().Truncate(time.Second)
	trouble := fmt.Sprintf("Since %s the files behind this page cannot be read; it shows what was worked out "+
		"before, as of %s. The server's log says which file, and what is wrong with it.",
		since.In(s.zone).Format("2 January 2006 15:04 MST"), s.good.AsOf.Format("2 January 2006"))
	rest, err := s.pageAndHealth(trouble, health{Status: "stale", Since: &since, Feeds: len(s.shown.Feeds)})
	if err != nil {
		return last
	}
	kept := slices.DeleteFunc(slices.Clone(last), func(d feed.Document) bool {
		return slices.ContainsFunc(rest, func(r feed.Document) bool { return r.Path == d.Path })
	})
	return append(kept, rest...)
}
