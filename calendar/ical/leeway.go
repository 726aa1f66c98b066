package ical

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"treewhen/phenology/civil"
)

const (
	soonDays    = 14  // from so many days before an event's first day on it is near
	amountOff   = 0.5 // of how many can be expected to show something
	newsDays    = 7   // for so many days after an event was revised another chance of it is no news
	worthNaming = 20  // hundredths: a chance that an essence does not tell is a smaller one
)

// leeway is how far facts may be off before what is published is revised.
type leeway struct {
	asOf  civil.Date
	timed bool // an outing with hours: its day and its hours are an appointment and may never be off
	told  int  // days, of the days of an essence
	sure  int  // of the probability, in hundredths
	share int  // of the chances of an essence, in hundredths
	chief bool // of what a fact names several of, only the first counts
	fresh bool // the event was last revised within [newsDays]
}

// leewayOf says how far what is published may be off, by how near its first day is; all of it our own choice. An
// early estimate goes to and fro by days and by some points with every night's temperatures, and nobody plans by that
// yet. A day may be off by a seventh of how far it lies ahead, or by a sixth of a long window, and by one where
// neither is more; by twice that within a week of when it was last moved. One that is past, or today, may be off by a
// week. A chance alone is news once a week at most, and only if it is a tenth off. A class that sees the same trees
// on the same morning wants no message for a few points. The difference is taken from what is published, so that it
// cannot add up unseen.
func leewayOf(asOf civil.Date, timed, soon, fresh bool) leeway {
	l := leeway{asOf: asOf, timed: timed, sure: 10, share: 10, chief: timed && !soon, fresh: fresh}
	if soon {
		l.share = 5
	} else if !timed {
		l.told = 1
	}
	if timed && soon {
		l.sure = 5
	}
	return l
}

const (
	pastOff   = 7 // days by which a day that is past may be off
	aheadPart = 7 // a day to come, by one in so many of the days until then
	edgePart  = 6 // the first and last day of a window, by one in so many of its days
	bestPart  = 5 // the best day, by one in so many: it is then one of many as good
)

// nearDay reports whether two days of a window, of which one is published, are near enough to each other.
func (l leeway) nearDay(a, b civil.Date, window civil.Span, part int) bool {
	off := civil.Apart(a, b)
	switch {
	case l.timed:
		return off == 0
	case max(a, b) <= l.asOf:
		return off <= pastOff
	}
	most := max(int(min(a, b)-l.asOf)/aheadPart, window.Days()/part)
	if l.fresh {
		most *= 2
	}
	return off <= max(1, most)
}

// same reports whether an event that is published, of which some facts are known, is still the same as one that is
// now.
func (l leeway) same(old *event, was *facts, now *event) bool {
	return old.status == now.status && old.location == now.location && old.geo == now.geo &&
		slices.Equal(old.after, now.after) && old.hours == now.hours && old.zone == now.zone &&
		l.nearDays(old.window, now.window) && l.near(was, now.facts, old.window)
}

func (l leeway) nearDays(published, now civil.Span) bool {
	return l.nearDay(published.First, now.First, published, edgePart) &&
		l.nearDay(published.Last, now.Last, published, edgePart)
}

// near reports whether the facts that are published are near enough to those that are now.
func (l leeway) near(published, now *facts, window civil.Span) bool {
	same := published.version == factsVersion // else only names count that both have
	// An outing's day is an appointment; the days on which it could be are not.
	days := l
	days.timed = false
	hadChance, hasChance := published.chance != noChance, now.chance != noChance
	best, ok := published.best.Get()
	switch {
	case ok && !l.nearDay(best, now.best.Or(best), window, bestPart),
		(same || published.only()) && (published.only() != now.only() || !days.nearDays(published.of, now.of)),
		(same || published.state != "") && (published.state != now.state || published.settled != now.settled),
		(same || published.hours != "") && published.hours != now.hours,
		(same || hadChance) && hadChance != hasChance && !now.follows,
		hadChance && hasChance && !l.fresh && apart(published.chance, now.chance) > l.sure:
		return false
	}
	for _, e := range now.essence {
		was := published.told(e.name)
		if (same || was != "") && !l.nearValue(was, e.value) {
			return false
		}
	}
	for _, e := range published.essence {
		if same && now.told(e.name) == "" && !l.nearValue(e.value, "") {
			return false
		}
	}
	return true
}

// only reports whether only the best of several days stands in the calendar.
func (f *facts) only() bool { return f.of != (civil.Span{}) }

// nearValue compares two values of a fact by what their form says they are.
func (l leeway) nearValue(a, b string) bool {
	if a == b {
		return true
	}
	p, isChance := readHundredths(a)
	q, isChance2 := readHundredths(b)
	switch {
	case isChance && isChance2:
		return apart(p, q) <= l.share
	case isChance && b == "", isChance2 && a == "":
		return max(p, q) < worthNaming+l.share
	}
	d, isDay := readDay(a)
	if c, isDay2 := readDay(b); isDay && isDay2 {
		return civil.Apart(d, c) <= l.told
	}
	x, err := strconv.ParseFloat(a, 64)
	if y, err2 := strconv.ParseFloat(b, 64); err == nil && err2 == nil && strings.Contains(a, ".") {
		return math.Abs(x-y) <= amountOff+1e-9
	}
	if l.chief {
		a, _, _ = strings.Cut(a, "+")
		b, _, _ = strings.Cut(b, "+")
	}
	return a == b
}

func apart(a, b int) int { return max(a, b) - min(a, b) }

// held reports whether what is published stays though its figures are not those of today: whoever plans by a day that
// is far ahead needs no news of what an advice rests on, and an outing with hours is an appointment, of whose figures
// nobody wants a message every night. Only words that do not follow the season must be those of today, by their marks.
func held(timed, soon bool, published, now [2]uint32) bool {
	switch {
	case !timed:
		return !soon && published == now
	case soon: // bags are packed
		return published == now
	default:
		return published[0] == now[0]
	}
}
