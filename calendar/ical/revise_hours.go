package ical

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/outing"
	"treewhen/phenology/civil"
)

// How far what is published of an event with hours may be off before it is revised. Its day and its hours are an
// appointment and may not be off at all, nor may what it is for, its rain date and what to mind. But its percentages follow
// every night's temperatures by a point or two, and a class that sees the same trees on the same morning wants no message
// for that. The difference is taken from what is published, so it cannot add up unseen. Our own choice: a tenth is as
// finely as anybody plans by a chance; in the last fortnight, when bags are packed, half of that, and then what else there
// is to see, which species can be told apart and what to bring must be right as well.
const (
	leeway      = 0.10 // of a percentage
	leewaySoon  = 0.05 // within soonDays
	soonDays    = 14
	expectedOff = 0.5 // of how many can be expected to show something
	settleOff   = 7   // days, of the day from which another character settles a pair
)

// holdsHours reports whether an entry with hours is so little different that what is published stays. What does not
// count are the basis, which names the last day observed, and the reasons, which say why the day was chosen.
func (f Feed) holdsHours(old publishedEvent, entry *calendar.Entry) (bool, error) {
	e, err := eventOf(entry)
	if err != nil {
		return false, err
	}
	soon, limit := e.window.First-f.AsOf <= soonDays, leeway
	if soon {
		limit = leewaySoon
	}
	stem, _ := splitSummary(e.summary)
	oldStem, _ := splitSummary(old.summary)
	was, ok := percentAt(old.summary[len(oldStem):])
	if !soon {
		stem, oldStem = firstSight(stem), firstSight(oldStem)
	}
	if stem != oldStem || !ok || off(was, entry.Probability, limit) || !sameButFigures(old.description, e.description, entry, limit, soon) ||
		len(e.alarms) != len(old.alarms) {
		return false, nil
	}
	e.summary, e.description = old.summary, old.description
	for i := range e.alarms {
		e.alarms[i].text = old.alarms[i].text
	}
	return sameContent(old, e)
}

// firstSight cuts a trip's title behind what the trip is for: see [tripYear.themeText].
func firstSight(title string) string {
	if i := strings.IndexAny(title, ","); i >= 0 {
		title = title[:i]
	}
	title, _, _ = strings.Cut(title, " and ")
	return title
}

// off reports whether a published chance is further from the true one than a limit. It is printed in whole percent.
func off(published, is, limit float64) bool { return math.Abs(published-is) > limit+0.005 }

var percentForm = regexp.MustCompile(`(\d+) %`)

// percentAt returns the first percentage of a text.
func percentAt(text string) (float64, bool) {
	m := percentForm.FindStringSubmatch(text)
	if m == nil {
		return 0, false
	}
	n, err := strconv.Atoi(m[1])
	return float64(n) / 100, err == nil
}

// sameButFigures reports whether two descriptions of an entry say the same but for figures that are near enough.
func sameButFigures(old, is string, entry *calendar.Entry, limit float64, soon bool) bool {
	a, b := parseDescription(old), parseDescription(is)
	if len(a.head) != len(b.head) {
		return false
	}
	for i := range a.head {
		switch {
		case strings.HasPrefix(b.head[i], "Basis: ") && strings.HasPrefix(a.head[i], "Basis: "):
		case !nearlySame(a.head[i], b.head[i], limit):
			return false
		}
	}
	for _, heading := range lastingHeadings[1:] {
		if heading != lastingHeadings[1] || soon { // what to bring
			if !slices.Equal(a.items[heading], b.items[heading]) {
				return false
			}
		}
	}
	oldSights, oldRest := splitSights(a.items[lastingHeadings[0]])
	_, rest := splitSights(b.items[lastingHeadings[0]])
	told := !soon || slices.EqualFunc(oldRest, rest, func(x, y string) bool { return nearlySame(x, y, limit) })
	return told && stillSeen(oldSights, entry.Chances, limit)
}

// description is what [describe] has written: the lines above the first heading, and the items under each.
type description struct {
	head  []string
	items map[string][]string
}

