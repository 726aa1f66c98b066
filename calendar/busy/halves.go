package busy

import (
	"cmp"
	"strconv"
	"strings"
)

// halves says which half of a day is lost, and until or from when, where the title has a time.
type halves struct {
	late, release bool // the morning is lost; the afternoon is
	at            int  // minutes after midnight, 0: not said
}

// noon parts the halves of a day where nothing says when. Common practice, no source.
const noon = 12 * 60

// lost returns which minutes of a day are lost.
func (h halves) lost() (from, to int) {
	at := cmp.Or(h.at, noon)
	switch {
	case h.late && h.release:
		return 0, 24 * 60
	case h.late:
		return 0, at
	default:
		return at, 24 * 60
	}
}

// hoursLost returns which minutes of a day are lost by an event of half a day that has hours of its own. Programs
// give either those that are lost or those that remain: an early release "from 08:10 to 11:45" is school until
// 11:45. Hours that begin early are taken to remain before a release, long or late ones after a late start. Common
// practice, no source.
func (h halves) hoursLost(start, end int) (from, to int) {
	const early, lateStart, long = 10*60 + 30, 9 * 60, 4 * 60
	switch {
	case h.late && h.release:
		return 0, 24 * 60
	case h.late && (start >= lateStart || end-start >= long):
		return 0, start
	case h.late:
		return 0, end
	case start < early:
		return end, 24 * 60
	default:
		return start, 24 * 60
	}
}

// halves returns which half of a day is lost by a text: the afternoon where it does not say, as half days are given.
// Common practice, no source.
func (f found) halves() halves {
	h := halves{late: f.at[ruleLate] >= 0}
	h.release = f.at[ruleRelease] >= 0 || !h.late
	for i, word := range f.words {
		t, ok := clockOf(f.words, i)
		if !ok || word == "" {
			continue
		}
		// The hours in which schools end and begin. The careful one of several counts.
		switch {
		case h.late && !h.release && t >= 7*60 && t <= 13*60:
			h.at = max(h.at, t)
		case h.release && !h.late && t >= 9*60 && t <= 16*60 && (h.at == 0 || t < h.at):
			h.at = t
		}
	}
	return h
}

// clockOf reads a time of day among words: 11:15, 1:30 pm, at 12, 12 h 30, noon. It returns minutes after midnight.
// An hour before seven is one after noon unless it says am.
func clockOf(words []string, i int) (int, bool) {
	word := func(k int) string {
		if i+k < 0 || i+k >= len(words) {
			return ""
		}
		return words[i+k]
	}
	if word(0) == "noon" || word(0) == "midday" || word(0) == "midi" {
		return noon, true
	}
	first, rest, colon := strings.Cut(word(0), ":")
	hour, err := strconv.Atoi(first)
	if err != nil || hour > 23 {
		return 0, false
	}
	minute := 0
	next := word(1)
	switch {
	case colon:
		if minute, err = strconv.Atoi(rest); err != nil || len(rest) != 2 || minute > 59 {
			return 0, false
		}
	case next == "h" && (word(-1) == "a" || word(-1) == "des" || isNumber(word(2))):
		minute, _ = strconv.Atoi(word(2)) // "12 h": none
		if minute > 59 {
			return 0, false
		}
	case next != "am" && next != "pm" && word(-1) != "at":
		return 0, false // a number of something else
	}
	if next == "pm" && hour < 12 || next != "am" && hour < 7 {
		hour += 12
	}
	return 60*hour + minute, true
}
