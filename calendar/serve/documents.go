package serve

import (
	"bytes"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/alerts"
	"treewhen/calendar/build"
	"treewhen/calendar/feed"
	"treewhen/calendar/inputs"
	"treewhen/calendar/page"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// health is what /healthz says. It names no place and no file: those are in the log.
type health struct {
	Status   status     `json:"status"`
	AsOf     civil.Date `json:"as_of"`
	Computed time.Time  `json:"computed"`
	Since    *time.Time `json:"since,omitempty"` // when the inputs turned bad, or how old the oldest copy is
	Feeds    int        `json:"feeds"`

	// of the sites that are behind, the earliest last day
	ObservedTo      *civil.Date `json:"observed_to,omitempty"`
	WithoutForecast int         `json:"without_forecast,omitempty"` // how many forecasts are left out

	Alerts *alerts.Trouble `json:"alerts,omitempty"` // what could not be sent; nil where that is nothing
}

// status is how a server is, the worst that is true of it.
type status string

// The states of a server. In all of them it serves.
const (
	statusOK      status = "ok"
	statusBehind  status = "behind"  // observed days ended too long ago, or a forecast is left out
	statusLagging status = "lagging" // a copy stands in for temperatures that could not be fetched anew
	statusUnsent  status = "unsent"  // an alert could not be sent
	statusUnsaved status = "unsaved" // the state could not be written
	statusStale   status = "stale"   // the inputs are bad and the feeds the last good ones
	statusOverdue status = "overdue" // working everything out takes too long, and the feeds are the last good ones
)

// healthOf is how a server is that has just worked everything out, with what it shows on its page.
func healthOf(in *inputs.Inputs, shown *page.Page, computed time.Time, unsaved string) health {
	computed = computed.UTC().Truncate(time.Second)
	h := health{Status: statusOK, AsOf: in.AsOf, Computed: computed, Feeds: len(shown.Feeds)}
	for _, n := range shown.Schedule.Notes {
		d, is := n.Says.(calendar.Doubt)
		if !is {
			continue
		}
		h.Status = statusBehind
		if d.What != calendar.Stale {
			h.WithoutForecast++
		} else if day := d.Observed.Or(0); h.ObservedTo == nil || day < *h.ObservedTo {
			h.ObservedTo = &day
		}
	}
	for _, l := range in.Lags {
		h.Status = statusLagging
		if since := l.Since.UTC().Truncate(time.Second); h.Since == nil || since.Before(*h.Since) {
			h.Since = &since
		}
	}
	if unsaved != "" {
		h.Status = statusUnsaved
	}
	return h
}

const (
	feedCache = "max-age=300"
	pageCache = "no-cache" // may be kept, but is asked for every time

	pageType    = "text/html; charset=utf-8"
	pictureType = "image/svg+xml"
)

// feedDocument is a feed as it is handed out.
func (s *Server) feedDocument(in *inputs.Inputs, f *build.FeedFile) feed.Document {
	d := keyed(in, feed.Document{
		Path: "/feeds/" + f.Name, Type: "text/calendar; charset=utf-8", CacheControl: feedCache, Body: f.Data,
	})
	if d.Key == "" {
		d.CacheControl = "public, " + d.CacheControl
	}
	return d
}

// keyed puts a document out of reach of who does not know its address, if the plan has a key.
func keyed(in *inputs.Inputs, d feed.Document) feed.Document {
	if key := in.Plan.FeedKey; key != "" {
		d.Key, d.CacheControl = feed.Key(key, d.Path), "private, "+d.CacheControl
	}
	return d
}

// page is the page as a document, without its body: at /, or, with a key, at /page/KEY/.
func (s *Server) page(in *inputs.Inputs, body string) feed.Document {
	path := "/"
	if in.Plan.FeedKey != "" {
		path = "/page/"
	}
	d := document(in, path, pageType, body)
	d.Policy = pagePolicy()
	return d
}

// pagePolicy is the policy of what nobody shows within a page of theirs.
func pagePolicy() string { return page.PagePolicy() + "; frame-ancestors 'none'" }

// document is a document that is seen like the page is.
func document(in *inputs.Inputs, path, media, body string) feed.Document {
	return keyed(in, feed.Document{Path: path, Type: media, CacheControl: pageCache, Body: []byte(body)})
}

// absolute returns a document's address as people reach it.
func (s *Server) absolute(d feed.Document) string {
	return s.Base.JoinPath(d.Address()).String()
}

// seen returns a document's address as it is seen from a page.
func seen(from, d feed.Document) string {
	return strings.Repeat("../", strings.Count(from.Address(), "/")-1) + strings.TrimPrefix(d.Address(), "/")
}

// link returns how a page links to a feed.
func (s *Server) link(from, d feed.Document, f *build.FeedFile) page.FeedLink {
	l := page.FeedLink{Site: f.Site, Activity: f.Activity, Address: seen(from, d)}
	if s.Base != nil {
		_, rest, _ := strings.Cut(s.absolute(d), "://")
		l.Webcal = "webcal://" + rest
	}
	return l
}

const healthPath = "/healthz"

// healthDocument says how the server is, and its alerts.
func (s *Server) healthDocument(h health) (feed.Document, error) {
	s.health.Store(&h)
	if box := s.outbox.Load(); box != nil {
		well := h.Status == statusOK || h.Status == statusBehind || h.Status == statusLagging
		if t := box.Trouble(); t.Any() {
			h.Alerts = &t
		}
		switch {
		case well && h.Alerts != nil:
			h.Status = statusUnsent
		case well && box.Unsaved() != nil:
			h.Status = statusUnsaved
		}
	}
	text, err := json.Marshal(h)
	return feed.Document{
		Path: healthPath, Type: "application/json", CacheControl: "no-store", Body: append(text, '\n'),
	}, err
}

// renew returns the documents that have become others though nothing was worked out anew: what is said of alerts, which
// go their own way. It returns nil where nothing has.
func (s *Server) renew(docs []feed.Document) []feed.Document {
	h := s.health.Load()
	if h == nil {
		return nil
	}
	now, err := s.healthDocument(*h)
	i := slices.IndexFunc(docs, func(d feed.Document) bool { return d.Path == healthPath })
	if err != nil || i < 0 || bytes.Equal(docs[i].Body, now.Body) {
		return nil
	}
	docs = slices.Clone(docs)
	docs[i] = now
	return docs
}

// stale keeps the last good feeds and says on every page, on every picture and in /healthz that they are not up to
// date. What is wrong with which file is in the log: it is the owner's business. The answer is still 200: whoever
// restarts what is not well would lose the last good feeds.
func (s *Server) stale(last []feed.Document, err error, since time.Time) []feed.Document {
	g := s.shown.Load() // the rest may be changing
	since = since.UTC().Truncate(time.Second)
	h := health{Status: statusStale, AsOf: g.in.AsOf, Computed: g.computed, Since: &since, Feeds: g.feeds}
	trouble := words.Unreadable
	if errors.Is(err, feed.ErrOverdue) {
		h.Status, trouble = statusOverdue, words.Overdue
	}
	says := words.NotUpToDate(trouble, since.In(g.zone), g.in.AsOf, g.in.Plan.Speech)
	told, err := s.healthDocument(h)
	if err != nil {
		return last
	}
	now := slices.Clone(last)
	for i := range now {
		switch d := &now[i]; {
		case d.Path == healthPath:
			*d = told
		case d.Type == pageType, d.Type == pictureType:
			d.Body = page.WithTrouble(d.Body, says)
		}
	}
	return now
}
