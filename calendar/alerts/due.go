// Package alerts answers: who is to be told of what now, and has not been told yet?
//
// What is told is what rings in calendars: the reminders of entries, each a promise under a name (see
// [calendar.Reminder]). [Due] finds those that are due, from facts alone. A [Box] has one recipient's or many
// recipients' alerts on their way: it remembers what each was told, waits out quiet hours, tries again what failed,
// and gives up what is of no more use. It knows no clock, no file and no network; package deliver sends.
package alerts

import (
	"cmp"
	"iter"
	"slices"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/calendar/tapping"
	"treewhen/phenology/civil"
)

// Alert is a reminder of an entry that is due.
type Alert struct {
	ID    string // a UUID, the same for the same reminder of the same entry for good
	Entry *calendar.Entry
	Index int        // of the reminder, in the entry's
	Day   civil.Date // on which it is to be told, at Minute by the clocks of the site
	Until civil.Date // the last day on which it is of use
	Early bool       // it may be told from the first moment of its day on
}

// Reminder returns the reminder that is due.
func (a *Alert) Reminder() calendar.Reminder { return a.Entry.Reminders[a.Index] }

// At returns the moment from which on it is to be told.
func (a *Alert) At() time.Time {
	y, m, d := a.Day.Date()
	return time.Date(y, m, d, 0, a.Reminder().Minute, 0, 0, a.zone())
}

func (a *Alert) zone() *time.Location { return cmp.Or(a.Entry.Site.Zone, time.UTC) }

// Due returns the alerts of some entries that are due on a day, or were and are still of use, in the order in which
// they became due. What its owner has done, and what has been measured, is no news to anybody.
func Due(asOf civil.Date, entries []*calendar.Entry) (list []Alert) {
	for _, e := range entries {
		for a := range ahead(e, asOf) {
			if a.Day <= asOf {
				list = append(list, a)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Alert) int {
		return cmp.Or(a.At().Compare(b.At()), cmp.Compare(a.ID, b.ID))
	})
	return list
}

// Next returns the alert of some entries that a recipient will be told of next, from a day on.
func Next(to *planfile.Recipient, asOf civil.Date, entries []*calendar.Entry) (next Alert, ok bool) {
	for _, e := range entries {
		for a := range ahead(e, asOf) {
			if wants(to, &a) && (!ok || a.At().Before(next.At())) {
				next, ok = a, true
			}
		}
	}
	return next, ok
}

// ahead goes through the alerts of an entry that are of use on a day or after it.
func ahead(e *calendar.Entry, asOf civil.Date) iter.Seq[Alert] {
	return func(yield func(Alert) bool) {
		for i, r := range e.Reminders {
			a := Alert{Entry: e, Index: i, Day: r.Day(), Until: ofUse(r)}
			var err error
			a.ID, err = calendar.AlertUID(e.UID, r.Kind)
			if err == nil && !e.State.Over() && asOf <= a.Until && !yield(a) {
				return
			}
		}
	}
}

// ofUse returns the last day on which it is of use to be told: the one that the reminder says, or else that of which
// it tells, which is not before it.
func ofUse(r calendar.Reminder) civil.Date {
	if r.Until != 0 {
		return max(r.Until, r.Day())
	}
	return r.On
}

// wants reports whether a recipient is to be told of an alert.
func wants(r *planfile.Recipient, a *Alert) bool {
	if len(r.Activities) > 0 && !slices.Contains(r.Activities, a.Entry.Activity) {
		return false
	}
	if len(r.Sites) > 0 &&
		!slices.ContainsFunc(r.Sites, func(id planfile.Word) bool { return id.Text == a.Entry.Site.ID }) {
		return false
	}
	return LargeEnough(a.Entry, r.Runs)
}

// LargeEnough reports whether an entry is no run of sap, or one of a size or more. One whose size cannot be told may
// be.
func LargeEnough(e *calendar.Entry, least tapping.RunSize) bool {
	run, ok := e.Facts.(*tapping.RunFacts)
	return !ok || run.Size == tapping.SizeUnknown || run.Size.AtLeast(least)
}

// quiet reports whether a moment lies in hours of a day, by the clocks of a zone. They may pass midnight; the end is
// not part of them.
func quiet(h calendar.Hours, now time.Time, zone *time.Location) bool {
	local := now.In(zone)
	minute := local.Hour()*60 + local.Minute()
	if h.Start <= h.End {
		return h.Start <= minute && minute < h.End
	}
	return minute >= h.Start || minute < h.End
}
