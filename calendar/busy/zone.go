package busy

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"treewhen/calendar/contentline"
)

// zone turns what the clocks of a place show, written as UTC, into a moment, and back.
type zone interface {
	instant(wall time.Time) time.Time
	wall(instant time.Time) time.Time
}

// ianaZone is a zone of the IANA database.
type ianaZone struct{ *time.Location }

// instant follows RFC 5545 section 3.3.5: a time that the clocks show twice is the first of the two; one that they skip
// is read with the offset before the gap. [time.Date] promises neither.
func (z ianaZone) instant(wall time.Time) time.Time {
	y, m, d := wall.Date()
	t := time.Date(y, m, d, wall.Hour(), wall.Minute(), wall.Second(), 0, z.Location)
	_, before := t.Add(-3 * time.Hour).Zone()
	earlier := wall.Add(-time.Duration(before) * time.Second).In(z.Location)
	if z.wall(earlier).Equal(wall) || !z.wall(t).Equal(wall) {
		return earlier
	}
	return t
}

func (z ianaZone) wall(instant time.Time) time.Time {
	_, offset := instant.In(z.Location).Zone()
	return instant.UTC().Add(time.Duration(offset) * time.Second)
}

// fileZone is a zone that a calendar file defines, by the onsets of its changes: a VTIMEZONE, RFC 5545 section 3.6.5.
type fileZone []zoneChange

// zoneChange is a change of the clocks.
type zoneChange struct {
	onset    time.Time     // as the clocks show it that are about to be changed
	from, to time.Duration // offsets from UTC
}

func (z fileZone) instant(wall time.Time) time.Time {
	offset := z[0].from
	for _, c := range z {
		if wall.Before(c.onset) {
			break
		}
		if gap := c.to - c.from; gap > 0 && wall.Before(c.onset.Add(gap)) {
			offset = c.from // skipped by the clocks: the offset before the gap
			break
		}
		offset = c.to
	}
	return wall.Add(-offset)
}

func (z fileZone) wall(instant time.Time) time.Time {
	offset := z[0].from
	for _, c := range z {
		if instant.Before(c.onset.Add(-c.from)) {
			break
		}
		offset = c.to
	}
	return instant.UTC().Add(offset)
}

var offsetForm = form(`^([+-])([01]\d|2[0-3])([0-5]\d)([0-5]\d)?$`)

func parseOffset(s string) (time.Duration, error) {
	m := offsetForm().FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		return 0, fmt.Errorf("found %s, want an offset from UTC such as -0500", clip(s))
	}
	d, err := time.ParseDuration(m[1] + m[2] + "h" + m[3] + "m" + "0" + m[4] + "s")
	return d, err
}

// zoneHorizon is the year up to which the changes of a zone that the file defines are worked out.
const zoneHorizon = 2100

// zone reads a VTIMEZONE.
func (f *file) zone(c component) {
	id, ok := f.one(c, "TZID")
	if !ok || len(f.zones) >= maxZones || len(c.Children) > maxChanges {
		f.add(c.Line, "", "found a VTIMEZONE that has no TZID, is one of more than %d, or has more than %d changes",
			maxZones, maxChanges)
		return
	}
	if len(c.Children) == 0 {
		f.add(c.Line, "", "found a VTIMEZONE without STANDARD or DAYLIGHT, want at least one of them")
		return
	}
	var z fileZone
	for _, child := range c.Children {
		changes, ok := f.changesOf(component{child})
		if !ok {
			return
		}
		z = append(z, changes...)
	}
	slices.SortStableFunc(z, func(a, b zoneChange) int { return a.onset.Compare(b.onset) })
	f.zones[id.Value] = slices.Compact(z)
}

