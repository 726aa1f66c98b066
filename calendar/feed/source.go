package feed

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// Source makes the snapshots of a handler: at first, when the inputs have changed, and at set times. When the inputs
// turn bad, or when they keep Compute or Stamp waiting, the last good documents stay, and say so.
type Source struct {
	// Compute works out all documents. It ends when its context does, as far as it can.
	Compute func(context.Context) ([]Document, error)
	// Stale returns what to hand out in place of the last good documents while Compute fails: the same feeds, with the
	// trouble said where people and monitors look. Where the error is [ErrOverdue], Compute or Stamp may be under way.
	Stale func(last []Document, err error, since time.Time) []Document
	// Renew returns the documents that are handed out as they are now, where some have become others without being
	// worked out anew, nil where none has; it is cheap, and asked from time to time. It may be nil.
	Renew func(now []Document) []Document
	// Stamp tells states of the inputs apart, and is cheap. It is asked after Compute and then from time to time. What
	// may have changed while Compute read it must make the first answer unlike the next.
	Stamp func() string
	// Next returns the next time at which to compute though no input has changed, later than now.
	Next func(now time.Time) time.Time
	// Log is told of every change for the better or worse, once.
	Log   func(text string)
	Poll  time.Duration // how often to look at the stamp
	Retry time.Duration // how often to try again while Compute fails

	// Patience is how long Compute and Stamp may take together, beside ten times what Compute took when it took
	// longest: from then on they are overdue. 0 is for ever.
	Patience time.Duration
	// Grace is how long Run waits for them to end when it is told to stop.
	Grace time.Duration

	good    []Document
	out     []Document // handed out: the good ones, or what Stale made of them
	stamp   string     // of the inputs last computed from
	since   time.Time
	trouble string
	longest time.Duration // that Compute took, when it was not overdue
}

// ErrOverdue is what [Source.Stale] is told when working out the documents takes too long.
var ErrOverdue = errors.New("reading the inputs or working out the feeds takes longer than it should")

// Start makes the first snapshot of h. It fails if that cannot be made.
func (s *Source) Start(ctx context.Context, h *Handler) error {
	begun := time.Now()
	docs, err := s.Compute(ctx)
	s.stamp = s.Stamp()
	if err != nil {
		return err
	}
	s.longest = time.Since(begun)
	return s.publish(h, docs)
}

// Run keeps the snapshot of h true until ctx is done. What does not end when it is told to is left behind after Grace.
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
		var stamp string
		if !s.await(ctx, h, func(context.Context) { stamp = s.Stamp() }) {
			return
		}
		s.renew(h)
		// A file that is being written changes from look to look; it is read when it has come to rest.
		changed := stamp != s.stamp && stamp == seen
		seen = stamp
		// What was overdue at a look is true again once it is worked out anew.
		if now := time.Now(); changed || !now.Before(due) || s.trouble == ErrOverdue.Error() {
			if !s.refresh(ctx, h) {
				return
			}
			due = s.Next(time.Now())
			if s.trouble != "" {
				if again := time.Now().Add(s.Retry); again.Before(due) {
					due = again
				}
			}
		}
	}
}

// await carries out what may wait for a file or a disk. When its time is up, its context ends and the documents say so;
// it is waited for all the same, since there is one at a time. False: ctx is done.
func (s *Source) await(ctx context.Context, h *Handler, do func(context.Context)) bool {
	inner, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	done := make(chan struct{})
	go func() {
		defer close(done)
		do(inner)
	}()
	var late <-chan time.Time
	if s.Patience > 0 {
		timer := time.NewTimer(s.Patience + 10*s.longest)
		defer timer.Stop()
		late = timer.C
	}
	for {
		select {
		case <-done:
			return ctx.Err() == nil
		case <-late:
			cancel(ErrOverdue)
			s.worse(h, ErrOverdue)
		case <-ctx.Done():
			select {
			case <-done:
			case <-time.After(s.Grace):
			}
			return false
		}
	}
}

// refresh computes anew and publishes what there is to publish. False: ctx is done.
func (s *Source) refresh(ctx context.Context, h *Handler) bool {
	var docs []Document
	var stamp string
	var err error
	var took time.Duration
	if !s.await(ctx, h, func(ctx context.Context) {
		begun := time.Now()
		docs, err = s.Compute(ctx)
		cause := context.Cause(ctx)
		if err != nil && cause != nil {
			err = cause // that it was told to end is why it failed
		}
		if cause == nil {
			took = time.Since(begun)
		}
		stamp = s.Stamp()
	}) {
		return false
	}
	s.stamp = stamp
	if err == nil {
		err = s.publish(h, docs)
	}
	if err != nil {
		s.worse(h, err)
		return true
	}
	s.longest = max(s.longest, took)
	if s.trouble != "" {
		s.Log("the inputs are good again")
	}
	s.trouble = ""
	return true
}

// worse publishes the last good documents as what they are.
func (s *Source) worse(h *Handler, err error) {
	if s.trouble == "" {
		s.since = time.Now()
	}
	if text := err.Error(); text != s.trouble {
		s.trouble = text
		s.Log(fmt.Sprintf("keeping the last good feeds: %s", text))
	}
	// The error was said; were these documents not to be had either, the last ones stay.
	s.swap(h, s.Stale(s.good, err, s.since))
}

// renew hands out what has become other by itself.
func (s *Source) renew(h *Handler) {
	if s.Renew != nil {
		if docs := s.Renew(s.out); docs != nil {
			s.swap(h, docs)
		}
	}
}

// swap hands documents out.
func (s *Source) swap(h *Handler, docs []Document) error {
	snapshot, err := NewSnapshot(h.Snapshot(), time.Now(), docs)
	if err == nil {
		h.Swap(snapshot)
		s.out = docs
	}
	return err
}

func (s *Source) publish(h *Handler, docs []Document) error {
	err := s.swap(h, docs)
	if err == nil {
		s.good = docs
	}
	return err
}
