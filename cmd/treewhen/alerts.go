package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/pflag"

	"treewhen/calendar"
	"treewhen/calendar/alerts"
	"treewhen/calendar/alerts/deliver"
	"treewhen/calendar/build"
	"treewhen/calendar/inputs"
	"treewhen/calendar/phrase"
	"treewhen/calendar/staging"
	"treewhen/calendar/tapping"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

var alertsCommand = command{
	name: "alerts", args: "[PLAN] [options]",
	summary: "what is due to be told today: for cron, pipes and programs of your own",
	about: "Prints what rings in calendars on this day, and what rang before and is still of use; nothing, where\n" +
		"there is nothing. It sends nothing: treewhen feed and treewhen serve do, if the plan says to whom.\n" +
		"With --once each thing is printed once, however often this runs. With --try each recipient of the\n" +
		"plan is sent what they will be told next, marked as a trial, to see whether it arrives.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var format, out, feeds, runs string
		var once, try bool
		o.addTo(fs)
		o.addActivity(fs)
		addFormat(fs, &format, "json")
		addWord(fs, &runs, "runs", "", "the smallest `SIZE` of a run of sap to tell of: small, middling or large; "+
			"one whose size cannot be told is told of", "small", "middling", "large")
		fs.BoolVar(&once, "once", false, "remember in the folder of --feeds what is printed, and print it no more")
		fs.BoolVar(&try, "try", false, "send everybody a trial, and say who took it")
		addFeeds(fs, &feeds)
		addOut(fs, &out)
		return func(ctx context.Context, p *program, args []string) error {
			if once && feeds == "" {
				return problem.Usagef("alerts: --once remembers in the folder of --feeds, want that as well")
			}
			if o.Season != 0 {
				return problem.Usagef("alerts: what is due on a day is of no season; leave --season out")
			}
			in, err := p.load(ctx, args, &o)
			if err != nil {
				return err
			}
			if try {
				return p.tryAlerts(ctx, in)
			}
			return p.printAlerts(ctx, in, printed{format, out, feeds, once, tapping.RunSize(runs)})
		}
	},
}

// printed says how alerts are printed.
type printed struct {
	format, out, feeds string
	once               bool
	runs               tapping.RunSize
}

func (p *program) printAlerts(ctx context.Context, in *inputs.Inputs, how printed) error {
	var outbox *deliver.Outbox
	if how.once {
		unlock, err := staging.Lock(ctx, how.feeds, feedPatience)
		if err != nil {
			return err
		}
		defer unlock()
		noon := func() time.Time { return in.AsOf.Time().Add(12 * time.Hour) }
		if outbox, err = deliver.Open(filepath.Join(how.feeds, deliver.MemoryName), noon); err != nil {
			return err
		}
	}
	if err := p.recall(in, how.feeds); err != nil {
		return err
	}
	s, err := p.alertable(ctx, in)
	if err != nil {
		return err
	}
	var due []alerts.Alert
	for _, a := range alerts.Due(in.AsOf, s.Entries) {
		if alerts.LargeEnough(a.Entry, how.runs) {
			due = append(due, a)
		}
	}
	var list []alerts.Message
	write := func() error {
		return p.output(ctx, how.out, in.Files, func(w io.Writer) error {
			if how.format == "json" {
				return alerts.WriteJSON(w, in.Plan.Title, in.AsOf, list)
			}
			return alerts.WriteText(w, list)
		})
	}
	if outbox == nil {
		for i := range due {
			list = append(list, due[i].Message())
		}
		return write()
	}
	return outbox.Print(in.FeedID(), due, in.AsOf, func(fresh []alerts.Message) error {
		list = fresh
		return write()
	})
}

// alertable works out what alerts may be of: as far as feeds look, so that the same is found.
func (p *program) alertable(ctx context.Context, in *inputs.Inputs) (*calendar.Schedule, error) {
	days := civil.Span{First: in.AsOf - 14, Last: in.AsOf + 365}
	_, s, _, err := schedule[struct{}](ctx, p, in, days, build.Want{Keep: calendar.KeepDetails}, nil)
	return s, err
}

// tryAlerts sends each recipient a trial, and prints who took it.
func (p *program) tryAlerts(ctx context.Context, in *inputs.Inputs) error {
	if in.Plan.Alerts == nil {
		return problem.Usagef("alerts: the plan has no alerts, want some to try; see treewhen help plan")
	}
	sender, err := deliver.New(in.Plan, os.Getenv)
	if err != nil {
		return err
	}
	s, err := p.alertable(ctx, in)
	if err != nil {
		return err
	}
	var failed []error
	for _, to := range in.Plan.Alerts.To {
		a, ok := alerts.Next(to, in.AsOf, s.Entries)
		if !ok {
			p.say("the recipient on line %d of the plan: nothing in the year ahead is for them, nothing is sent",
				to.Line)
			continue
		}
		if err := sender.Send(ctx, to, a.Message().Trial(p.now())); err != nil {
			failed = append(failed, err)
			continue
		}
		if _, err := fmt.Fprintf(p.stdout, "the recipient on line %d of the plan: taken\n", to.Line); err != nil {
			return err
		}
	}
	return errors.Join(failed...)
}

// openOutbox opens what sends the alerts of a plan, before anything is worked out; nil if it has none.
func (p *program) openOutbox(in *inputs.Inputs, dir string) (*deliver.Outbox, *deliver.Sender, error) {
	if in.Plan.Alerts == nil {
		return nil, nil, nil
	}
	sender, err := deliver.New(in.Plan, os.Getenv)
	if err != nil {
		return nil, nil, err
	}
	outbox, err := deliver.Open(filepath.Join(dir, deliver.MemoryName), p.now)
	return outbox, sender, err
}

// alertTries is how often feed tries to send what is due, each time after twice the pause, as [alerts.Box] has it.
const alertTries = 3

// sendAlerts sends what is due on this day, and tries again what fails. What still fails is tried by the next run.
func (p *program) sendAlerts(
	ctx context.Context, in *inputs.Inputs, o *inputOptions, outbox *deliver.Outbox, sender *deliver.Sender,
	due []alerts.Alert,
) error {
	switch {
	case outbox == nil:
		return nil
	case o.AsOf != nil || in.Plan.AsOf != nil:
		p.say("hint: no alerts are sent: another day is taken as today")
		return nil
	}
	for i := range due { // all of the day's: there may be no other run on it
		due[i].Early = true
	}
	all := len(o.Activities) == 0 && len(o.Sites) == 0
	outbox.Put(in.FeedID(), in.Plan.Alerts.To, sender, due, in.AsOf, all)
	if err := outbox.Save(); err != nil { // whoever cannot remember tells nobody, or tells them twice
		return fmt.Errorf("the feeds are in place; no alerts were sent, since it cannot be remembered who was told: %w",
			err)
	}
	var last error // what failed in an earlier run and waits for its time is told by that
	for try := range alertTries {
		if err := outbox.Send(ctx); err != nil {
			last = err
		}
		if last == nil || outbox.Trouble().Failing == 0 || ctx.Err() != nil {
			break
		}
		if try < alertTries-1 {
			p.say("%v; trying again soon", last)
			select {
			case <-ctx.Done():
			case <-time.After(p.pause << try):
			}
		}
	}
	if last != nil && outbox.Trouble().Failing > 0 {
		return fmt.Errorf("the feeds are in place; alerts could not be sent, and are tried again by the next run: %w",
			last)
	}
	if n := outbox.Held(); n > 0 {
		p.say("%s not sent in the hours of quiet: run this after them", phrase.Count(n, "alert"))
	}
	return nil
}