// changesOf reads the changes of the clocks that a STANDARD or DAYLIGHT tells of, false where something is wrong with
// it.
func (f *file) changesOf(part component) (changes []zoneChange, ok bool) {
	start, okStart := f.one(part, "DTSTART")
	from, okFrom := f.one(part, "TZOFFSETFROM")
	to, okTo := f.one(part, "TZOFFSETTO")
	if !okStart || !okFrom || !okTo {
		f.add(part.Line, "", "found a %s without DTSTART, TZOFFSETFROM or TZOFFSETTO, want all three",
			clip(part.Said))
		return nil, false
	}
	m, err := f.moment(contentline.Line{}, start.Value)
	if err != nil || m.date || m.isUTC {
		f.add(start.Number, "DTSTART", "found %s, want the local time of a change of the clocks, such as "+
			"20070311T020000", clip(start.Value))
		return nil, false
	}
	var change zoneChange
	for _, side := range []struct {
		p  contentline.Line
		to *time.Duration
	}{{from, &change.from}, {to, &change.to}} {
		if *side.to, err = parseOffset(side.p.Value); err != nil {
			f.add(side.p.Number, "", "%v", err)
			return nil, false
		}
	}
	onsets, ok := f.onsetsOf(part, m.wall, change.from)
	for _, o := range onsets {
		change.onset = o
		changes = append(changes, change)
	}
	return changes, ok
}

// onsetsOf returns when the clocks change, as they show it: at a first time, and as rules and dates say. UNTIL is in
// UTC here, by the offset before the change: section 3.6.5.
func (f *file) onsetsOf(part component, first time.Time, before time.Duration) (onsets []time.Time, ok bool) {
	onsets = []time.Time{first}
	end := time.Date(zoneHorizon, 1, 1, 0, 0, 0, 0, time.UTC)
	for _, r := range part.All("RRULE") {
		walls, err := f.recur(first, r.Value, fixedZone(before), first, end)
		if !f.good(r, err) {
			return nil, false
		}
		onsets = append(onsets, walls...)
	}
	for _, r := range part.All("RDATE") {
		for text := range strings.SplitSeq(r.Value, ",") {
			m, err := f.moment(contentline.Line{}, text)
			if !f.good(r, err) {
				return nil, false
			}
			onsets = append(onsets, m.wall)
		}
	}
	if f.onsets += len(onsets); f.onsets > maxOnsets {
		f.spent = true
		f.add(part.Line, "", "found time zones whose clocks change more than %d times until %d, want two changes a "+
			"year",
			maxOnsets, zoneHorizon)
		return nil, false
	}
	return onsets, true
}

// fixedZone is a zone whose clocks never change.
type fixedZone time.Duration

func (z fixedZone) instant(wall time.Time) time.Time { return wall.Add(-time.Duration(z)) }
func (z fixedZone) wall(instant time.Time) time.Time { return instant.UTC().Add(time.Duration(z)) }

// lookUp finds a zone: an IANA zone by its name, else one that the file defines, else one by the name that desktop
// programs give it, else an IANA zone whose name stands at the end of a longer one, as some programs write it:
// /vendor.example/20240101/America/New_York. The database comes before the file since files define their zones for
// one year and use them for ten. It returns nil for a zone that nobody knows, which makes times float, and that is
// noted.
func (f *file) lookUp(id string, line int) zone {
	if z, ok := f.known[id]; ok {
		return z
	}
	z, ok := iana(id)
	if own := f.zones[id]; !ok && own != nil {
		z, ok = own, true
	}
	if !ok && len(id) < 200 {
		z, ok = desktopZone(id)
	}
	if parts := strings.Split(id, "/"); !ok && len(id) < 200 {
		for n := 3; n >= 2 && !ok; n-- {
			if len(parts) > n {
				z, ok = iana(strings.Join(parts[len(parts)-n:], "/"))
			}
		}
	}
	if !ok {
		z = nil
		if f.quiet {
			return nil
		}
		f.note(line, "time zone %s is not known: its times are read by the clocks of the site", clip(id))
	}
	if len(f.known) < 1000 {
		f.known[id] = z
	}
	return z
}

var ianaName = form(`^[A-Za-z][A-Za-z0-9_+-]*(/[A-Za-z0-9_+-]+){0,2}$`)

func iana(id string) (zone, bool) {
	if !ianaName().MatchString(id) || id == "Local" {
		return nil, false
	}
	loc, err := time.LoadLocation(id)
	if err != nil {
		return nil, false
	}
	return ianaZone{loc}, true
}
