package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"treewhen/calendar"
	"treewhen/calendar/build"
	"treewhen/calendar/ical"
	"treewhen/calendar/staging"
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
		return func(ctx context.Context, p *program, args []string) error {
			if out == "" {
				return problem.Usage{Text: "feed: --out is missing, want the folder to write the feeds to", Hint: "treewhen feed PLAN --out calendars"}
			}
			if o.season != 0 || len(o.species) > 0 {
				// A feed is the whole truth about its site: with a part left out, that part would be published as cancelled.
				return problem.Usagef("feed: --season and --species would cancel everything else in the feeds; leave them out")
			}
			in, err := p.load(args, &o)
			if err != nil {
				return err
			}
			return p.writeFeeds(ctx, in, &o, out)
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
	changes  ical.Changes
	same     bool
}

// siteFeeds are the feeds of a site.
type siteFeeds struct {
	files    []feedFile
	problems problem.List
	err      error
}

// writeFeeds works out and stages every feed before it puts the first in place, so that an error or an interruption leaves
// all files as they were. It goes site by site: of those that are staged, it keeps what there is to say of them.
func (p *program) writeFeeds(ctx context.Context, in *inputs, o *inputOptions, dir string) error {
	if in.plan.FeedID == nil && !in.isDemo {
		p.say("hint: the plan sets no feed_id; treewhen check says how and why")
	}
	maker := feedMaker{in: in, plan: in.calendarPlan(in.feedSpan()), whole: len(o.activities) == 0, dir: dir, before: readFeed}
	var stage staging.Files
	defer stage.Drop()
	if err := stage.MakeFolder(dir); err != nil {
		return err
	}
	work := func(pl *place) siteFeeds {
		made := maker.site(pl, nil)
		for i := range made.files {
			if f := &made.files[i]; made.err == nil && !f.same {
				made.err = stage.Add(f.path, f.data)
			}
			made.files[i].data = nil
		}
		return made
	}
	var told strings.Builder
	var problems problem.List
	err := atEveryPlace(ctx, in, p.progress("sites with feeds made"), work, func(_ *place, made siteFeeds) error {
		problems = append(problems, made.problems...)
		for _, f := range made.files {
			fmt.Fprintf(&told, "%s: %s\n", f.path, f.summary())
		}
		return made.err
	})
	if refused := in.refused(problems); refused != nil && !errors.Is(err, context.Canceled) {
		return refused // what is wrong with the plan goes before what is wrong with a feed
	}
	if err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := stage.Put(); err != nil {
		return err
	}
	_, err = io.WriteString(p.stdout, told.String())
	return err
}

// feedSpan returns the days that feeds are made from. An entry that new data move into the past is published so, not
// cancelled: hence some days before today.
func (in *inputs) feedSpan() civil.Span {
	return civil.Span{First: in.asOf - recentDays, Last: in.asOf + 365}
}

// feedMaker makes feeds over those published before. It may be used by several goroutines.
type feedMaker struct {
	in     *inputs
	plan   *calendar.Plan
	whole  bool // a feed of everything at a site is wanted as well
	dir    string
	before func(path string) ([]byte, error) // a feed as last published; its error is fs.ErrNotExist if it never was
	adorn  func(f feedFile, feed *ical.Feed) // adds what is known of addresses; may be nil
}

// site works out a site and renders its feeds: one of everything, unless only some activities are asked for, and one an
// activity. What is worked out is handed to look as well, if that is set.
func (m feedMaker) site(pl *place, look func(*calendar.Place, *calendar.Work)) (made siteFeeds) {
	at := m.in.calendarPlace(pl)
	at.Published = m.published(pl)
	work := build.At(m.plan, at)
	made.problems = work.Problems
	work.Lighten(calendar.KeepDetails)
	if look != nil {
		look(at, work)
	}
	if m.whole {
		made.add(m.one(pl, "", work.Entries))
	}
	for _, a := range pl.site.Activities {
		made.add(m.one(pl, a, pick(work.Entries, a)))
	}
	return made
}

func (s *siteFeeds) add(f feedFile, err error) {
	switch {
	case s.err != nil:
	case err != nil:
		s.err, s.files = err, nil
	default:
		s.files = append(s.files, f)
	}
}

