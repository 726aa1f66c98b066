package build

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/ical"
	"treewhen/calendar/inputs"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// Feeds makes the feeds of sites over those that were published before: one of everything at a site, unless only some
// activities are asked for, and one an activity.
type Feeds struct {
	In     *inputs.Inputs
	Whole  bool   // a feed of everything at a site is wanted as well
	Folder string // that feeds are in
	// Before returns a feed as last published, by its path; its error is fs.ErrNotExist if it never was. It is called
	// by several goroutines.
	Before func(path string) ([]byte, error)
	// Adorn adds what is known of a feed's addresses; may be nil. It is called by several goroutines.
	Adorn func(f *FeedFile, feed *ical.Feed)

	plan *calendar.Plan
}

// FeedFile is a feed ready to be put in place.
type FeedFile struct {
	Name     string // of the file, in the folder of feeds
	Path     string
	Site     string            // its id
	Activity calendar.Activity // "" for all of the site's
	Data     []byte
	Changes  ical.Changes
	Same     bool // what was published before has the same bytes
}

// SiteFeeds are the feeds of a site, and what they were made from. Whoever keeps many of them lets go what is not
// wanted.
type SiteFeeds struct {
	Files []FeedFile
	Place *calendar.Place
	Work  *calendar.Work // with what feeds need of it
}

// recentDays is how long an entry that is over stays in what feeds are made from: one that new data move into the past
// is published so, not cancelled.
const recentDays = 14

// Plan returns what feeds are made from: the days from a fortnight ago to a year ahead.
func (m *Feeds) Plan() *calendar.Plan {
	if m.plan == nil {
		m.plan = m.In.Schedule(civil.Span{First: m.In.AsOf - recentDays, Last: m.In.AsOf + 365})
	}
	return m.plan
}

// Each makes the feeds of every site. What is made of one is handed to finish, as soon as it is made and by several
// goroutines, to put it away and let go what is not wanted; then, in order and one at a time, to emit. Neither is
// called for a site whose feeds cannot be made, which ends the whole. What is wrong with the plan goes before what is
// wrong with a feed.
func (m *Feeds) Each(
	ctx context.Context, told Progress, finish func(*SiteFeeds) error, emit func(*inputs.Place, *SiteFeeds),
) error {
	type made struct {
		SiteFeeds
		problems []calendar.Problem
		err      error
	}
	m.Plan() // before there are several goroutines
	var problems []calendar.Problem
	err := Each(ctx, m.In, told, func(pl *inputs.Place) *made {
		s := &made{}
		s.err = m.site(pl, &s.SiteFeeds)
		s.problems = s.Work.Problems
		if s.err == nil {
			s.err = finish(&s.SiteFeeds)
		}
		return s
	}, func(pl *inputs.Place, s *made) error {
		problems = append(problems, s.problems...)
		if s.err == nil {
			emit(pl, &s.SiteFeeds)
		}
		return s.err
	})
	if wrong := refused(m.In, problems); wrong != nil && !errors.Is(err, context.Canceled) {
		return wrong
	}
	return err
}

// site works out a site and renders its feeds.
func (m *Feeds) site(pl *inputs.Place, made *SiteFeeds) error {
	made.Place = m.In.Ready(pl)
	made.Place.Published = m.published(pl)
	made.Work = At(m.plan, made.Place)
	made.Work.Lighten(calendar.KeepDetails)
	activities := pl.Site.Activities
	if m.Whole {
		activities = append([]calendar.Activity{""}, activities...)
	}
	for _, a := range activities {
		f, err := m.render(pl, a, made.Work.Entries)
		if err != nil {
			return err
		}
		made.Files = append(made.Files, f)
	}
	return nil
}

// render works out one feed over the one that is in place.
func (m *Feeds) render(pl *inputs.Place, a calendar.Activity, entries []*calendar.Entry) (FeedFile, error) {
	f := FeedFile{Name: feedName(pl, a), Site: pl.Site.ID, Activity: a}
	f.Path = filepath.Join(m.Folder, f.Name)
	title := pl.Site.Name
	if a != "" {
		title += ": " + a.Title()
		entries = of(entries, a)
	}
	feed := Feed(m.In, title, pl.Site.ID, a, entries)
	if m.Adorn != nil {
		m.Adorn(&f, &feed)
	}
	old, err := m.Before(f.Path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return f, problem.OfFile(err)
	default:
		if feed.Previous, err = ical.ReadPrevious(bytes.NewReader(old)); err != nil {
			return f, inFeed(f.Path, err)
		}
	}
	if f.Data, f.Changes, err = ical.RenderICS(feed); err != nil {
		return f, fmt.Errorf("%s: %w", f.Path, err)
	}
	if f.Same = bytes.Equal(old, f.Data); f.Same {
		f.Data = old // whoever keeps feeds keeps each once
	} else {
		f.Data = bytes.Clone(f.Data) // without the room that writing it took
	}
	return f, nil
}

// feedName is the name of the file of a site's feed, of an activity or, with "", of all.
func feedName(pl *inputs.Place, a calendar.Activity) string {
	if a == "" {
		return pl.Site.ID + ".ics"
	}
	return pl.Site.ID + "." + string(a) + ".ics"
}

// of returns the entries of an activity.
func of(entries []*calendar.Entry, a calendar.Activity) (kept []*calendar.Entry) {
	for _, e := range entries {
		if e.Activity == a {
			kept = append(kept, e)
		}
	}
	return kept
}

// Feed describes a feed of some entries: those of a site, of an activity at it, or, with neither named, of the plan.
func Feed(in *inputs.Inputs, title, site string, a calendar.Activity, entries []*calendar.Entry) ical.Feed {
	description := "What trees do and the work that follows, from " + in.Plan.Title + "."
	if in.Demo {
		description += " A demonstration: places, people and weather are invented."
	}
	return ical.Feed{
		UID: calendar.CalendarUID(in.FeedID(), site, a), Name: title, Description: description,
		Refresh: 12 * time.Hour, AsOf: in.AsOf, Entries: entries, Days: in.Plan.FeedDays, Color: ical.Color(a),
	}
}
