package tapping

import (
	"slices"
	"strconv"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// numbered is one of several things of a season that a feed tells apart by numbers: a run, or a spell of weather.
type numbered struct {
	number *int
	span   civil.Span
	over   bool
}

// renumber gives what a feed has told of already the numbers that it has there, by the days that they share, and others
// numbers that it never used: a small run that comes or goes in the forecast does not make another of the next.
func renumber(list []numbered, known map[int]calendar.Memory) {
	if len(known) == 0 {
		return
	}
	used, most := map[int]bool{}, 0
	for n := range known {
		most = max(most, n)
	}
	for _, r := range list {
		*r.number = 0
		for n := 1; n <= most; n++ { // of several that have become one, it is the first
			m, ok := known[n]
			if !ok || used[n] || !m.Window.Overlaps(r.span) {
				continue
			}
			if *r.number == 0 || m.Window.First < known[*r.number].Window.First {
				*r.number = n
			}
		}
		used[*r.number] = true
	}
	// Those to come first, and of the others the last first: of what ran before holes are drilled nobody is told, and
	// its numbers are free again the next morning.
	for _, over := range []bool{false, true} {
		for i := range list {
			if over {
				i = len(list) - 1 - i
			}
			if r := list[i]; *r.number == 0 && r.over == over {
				most++
				*r.number = most
			}
		}
	}
}

// toldRuns returns what the place's feed tells of the runs of a rule in a season, by their numbers.
func toldRuns(p *calendar.Plan, pl *calendar.Place, rule phenology.RunRule, season int) map[int]calendar.Memory {
	return toldOf(p, pl, calendar.TaskRun, season, ruleKey(rule))
}

// toldOf returns what the place's feed tells of a task that a season has several of, by their numbers.
func toldOf(
	p *calendar.Plan, pl *calendar.Place, task calendar.Task, season int, more ...string,
) map[int]calendar.Memory {
	if len(pl.Memory) == 0 {
		return nil
	}
	known := map[int]calendar.Memory{}
	for n, last := 1, 0; n <= last+mostUnknown; n++ {
		if m, ok := pl.Memory[uidOf(p, pl, task, season, n, more...)]; ok {
			known[n], last = m, n
		}
	}
	return known
}

// uidOf returns the identifier of one of several that a season has of a task.
func uidOf(p *calendar.Plan, pl *calendar.Place, task calendar.Task, season, number int, more ...string) string {
	tell := append(slices.Clone(more), strconv.Itoa(number))
	return calendar.UID(p.FeedID, pl.Site().ID, calendar.Tapping, nil, task, season, tell...)
}

// mostUnknown is after how many numbers that a feed does not know no more are looked for: numbers are given in turn,
// and only those of runs that were called off are forgotten within the year.
const mostUnknown = 30
