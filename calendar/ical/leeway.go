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
	worthNaming = 20  // hundredths: a chance that an essence does not tell is a smaller one
)

// leeway is how far facts may be off before what is published is revised.
type leeway struct {
	days  int  // of a window, its best day and the days of an essence
	sure  int  // of the probability, in hundredths
	share int  // of the chances of an essence, in hundredths
	chief bool // of what a fact names several of, only the first counts
}

// leewayOf says how far what is published may be off, by how near its first day is; all of it our own choice. An early
// estimate goes to and fro by a day and by some points with every night's temperatures, and nobody plans by that yet: a
// day and a tenth of a chance are let be until two weeks before. From then on days and chances are what they are, but for
// an outing with hours: its day and its hours are an appointment and may never be off, and a class that sees the same
// trees on the same morning wants no message for a few points. The difference is taken from what is published, so that
// it cannot add up unseen.
func leewayOf(timed, soon bool) leeway {
	switch {
	case timed && soon:
		return leeway{sure: 5, share: 5}
	case timed:
		return leeway{sure: 10, share: 10, chief: true}
	case soon:
		return leeway{share: 5}
	default:
		return leeway{days: 1, sure: 10, share: 10}
	}
}

// same reports whether an event that is published, of which some facts are known, is still the same as one that is now.
func (l leeway) same(old *event, was *facts, now *event) bool {
	return old.status == now.status && old.location == now.location && old.geo == now.geo &&
		slices.Equal(old.after, now.after) && old.hours == now.hours && old.zone == now.zone &&
		l.nearDays(old.window, now.window) && l.near(was, now.facts)
}

func (l leeway) nearDays(a, b civil.Span) bool {
	return civil.Apart(a.First, b.First) <= l.days && civil.Apart(a.Last, b.Last) <= l.days
}

// near reports whether the facts that are published are near enough to those that are now.
func (l leeway) near(published, now *facts) bool {
	same := published.version == factsVersion // else only names count that both have
	best, ok := published.best.Get()
	switch {
	case ok && civil.Apart(best, now.best.Or(best)) > l.days,
		(same || published.only()) && (published.only() != now.only() || !l.nearDays(published.of, now.of)),
		(same || published.state != "") && (published.state != now.state || published.settled != now.settled),
		(same || published.hours != "") && published.hours != now.hours,
		(same || published.chance != noChance) && (published.chance == noChance) != (now.chance == noChance),
		published.chance != noChance && apart(published.chance, now.chance) > l.sure:
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
		return civil.Apart(d, c) <= l.days
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
