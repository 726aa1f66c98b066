package ical

import (
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"treewhen/phenology/civil"
)

// factsBefore reads the facts of an event that tells none, as the version before wrote it, out of its words: they are
// what it has in place of [factsProperty]. It is done once, for the feed is then published with facts, and what the
// words do not tell is taken to be as it is now: so a folder of feeds is taken over without an event announced anew.
//
// It goes, and with it this file, on 2027-11-28: a year after the version that began to publish facts. A feed that was
// not published anew in that year has nothing but events that are over or that would have been revised long since.
func factsBefore(e *event) *facts {
	f := facts{chance: noChance, name: utf8.RuneCountInString(e.summary)}
	if m := sureBefore.FindStringSubmatchIndex(e.summary); m != nil {
		f.name = utf8.RuneCountInString(e.summary[:m[0]])
		f.chance, _ = strconv.Atoi(e.summary[m[2]:m[3]])
	}
	for line := range strings.SplitSeq(e.description, "\n") {
		if line == "" {
			break // the rest are lists
		}
		if d, ok := dayBefore(line, "Best day: "); ok && !f.best.Known() {
			f.best = civil.Some(d)
		}
		if d, ok := dayBefore(line, "Rain date: "); ok {
			f.essence = []fact{{"rain", written(d)}}
		}
	}
	return &f
}

// sureBefore is how a title ended: "Tap sugar maple (likely, 72 %)".
var sureBefore = regexp.MustCompile(` \([^()]*, (\d{1,3}) %\)$`)

// dayBefore reads a line of a description such as "Best day: Friday 5 March 2027."
func dayBefore(line, label string) (civil.Date, bool) {
	text, ok := strings.CutPrefix(line, label)
	if !ok {
		return 0, false
	}
	t, err := time.Parse("Monday 2 January 2006", strings.TrimSuffix(text, "."))
	return civil.FromTime(t), err == nil && writable(civil.FromTime(t))
}
