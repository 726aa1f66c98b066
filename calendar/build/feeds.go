package build

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/ical"
	"treewhen/calendar/inputs"
	"treewhen/calendar/words"
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
	Revised  []ical.Revision // what was revised or cancelled
	Same     bool            // what was published before has the same bytes
	Large    bool            // larger than [ical.MostRead]
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
// called for a site whose feeds cannot be made, which ends the whole.
func (m *Feeds) Each(
	ctx context.Context, told Progress, finish func(*SiteFeeds) error, emit func(*inputs.Place, *SiteFeeds),
) error {
	type made struct {
		SiteFeeds
		err error
	}
	m.Plan() // before there are several goroutines
	return Each(ctx, m.In, told, func(pl *inputs.Place) *made {
		s := &made{}
		if s.err = m.site(pl, &s.SiteFeeds); s.err == nil {
			s.err = finish(&s.SiteFeeds)
		}
		return s
	}, func(pl *inputs.Place, s *made) error {
		if s.err == nil {
			emit(pl, &s.SiteFeeds)
		}
		return s.err
	})
}

// site works out a site and renders its feeds.
func (m *Feeds) site(pl *inputs.Place, made *SiteFeeds) error {
	made.Place = m.In.Ready(pl)
	old, err := m.previous(pl)
	if err != nil {
		return err
	}
	made.Place.Memory = memoryOf(old)
	made.Work = At(m.plan, made.Place)
	made.Work.Lighten(calendar.KeepDetails)
	for _, a := range m.kinds(pl) {
		f, err := m.render(pl, a, made.Work.Entries, old[feedName(pl, a)])
		if err != nil {
			return err
		}
		made.Files = append(made.Files, f)
		for _, r := range f.Revised {
			for _, e := range made.Work.Entries { // so that the page tells what moved this morning as well
				if strings.EqualFold(e.UID, r.UID) && r.Is.Moved != nil {
					e.Moved = r.Is.Moved
				}
			}
		}
	}
	return nil
}

// kinds are the feeds of a site: "" is that of everything.
func (m *Feeds) kinds(pl *inputs.Place) []calendar.Activity {
	if m.Whole {
		return append([]calendar.Activity{""}, pl.Site.Activities...)
	}
	return pl.Site.Activities
}

// previous is a feed in place.
type previous struct {
	data []byte
	feed *ical.Previous
}

// previous reads a site's feeds in place, by their names.
func (m *Feeds) previous(pl *inputs.Place) (map[string]*previous, error) {
	feeds := map[string]*previous{}
	for _, a := range m.kinds(pl) {
		name := feedName(pl, a)
		path := filepath.Join(m.Folder, name)
		data, err := m.Before(path)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, problem.OfFile(err)
		}
		old, err := ical.ReadPrevious(bytes.NewReader(data))
		if err != nil {
			return nil, inFeed(path, err)
		}
		feeds[name] = &previous{data, old}
	}
	return feeds, nil
}

// memoryOf joins what several feeds of a site tell; nil if there is none. One event is told alike by all that have it.
func memoryOf(feeds map[string]*previous) map[string]calendar.Memory {
	if len(feeds) == 0 {
		return nil
	}
	memory := map[string]calendar.Memory{}
	for _, name := range slices.Sorted(maps.Keys(feeds)) {
		maps.Copy(memory, feeds[name].feed.Memory())
	}
	return memory
}

// render works out one feed over the one that is in place.
func (m *Feeds) render(
	pl *inputs.Place, a calendar.Activity, entries []*calendar.Entry, old *previous,
) (FeedFile, error) {
	f := FeedFile{Name: feedName(pl, a), Site: pl.Site.ID, Activity: a}
	f.Path = filepath.Join(m.Folder, f.Name)
	title := words.LabelsIn(m.In.Plan.Speech).CalendarTitle(pl.Site.Name, a)
	if a != "" {
		entries = of(entries, a)
	}
	feed := Feed(m.In, title, pl.Site.ID, a, entries, pl)
	feed.Revised = func(r ical.Revision) { f.Revised = append(f.Revised, r) }
	if m.Adorn != nil {
		m.Adorn(&f, &feed)
	}
	if old != nil {
		feed.Previous = old.feed
	}
	var err error
	if f.Data, f.Changes, err = ical.RenderICS(feed); err != nil {
		return f, fmt.Errorf("%s: %w", f.Path, err)
	}
	f.Large = len(f.Data) > ical.MostRead
	if f.Same = old != nil && bytes.Equal(old.data, f.Data); f.Same {
		f.Data = old.data // whoever keeps feeds keeps each once
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

// Feed describes a feed of some entries at some places: those of a site, of an activity at it, or, with neither named,
// of the plan.
func Feed(
	in *inputs.Inputs, title, site string, a calendar.Activity, entries []*calendar.Entry, places ...*inputs.Place,
) ical.Feed {
	labels := words.LabelsIn(in.Plan.Speech)
	f := ical.Feed{
		UID: calendar.CalendarUID(in.FeedID(), site, a), Name: title,
		Description: labels.CalendarText(in.Plan.Title, in.Demo), Zone: zoneOf(places), Labels: labels,
		Refresh: refresh(in.AsOf, entries), AsOf: in.AsOf, Entries: entries, Days: in.Plan.FeedDays,
		Color: ical.Color(a),
	}
	if in.Plan.FeedKey == "" { // else who is told of an event is not told where the page is
		f.Page = in.Plan.Address
	}
	if len(in.Plan.Sites) > 1 { // else there is nothing to tell a site from
		f.Looks = map[string]ical.Look{}
		for _, pl := range places {
			f.Looks[pl.Site.ID] = ical.Look{Short: pl.Site.Short, Color: pl.Site.Color}
		}
		if site != "" {
			f.Color = places[0].Site.Color
		}
	}
	return f
}

// zoneOf returns the name of the zone that all of some places are in; "" where there is none.
func zoneOf(places []*inputs.Place) (zone string) {
	for i, pl := range places {
		if pl.Site.Zone == nil || i > 0 && zone != pl.Site.Zone.String() {
			return ""
		}
		zone = pl.Site.Zone.String()
	}
	return zone
}

// How often programs are asked to fetch a feed: sap runs with the weather, and what a morning's forecast brings must be
// known by the evening; all else is days ahead.
const (
	refreshUsually = 12 * time.Hour
	refreshTapping = 4 * time.Hour
	tappingNear    = 14 // days before the first work of tapping
)

// refresh returns how often to fetch a feed of some entries.
func refresh(asOf civil.Date, entries []*calendar.Entry) time.Duration {
	near := civil.Span{First: asOf, Last: asOf + tappingNear}
	for _, e := range entries {
		if e.Activity == calendar.Tapping && !e.State.Over() && e.Window.Overlaps(near) {
			return refreshTapping
		}
	}
	return refreshUsually
}
