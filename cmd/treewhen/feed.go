package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"treewhen/calendar"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

var feedCommand = command{
	name: "feed", args: "[PLAN] --out DIR [options]",
	summary: "iCalendar files to subscribe to; running it again updates them in place",
	about: "Writes SITE.ics for every site and SITE.ACTIVITY.ics for every activity at it. A file that is\n" +
		"there already is read first: what has not changed keeps its bytes, what has moved is revised,\n" +
		"what is no longer expected is published as cancelled, then dropped.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var out string
		o.addTo(fs)
		o.addActivity(fs)
		fs.StringVar(&out, "out", "", "the `DIR` to write to; made if it is not there")
		return func(_ context.Context, p *program, args []string) error {
			if out == "" {
				return usageError{text: "feed: --out is missing, want the folder to write the feeds to", hint: "treewhen feed PLAN --out calendars"}
			}
			if o.season != 0 || len(o.species) > 0 {
				// A feed is the whole truth about its site: with a part left out, that part would be published as cancelled.
				return usagef("feed: --season and --species would cancel everything else in the feeds; leave them out")
			}
			in, err := p.load(args, &o)
			if err != nil {
				return err
			}
			return p.writeFeeds(in, &o, out)
		}
	},
}

// recentDays is how long an entry that is over stays in what feeds are made from.
const recentDays = 14

// feedFile is a feed ready to be put in place.
type feedFile struct {
	name     string // of the file, in the folder of feeds
	path     string
	site     *place
	activity calendar.Activity // "" for all of the site's
	data     []byte
	changes  calendar.Changes
	same     bool
}

// writeFeeds works out and writes every feed before it puts the first in place, so that an error leaves all files as they
// were.
func (p *program) writeFeeds(in *inputs, o *inputOptions, dir string) error {
	if in.plan.FeedID == nil && !in.isDemo {
		p.say("hint: the plan sets no feed_id; treewhen check says how and why")
	}
	maker := feedMaker{in: in, dir: dir, before: os.ReadFile}
	plan := in.calendarPlan(in.feedSpan())
	maker.recall(plan)
	schedule, err := in.build(plan)
	if err != nil {
		return err
	}
	files, err := maker.render(schedule, len(o.activities) == 0)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return plain(err)
	}
	var staged []stagedFile // all on the disk before the first takes its place: a full disk changes no feed
	defer func() {
		for _, s := range staged {
			s.drop()
		}
	}()
	for _, f := range files {
		if f.same {
			continue
		}
		s, err := stageFile(f.path, f.data)
		if err != nil {
			return err
		}
		staged = append(staged, s)
	}
	for _, s := range staged {
		if err := s.put(); err != nil {
			return err
		}
	}
	for _, f := range files {
		fmt.Fprintf(p.stdout, "%s: %s\n", f.path, f.summary())
	}
	return nil
}

// feedSpan returns the days that feeds are made from. An entry that new data move into the past is published so, not
// cancelled: hence some days before today.
func (in *inputs) feedSpan() civil.Span {
	return civil.Span{First: in.asOf - recentDays, Last: in.asOf + 365}
}

// feedMaker makes feeds over those published before.
type feedMaker struct {
	in     *inputs
	dir    string                                // where they lie
	before func(path string) ([]byte, error)     // a feed as last published; its error is fs.ErrNotExist if it never was
	adorn  func(f feedFile, feed *calendar.Feed) // adds what is known of addresses; may be nil
}

// recall tells a plan which trips stand in the feeds in place, so that one whose day has come stays on it. A feed that cannot
// be read is no matter here: it is said when it is to be built upon.
func (m feedMaker) recall(plan *calendar.Plan) {
	for i, pl := range m.in.places {
		if !slices.Contains(pl.site.Activities, calendar.FieldTrip) {
			continue
		}
		for _, name := range []string{pl.site.ID + "." + string(calendar.FieldTrip) + ".ics", pl.site.ID + ".ics"} {
			data, err := m.before(filepath.Join(m.dir, name))
			if err != nil {
				continue
			}
			if old, err := calendar.ReadPrevious(bytes.NewReader(data)); err == nil {
				plan.Places[i].Published = old.Days()
				break
			}
		}
	}
}

// render works out every feed of a schedule: one a site, unless whole is false, and one a site and activity.
func (m feedMaker) render(s *calendar.Schedule, whole bool) ([]feedFile, error) {
	var files []feedFile
	for _, pl := range m.in.places {
		bySite := pick(s.Entries, pl.site.ID, "")
		if whole {
			f, err := m.one(pl, "", bySite)
			if err != nil {
				return nil, err
			}
			files = append(files, f)
		}
		for _, a := range pl.site.Activities {
			f, err := m.one(pl, a, pick(bySite, pl.site.ID, a))
			if err != nil {
				return nil, err
			}
			files = append(files, f)
		}
	}
	return files, nil
}

// pick returns the entries of a site, and of one activity if it is named.
func pick(entries []*calendar.Entry, site string, a calendar.Activity) []*calendar.Entry {
	var kept []*calendar.Entry
	for _, e := range entries {
		if e.Site.ID == site && (a == "" || e.Activity == a) {
			kept = append(kept, e)
		}
	}
	return kept
}

// one works out one feed over the one that is in place.
func (m feedMaker) one(pl *place, a calendar.Activity, entries []*calendar.Entry) (feedFile, error) {
	name, title := pl.site.ID, pl.site.Name
	if a != "" {
		name += "." + string(a)
		title += ": " + a.Title()
	}
	name += ".ics"
	f := feedFile{name: name, path: filepath.Join(m.dir, name), site: pl, activity: a}
	feed := m.in.feed(title, pl.site.ID, a, entries)
	if m.adorn != nil {
		m.adorn(f, &feed)
	}
	old, err := m.before(f.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return f, plain(err)
	default:
		if feed.Previous, err = calendar.ReadPrevious(bytes.NewReader(old)); err != nil {
			var bad problem.Problem
			if errors.As(err, &bad) {
				bad.File = f.path
				return f, problem.List{bad}
			}
			return f, fmt.Errorf("%s: %w", f.path, err)
		}
	}
	if f.data, f.changes, err = calendar.RenderICS(feed); err != nil {
		return f, fmt.Errorf("%s: %w", f.path, err)
	}
	f.same = bytes.Equal(old, f.data)
	return f, nil
}

// feed describes a feed of some entries: those of a site, of an activity at it, or, with neither named, of the plan.
func (in *inputs) feed(title, site string, a calendar.Activity, entries []*calendar.Entry) calendar.Feed {
	description := "What trees do and the work that follows, from " + in.plan.Title + "."
	if in.isDemo {
		description += " A demonstration: places, people and weather are invented."
	}
	return calendar.Feed{
		UID: calendar.CalendarUID(in.feedID(), site, a), Name: title, Description: description,
		Refresh: 12 * time.Hour, AsOf: in.asOf, Entries: entries, Days: in.plan.FeedDays, Color: a.Color(),
	}
}

// summary says what became of a feed.
func (f feedFile) summary() string {
	if f.same {
		return "unchanged"
	}
	var parts []string
	for _, c := range []struct {
		n    int
		what string
	}{
		{f.changes.Added, "new"}, {f.changes.Revised, "revised"}, {f.changes.Cancelled, "cancelled"},
		{f.changes.Dropped, "dropped"}, {f.changes.Kept, "kept"},
	} {
		if c.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", c.n, c.what))
		}
	}
	if len(parts) == 0 {
		return "nothing due"
	}
	return strings.Join(parts, ", ")
}