// readFeed reads a feed in place, or as much of it as shows that it is too large to be one.
func readFeed(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, ical.MaxFeed+1))
}

// published returns which trips stand in a site's feeds in place, so that one whose day has come stays on it. A feed that
// cannot be read is no matter here: it is said when it is to be built upon.
func (m feedMaker) published(pl *place) map[string]civil.Date {
	for _, name := range tripFeeds(pl) {
		data, err := m.before(filepath.Join(m.dir, name))
		if err != nil {
			continue
		}
		if old, err := ical.ReadPrevious(bytes.NewReader(data)); err == nil {
			return old.Days()
		}
	}
	return nil
}

// tripFeeds are the names of the feeds in which a site's trips stand; none if it has none.
func tripFeeds(pl *place) []string {
	if !slices.Contains(pl.site.Activities, calendar.FieldTrip) {
		return nil
	}
	return []string{pl.site.ID + "." + string(calendar.FieldTrip) + ".ics", pl.site.ID + ".ics"}
}

// addFeeds adds the option that lets a command that publishes nothing know what was published.
func addFeeds(fs *pflag.FlagSet, dir *string) {
	fs.StringVar(dir, "feeds", "", "the `DIR` that treewhen feed writes to: field trips that stand there on days that have come count as made, and those ahead stay unless other days show clearly more, as they do for feed")
}

// recall reads from a folder of feeds which trips stand in them; "" is none.
func (in *inputs) recall(p *program, dir string) error {
	if dir == "" {
		return nil
	}
	if _, err := os.Stat(dir); err != nil {
		return problem.OfFile(err)
	}
	wanted, found := 0, 0
	for _, pl := range in.places {
		names := tripFeeds(pl)
		wanted += min(len(names), 1)
		for _, name := range names {
			path := filepath.Join(dir, name)
			data, err := readFeed(path)
			if errors.Is(err, fs.ErrNotExist) {
				continue
			}
			if err != nil {
				return problem.OfFile(err)
			}
			old, err := ical.ReadPrevious(bytes.NewReader(data))
			if err != nil {
				return inFeed(path, err)
			}
			if in.published == nil {
				in.published = map[string]map[string]civil.Date{}
			}
			in.published[pl.site.ID], in.files = old.Days(), append(in.files, path)
			found++
			break
		}
	}
	if wanted > 0 && found == 0 {
		p.say("hint: %s holds no feed with field trips of this plan; no trip counts as made but those under booked", dir)
	}
	return nil
}

// inFeed names the file in an error of [ical.ReadPrevious].
func inFeed(path string, err error) error {
	var bad problem.Problem
	if errors.As(err, &bad) {
		bad.File = path
		return problem.List{bad}
	}
	return fmt.Errorf("%s: %w", path, err)
}

// pick returns the entries of an activity.
func pick(entries []*calendar.Entry, a calendar.Activity) (kept []*calendar.Entry) {
	for _, e := range entries {
		if e.Activity == a {
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
		return f, problem.OfFile(err)
	default:
		if feed.Previous, err = ical.ReadPrevious(bytes.NewReader(old)); err != nil {
			return f, inFeed(f.path, err)
		}
	}
	if f.data, f.changes, err = ical.RenderICS(feed); err != nil {
		return f, fmt.Errorf("%s: %w", f.path, err)
	}
	f.same = bytes.Equal(old, f.data)
	return f, nil
}

// feed describes a feed of some entries: those of a site, of an activity at it, or, with neither named, of the plan.
func (in *inputs) feed(title, site string, a calendar.Activity, entries []*calendar.Entry) ical.Feed {
	description := "What trees do and the work that follows, from " + in.plan.Title + "."
	if in.isDemo {
		description += " A demonstration: places, people and weather are invented."
	}
	return ical.Feed{
		UID: calendar.CalendarUID(in.feedID(), site, a), Name: title, Description: description,
		Refresh: 12 * time.Hour, AsOf: in.asOf, Entries: entries, Days: in.plan.FeedDays, Color: ical.Color(a),
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
