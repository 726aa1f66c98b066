package serve

import (
	"context"
	"os"
	"path/filepath"
	"sync"
	"time"

	"treewhen/calendar/alerts"
	"treewhen/calendar/alerts/deliver"
	"treewhen/calendar/inputs"
	"treewhen/phenology/problem"
)

// errNoState is the error of a plan with alerts for a server that would forget what it told.
var errNoState = problem.Usage{
	Text: "serve: the plan has alerts, and without --state nobody remembers over a restart who was told of what",
	Hint: "add --state DIR: the feeds are kept there, and what was told",
}

// prepareAlerts returns what sends the alerts of a plan; nil if it has none. The state's folder is locked by then,
// unless it cannot be.
func (s *Server) prepareAlerts(in *inputs.Inputs) (*deliver.Sender, error) {
	if in.Plan.Alerts == nil {
		return nil, nil
	}
	if s.State == "" {
		return nil, errNoState
	}
	if s.outbox.Load() == nil {
		box, err := deliver.Open(filepath.Join(s.State, deliver.MemoryName), time.Now)
		if err != nil {
			return nil, err
		}
		s.outbox.Store(box)
	}
	return deliver.New(in.Plan, os.Getenv)
}

// takeAlerts hands over what is due. A day that is only taken as today is no day on which to tell anybody.
func (s *Server) takeAlerts(in *inputs.Inputs, sender *deliver.Sender, due []alerts.Alert) {
	box := s.outbox.Load()
	if box == nil {
		return
	}
	if sender == nil || s.Inputs.AsOf != nil || in.Plan.AsOf != nil {
		if sender != nil && s.good == nil {
			s.log.Println("no alerts are sent: today is another day than the one taken as today")
		}
		box.Hold()
		return
	}
	all := len(s.Inputs.Activities) == 0 && len(s.Inputs.Sites) == 0
	box.Put(in.FeedID(), in.Plan.Alerts.To, sender, due, in.AsOf, all)
}

// sendAlerts sends what is due, when it is, until ctx is done. What is being sent then may end, for as long as the
// server waits.
func (s *Server) sendAlerts(ctx context.Context) {
	tick := time.NewTicker(s.alertsEvery())
	defer tick.Stop()
	var under sync.WaitGroup
	defer func() {
		done := make(chan struct{})
		go func() {
			under.Wait()
			close(done)
		}()
		select {
		case <-done:
		case <-time.After(stopTime):
		}
	}()
	for {
		if box := s.outbox.Load(); box != nil {
			under.Go(func() {
				if err := box.Send(context.WithoutCancel(ctx)); err != nil {
					s.log.Println("an alert could not be sent, and is tried again: " + err.Error())
				}
			})
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

// alertsEvery is how often it is looked whether an alert is to be sent.
func (s *Server) alertsEvery() time.Duration { return min(s.Poll, 5*time.Second) }