func parseDescription(text string) description {
	d := description{items: map[string][]string{}}
	heading := ""
	for line := range strings.SplitSeq(text, "\n") {
		switch item, ok := strings.CutPrefix(line, "- "); {
		case line == headingWhy || slices.Contains(lastingHeadings, line):
			heading = line
		case heading == "" && line != "":
			d.head = append(d.head, line)
		case ok:
			d.items[heading] = append(d.items[heading], item)
		}
	}
	return d
}

// sightLine is a line of what may be there: "Flowers: red maple 40 %, sugar maple 21 % and 3 more."
type sightLine struct {
	what   string
	chance map[string]float64 // by species
	more   bool               // others are left out
}

var sightForm = regexp.MustCompile(`^([^:]+): (.+ \d+ %)( and \d+ more)?\.$`)

// splitSights splits what to look for into the lines that [tripYear.lookFor] writes and others.
func splitSights(lines []string) (sights []sightLine, rest []string) {
	for _, line := range lines {
		m := sightForm.FindStringSubmatch(line)
		if m == nil {
			rest = append(rest, line)
			continue
		}
		s := sightLine{what: m[1], chance: map[string]float64{}, more: m[3] != ""}
		for part := range strings.SplitSeq(m[2], ", ") {
			if p, ok := percentAt(part); ok {
				s.chance[strings.TrimSpace(percentForm.ReplaceAllString(part, ""))] = p
			}
		}
		sights = append(sights, s)
	}
	return sights, rest
}

// stillSeen reports whether the published chances of sights are still near enough, and none has come up that ought to
// stand beside them.
func stillSeen(published []sightLine, is map[string]map[string]float64, limit float64) bool {
	known := map[string]sightLine{}
	for _, s := range published {
		known[s.what] = s
		for species, p := range s.chance {
			now, ok := is[s.what][species]
			if !ok || off(p, now, limit) {
				return false
			}
		}
	}
	for what, species := range is {
		s := known[what]
		lowest := 1.0
		for _, p := range s.chance {
			lowest = min(lowest, p)
		}
		for name, p := range species {
			if _, named := s.chance[name]; named || p < outing.WorthALook+limit || s.more && p < lowest+limit {
				continue
			}
			return false
		}
	}
	return true
}

var (
	decimalForm = regexp.MustCompile(`\b\d+\.\d\b`)
	dayForm     = regexp.MustCompile(`\b\d{1,2} (?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b`)
	wordForm    = regexp.MustCompile(`(almost sure|very likely|likely|even chance|doubtful), (\d+ %)`)
)

// nearlySame reports whether two lines say the same but for percentages within a limit, with the word that goes with one,
// decimals within [expectedOff] and short dates within [settleOff].
func nearlySame(a, b string, limit float64) bool {
	if a == b {
		return true
	}
	a, b = wordForm.ReplaceAllString(a, "$2"), wordForm.ReplaceAllString(b, "$2")
	for _, figure := range []struct {
		form *regexp.Regexp
		near func(x, y string) bool
	}{
		{percentForm, func(x, y string) bool {
			p, okP := percentAt(x)
			q, okQ := percentAt(y)
			return okP && okQ && !off(p, q, limit)
		}},
		{decimalForm, func(x, y string) bool {
			p, errP := strconv.ParseFloat(x, 64)
			q, errQ := strconv.ParseFloat(y, 64)
			return errP == nil && errQ == nil && math.Abs(p-q) <= expectedOff+0.05
		}},
		{dayForm, func(x, y string) bool {
			p, errP := time.Parse("2 Jan", x)
			q, errQ := time.Parse("2 Jan", y)
			between := civil.Apart(civil.FromTime(p), civil.FromTime(q))
			return errP == nil && errQ == nil && min(between, 365-between) <= settleOff
		}},
	} {
		if !slices.EqualFunc(figure.form.FindAllString(a, -1), figure.form.FindAllString(b, -1), figure.near) {
			return false
		}
		a, b = figure.form.ReplaceAllString(a, "#"), figure.form.ReplaceAllString(b, "#")
	}
	return a == b
}
