package feed

import (
	"context"
	"fmt"
	"time"
)

// Source makes the snapshots of a handler: at first, when the inputs have changed, and at set times. When the inputs turn
// bad, the last good documents stay, and say so.
type Source struct {
	// Compute works out all documents.
	Compute func(context.Context) ([]Document, error)
	// Stale returns what to hand out in place of the last good documents while Compute fails: the same feeds, with the
	// trouble said where people and monitors look.
	Stale func(last []Document, err error, since time.Time) []Document
	// Stamp tells states of the inputs apart, and is cheap. It is asked after Compute and then from time to time. What may
	// have changed while Compute read it must make the first answer unlike the next.
	Stamp func() string
	// Next returns the next time at which to compute though no input has changed, later than now.
	Next func(now time.Time) time.Time
	// Log is told of every change for the better or worse, once.
	Log func(text string)

	Poll  time.Duration // how often to look at the stamp
	Retry time.Duration // how often to try again while Compute fails

	good    []Document
	stamp   string // of the inputs last computed from
	since   time.Time
	trouble string
}

// Start makes the first snapshot of h. It fails if that cannot be made.
func (s *Source) Start(ctx context.Context, h *Handler) error {
	docs, err := s.Compute(ctx)
	s.stamp = s.Stamp()
	if err != nil {
		return err
	}
	return s.publish(h, docs)
}

// Run keeps the snapshot of h true until ctx is done.
func (s *Source) Run(ctx context.Context, h *Handler) {
	tick := time.NewTicker(s.Poll)
	defer tick.Stop()
	due := s.Next(time.Now())
	seen := s.stamp
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		stamp := s.Stamp()
		// A file that is being written changes from look to look; it is read when it has come to rest.
		changed := stamp != s.stamp && stamp == seen
		seen = stamp
		if now := time.Now(); changed || !now.Before(due) {
			s.refresh(ctx, h)
			s.stamp = s.Stamp()
			due = s.Next(time.Now())
			if s.trouble != "" {
				due = earlier(due, time.Now().Add(s.Retry))
			}
		}
	}
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

// refresh computes anew and publishes what there is to publish.
func (s *Source) refresh(ctx context.Context, h *Handler) {
	docs, err := s.Compute(ctx)
	if ctx.Err() != nil {
		return // told to stop in the midst of it
	}
	if err == nil {
		err = s.publish(h, docs)
	}
	if err == nil {
		if s.trouble != "" {
			s.Log("the inputs are good again")
		}
		s.trouble = ""
		return
	}
	if s.trouble == "" {
		s.since = time.Now()
	}
	if text := err.Error(); text != s.trouble {
		s.trouble = text
		s.Log(fmt.Sprintf("keeping the last good feeds: %s", text))
	}
	// The error was said; were these documents not to be had either, the last ones stay.
	if snapshot, err := NewSnapshot(h.Snapshot(), time.Now(), s.Stale(s.good, err, s.since)); err == nil {
		h.Swap(snapshot)
	}
}

func (s *Source) publish(h *Handler, docs []Document) error {
	snapshot, err := NewSnapshot(h.Snapshot(), time.Now(), docs)
	if err != nil {
		return err
	}
	h.Swap(snapshot)
	s.good = docs
	return nil
}
