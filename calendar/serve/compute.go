package serve

import (
	"cmp"
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/alerts"
	"treewhen/calendar/build"
	"treewhen/calendar/feed"
	"treewhen/calendar/ical"
	"treewhen/calendar/inputs"
	"treewhen/calendar/page"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// compute reads all inputs and works out all documents.
func (s *Server) compute(ctx context.Context) ([]feed.Document, error) {
	began := time.Now()
	in, err := s.load(ctx)
	if err != nil {
		return nil, err
	}
	s.unsure = changedSince(in.Files, began.Add(-coarsest))
	for _, l := range in.Lags {
		if s.good != nil && !slices.Contains(s.good.Lags, l) {
			s.log.Println(l.Why)
		}
	}
	sender, err := s.prepareAlerts(in)
	if err != nil {
		return nil, err
	}
	files, page, docs, due, err := s.makeFeeds(ctx, in)
	s.unsure = changedSince(in.Files, began.Add(-coarsest))
	in.Release()
	if err != nil {
		return nil, err
	}
	s.save(ctx, files)
	s.takeAlerts(in, sender, due)
	s.good = in
	for i := range files {
		f := &files[i]
		s.published[f.Path] = f.Data
		d := s.feedDocument(in, f)
		docs = append(docs, d)
		page.Feeds = append(page.Feeds, s.link(s.page(in, ""), d, f))
	}
	h := healthOf(in, &page, time.Now(), s.unsaved)
	s.shown.Store(&shown{in: in, zone: s.zone, computed: h.Computed, feeds: h.Feeds})
	rest, err := s.pageAndHealth(in, page, h)
	debug.FreeOSMemory() // working it out takes more than all that follows, and the next time may be tomorrow
	return append(docs, rest...), err
}

// pageAndHealth makes the page, and the document that says how the server is.
func (s *Server) pageAndHealth(in *inputs.Inputs, shown page.Page, h health) ([]feed.Document, error) {
	var b strings.Builder
	if err := page.WritePage(&b, shown); err != nil {
		return nil, err
	}
	health, err := s.healthDocument(h)
	return []feed.Document{s.page(in, b.String()), health}, err
}

// makeFeeds works out the feeds of every site, the page, the pictures and the pages that sites have of their own, and
// what is due to be told. Of sites that the page does not show in full it keeps no more than that and what is next.
func (s *Server) makeFeeds(
	ctx context.Context, in *inputs.Inputs,
) (files []build.FeedFile, shown page.Page, own []feed.Document, due []alerts.Alert, err error) {
	feeds := build.Feeds{In: in, Whole: len(s.Inputs.Activities) == 0, Folder: s.State, Before: s.before}
	if s.Public {
		feeds.Adorn = func(f *build.FeedFile, c *ical.Feed) {
			c.Source = s.absolute(s.feedDocument(in, f))
			if in.Plan.FeedKey == "" { // who is told a feed's address is not told the page's
				c.URL, c.Page = s.Base.String(), s.Base.String()
			}
		}
	}
	plan := feeds.Plan()
	schedule := calendar.NewSchedule(plan)
	shown = page.Page{Plan: plan, Pages: map[string]string{}, Pictures: map[string]string{}}
	var walls []page.Wall
	keep := func(*build.SiteFeeds) error { return nil }
	err = feeds.Each(ctx, nil, keep, func(pl *inputs.Place, made *build.SiteFeeds) {
		due = append(due, alerts.Due(in.AsOf, made.Work.Entries)...)
		own = append(own, s.siteDocuments(in, &shown, made)...)
		if len(in.Places) <= mostOwnPages {
			ahead := current(&calendar.Schedule{AsOf: in.AsOf, Entries: made.Work.Entries})
			walls = append(walls, page.NewWall(made.Place, ahead.Entries, in.AsOf, in.Plan.Speech))
		}
		if len(in.Places) > page.MaxPageSites {
			made.Place, made.Work.Entries = in.Named(pl), page.Overview(made.Work.Entries, in.AsOf)
		}
		forget(made.Place)
		plan.Places = append(plan.Places, made.Place)
		schedule.Add(made.Work)
		files = append(files, made.Files...)
	})
	schedule.Sort()
	shown.Schedule = current(schedule)
	if err == nil && len(walls) > 0 {
		wall := s.wall(in, walls)
		own, shown.Wall = append(own, wall), seen(s.page(in, ""), wall)
	}
	return files, shown, own, due, err
}

// forget lets go of what was summed up for a place: a page asks for a little of it, which it has summed anew.
func forget(pl *calendar.Place) {
	let := func(o *phenology.Outlook) {
		if o.Temps != nil {
			o.Temps.Forget()
		}
	}
	let(pl.Outlook)
	for _, st := range pl.Stands {
		let(st.Outlook)
	}
}

// coarsest is how far apart two times of a file system may be and still be told as one: FAT counts in two seconds.
const coarsest = 2 * time.Second

// changedSince reports whether a file has changed after a time.
func changedSince(files []string, t time.Time) bool {
	return slices.ContainsFunc(files, func(path string) bool {
		info, err := os.Stat(path)
		return err != nil || info.ModTime().After(t)
	})
}

// current returns the schedule without what is over, which feeds keep for some days and a page does not.
func current(s *calendar.Schedule) *calendar.Schedule {
	kept := *s
	kept.Entries = slices.DeleteFunc(
		slices.Clone(s.Entries), func(e *calendar.Entry) bool { return e.Window.Last < s.AsOf },
	)
	return &kept
}

// load reads the inputs as they are now, on the day that it is at the plan's first site.
func (s *Server) load(ctx context.Context) (*inputs.Inputs, error) {
	o := s.Inputs
	if s.good != nil {
		o.Say = nil // said at the start
	}
	o.Log = func(format string, args ...any) { s.log.Println(fmt.Sprintf(format, args...)) }
	zone := cmp.Or(s.zone, time.Local)
	for {
		o.Today = civil.FromTime(time.Now().In(zone))
		in, err := inputs.Read(ctx, &o)
		if err != nil {
			return nil, err
		}
		s.zone = in.Plan.Sites[0].Zone
		if zone == s.zone || civil.FromTime(time.Now().In(s.zone)) == o.Today {
			return in, nil
		}
		zone, o.Say = s.zone, nil
	}
}

// stamp tells states of the inputs apart by the size and time of every file read, the species' profiles among them, and
// by what files fit the plan's patterns.
func (s *Server) stamp() string {
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
	if s.good != nil {
		for _, path := range slices.Concat(s.good.Files, s.good.Awaited) {
			add(path)
		}
		for _, p := range s.good.Patterns {
			fit, _ := p.Files() // what cannot be read is told when it is read
			fmt.Fprintf(&b, "%q\n", fit)
		}
	}
	if s.Inputs.Profiles != "" {
		filepath.WalkDir(s.Inputs.Profiles, func(path string, _ fs.DirEntry, err error) error {
			add(path)
			return nil // what cannot be read is told when it is read
		})
	}
	return b.String()
}

// next returns the next time at which to work everything out anew: the civil time of the day, or sooner where
// temperatures are fetched.
func (s *Server) next(now time.Time) time.Time {
	y, m, d := now.In(s.zone).Date()
	at := time.Date(y, m, d, s.Daily/60, s.Daily%60, 0, 0, s.zone)
	if !at.After(now) {
		at = time.Date(y, m, d+1, s.Daily/60, s.Daily%60, 0, 0, s.zone)
	}
	again := now.Add(fetchAgain)
	if !s.good.Remote {
		again = s.good.NextAsk(again)
	}
	if !again.IsZero() && again.Before(at) {
		return again
	}
	return at
}
