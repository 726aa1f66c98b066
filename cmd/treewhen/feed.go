package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"treewhen/calendar"
	"treewhen/calendar/alerts"
	"treewhen/calendar/build"
	"treewhen/calendar/inputs"
	"treewhen/calendar/staging"
	"treewhen/calendar/words"
	"treewhen/phenology/problem"
)

var feedCommand = command{
	name: "feed", args: "[PLAN] --out DIR [options]",
	summary: "iCalendar files to subscribe to; running it again updates them in place",
	about: "Writes SITE.ics for every site and SITE.ACTIVITY.ics for every activity at it. A file that is\n" +
		"there already is read first: what has not changed keeps its bytes, what has moved is revised,\n" +
		"what is no longer expected is published as cancelled, then dropped. One run at a time writes to a\n" +
		"folder: another waits for a minute. All files are in place before the table of them is printed, and\n" +
		"then the alerts that are due on this day are sent, if the plan has any: see help plan.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var out string
		o.addTo(fs)
		o.addActivity(fs)
		fs.StringVar(&out, "out", "", "the `DIR` to write to; made if it is not there")
		return func(ctx context.Context, p *program, args []string) error {
			if out == "" {
				return problem.Usage{
					Text: "feed: --out is missing, want the folder to write the feeds to",
					Hint: "treewhen feed PLAN --out calendars",
				}
			}
			if err := o.checkWhole("feed"); err != nil {
				return err
			}
			in, err := p.load(ctx, args, &o)
			if err != nil {
				return err
			}
			return p.writeFeeds(ctx, in, &o, out)
		}
	},
}

// writeFeeds works out and stages every feed before it puts the first in place, so that an error or an interruption
// leaves all files as they were. It goes site by site: of those that are staged, it keeps what there is to say of them.
func (p *program) writeFeeds(ctx context.Context, in *inputs.Inputs, o *inputOptions, dir string) error {
	if in.Plan.FeedID == nil && !in.Demo {
		p.say("hint: the plan sets no feed_id; treewhen check says how and why")
	}
	var stage staging.Files
	defer stage.Drop()
	if err := stage.MakeFolder(dir); err != nil {
		return err
	}
	// From here on what is read of the feeds in place is what will be written over.
	if err := stage.Lock(ctx, dir, feedPatience); err != nil {
		return err
	}
	outbox, sender, err := p.openOutbox(in, dir)
	if err != nil {
		return err
	}
	watch := p.progress("sites with feeds made")
	defer watch.end()
	var told strings.Builder
	var doubts []string
	var due []alerts.Alert
	var large []string
	feeds := build.Feeds{In: in, Whole: len(o.Activities) == 0, Folder: dir, Before: build.ReadFeed}
	err = feeds.Each(ctx, watch.update, func(made *build.SiteFeeds) error {
		made.Place = nil
		made.Work.Entries = slices.DeleteFunc(made.Work.Entries, func(e *calendar.Entry) bool {
			return in.Plan.Alerts == nil || len(alerts.Due(in.AsOf, []*calendar.Entry{e})) == 0
		})
		for i := range made.Files {
			f := &made.Files[i]
			if !f.Same {
				if err := stage.Add(f.Path, f.Data); err != nil {
					return err
				}
			}
			f.Data = nil
		}
		return nil
	}, func(pl *inputs.Place, made *build.SiteFeeds) {
		due = append(due, alerts.Due(in.AsOf, made.Work.Entries)...)
		for _, f := range made.Files {
			fmt.Fprintf(&told, "%s: %s\n", f.Path, summary(f))
			if f.Large {
				large = append(large, f.Name)
			}
			if f.Activity != "" && feeds.Whole {
				continue // what was revised is told with the feed of everything
			}
			for _, r := range f.Revised {
				fmt.Fprintf(&told, "  %s\n", words.Revision(r.Title, r.Was, r.Is, in.Plan.Speech,
					pl.Species...))
			}
		}
		for _, n := range made.Work.Notes {
			if d, is := n.Says.(calendar.Doubt); is {
				doubts = append(doubts, n.Site.Name+": "+words.Doubt(d, in.Plan.Speech))
			}
		}
	})
	if err != nil {
		return err
	}
	watch.end()
	for _, d := range doubts {
		p.say("%s", d)
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := stage.Put(); err != nil {
		return err
	}
	if _, err = io.WriteString(p.stdout, told.String()); err != nil {
		return fmt.Errorf("the feeds are in place in %s; the table of them could not be written: %w", dir, err)
	}
	if len(large) > 0 {
		p.say("hint: larger than a megabyte, which some calendar programs do not take: %s; subscribe to the feeds of "+
			"single activities, or name fewer species", problem.Names(large, 3))
	}
	return p.sendAlerts(ctx, in, o, outbox, sender, due)
}

// feedPatience is how long feed waits for another run that writes to its folder.
const feedPatience = time.Minute

// addFeeds adds the option that lets a command that publishes nothing know what was published.
func addFeeds(fs *pflag.FlagSet, dir *string) {
	fs.StringVar(dir, "feeds", "", "the `DIR` that treewhen feed writes to: what it told is held to, as feed does: an "+
		"advice to tap, a field trip on a day that has come, which counts as made, and those ahead unless other days "+
		"show clearly more")
}

// recall reads from a folder of feeds what they told; "" is none.
func (p *program) recall(in *inputs.Inputs, dir string) error {
	none, err := build.Recall(in, dir)
	if none {
		p.say("hint: %s holds no feed of this plan; nothing is held to, and no trip counts as made but those under "+
			"booked", dir)
	}
	return err
}

// summary says what became of a feed.
func summary(f build.FeedFile) string {
	if f.Same {
		return "unchanged"
	}
	var parts []string
	for _, c := range []struct {
		n    int
		what string
	}{
		{f.Changes.Added, "new"}, {f.Changes.Revised, "revised"}, {f.Changes.Reworded, "reworded"},
		{f.Changes.Cancelled, "cancelled"}, {f.Changes.Dropped, "dropped"}, {f.Changes.Kept, "kept"},
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
