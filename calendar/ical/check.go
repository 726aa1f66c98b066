package ical

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/icslint"
	"treewhen/calendar/phrase"
	"treewhen/phenology/civil"
)

// check returns what in f cannot stand in a feed.
func (f Feed) check() error {
	wrong := func(format string, args ...any) error {
		return fmt.Errorf("feed "+strconv.Quote(f.Name)+": "+format, args...)
	}
	if _, err := calendar.ParseUUID(f.UID); err != nil {
		return wrong("identifier: %w", err)
	}
	if phrase.OneLine(f.Name) == "" {
		return wrong("found no name, want one")
	}
	if f.Color != "" && !icslint.IsColor(f.Color) {
		return wrong("found color %q, want a color name of CSS such as forestgreen", f.Color)
	}
	for _, look := range f.Looks {
		if look.Color != "" && !icslint.IsColor(look.Color) {
			return wrong("found color %q of a site, want a color name of CSS such as forestgreen", look.Color)
		}
	}
	for _, address := range []string{f.URL, f.Source, f.Page} {
		if address != "" && !phrase.IsWebAddress(address) {
			return wrong("found address %q, want one such as https://example.org/feeds/ridge.ics", address)
		}
	}
	if f.Refresh < 0 || f.Refresh%time.Second != 0 || f.Refresh > 1000*24*time.Hour {
		return wrong("found refresh interval %v, want whole seconds, at most 1000 days", f.Refresh)
	}
	if f.Zone != "" && loadZone(f.Zone) == nil {
		return wrong("found time zone %q, want an IANA time zone", f.Zone)
	}
	if !writable(f.AsOf) {
		return wrong("found as-of date %v, want a year from 1 to 9998", f.AsOf)
	}
	seen := make(map[string]bool, len(f.Entries))
	for _, e := range f.Entries {
		if err := checkEntry(e); err != nil {
			return wrong("entry %s (%s): %w", e.Task, e.UID, err)
		}
		uid := strings.ToLower(e.UID)
		if seen[uid] {
			return wrong("found an entry of identifier %s twice", uid)
		}
		seen[uid] = true
	}
	return nil
}

// writable reports whether d has a year of four digits, and some days to spare.
func writable(d civil.Date) bool {
	return d >= civil.MinDate && d < civil.MaxDate.AddYears(-1)
}

// checkEntry returns what in e cannot stand in a feed.
func checkEntry(e *calendar.Entry) error {
	if _, err := calendar.ParseUUID(e.UID); err != nil {
		return fmt.Errorf("identifier: %w", err)
	}
	for _, uid := range e.After {
		if _, err := calendar.ParseUUID(uid); err != nil {
			return fmt.Errorf("identifier of an earlier entry: %w", err)
		}
	}
	switch {
	case e.Window.Empty() || !writable(e.Window.First) || !writable(e.Window.Last):
		return fmt.Errorf("found window %v, want a first day that is not after the last, in the years 1 to 9998",
			e.Window)
	case !e.Window.Contains(e.Best):
		return fmt.Errorf("found best day %v, want one within %v", e.Best, e.Window)
	case e.Hours.Start < 0 || e.Hours.End > 24*60 || e.Hours.End < e.Hours.Start:
		return fmt.Errorf("found hours from minute %d to %d, want two of a day in order", e.Hours.Start, e.Hours.End)
	case !(e.Probability >= 0 && e.Probability <= 1):
		return fmt.Errorf("found probability %v, want one from 0 to 1", e.Probability)
	case e.Site == nil:
		return fmt.Errorf("found no site, want one")
	}
	for _, r := range e.Reminders {
		if r.Before < 0 || r.Before > 3660 || r.Minute < 0 || r.Minute >= 24*60 || !e.Window.Contains(r.On) {
			return fmt.Errorf("found reminder %d days before %v at minute %d, "+
				"want a day of the window and a minute of a day", r.Before, r.On, r.Minute)
		}
	}
	return e.Site.Check()
}
