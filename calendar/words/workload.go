package words

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
)

// NoWorkday is said of a task whose window leaves no day on which its crew works.
const NoWorkday = "its days leave no working day: this is the next, or bring hands in"

// WeekTable says how the weeks of a crew are summed, a sentence or two a line.
func WeekTable(c *seed.Crew) (lines []string) {
	switch {
	case !c.Counted:
		lines = append(lines, "The plan gives no people-days (activities.seed-collection.work), so tasks are "+
			"counted, not days.")
	case c.WeekHas > 0:
		lines = append(lines, fmt.Sprintf("People-days by the plan's own figures; a full week has %s, a week with "+
			"days off its share of them.", figure(c.WeekHas)))
	default:
		lines = append(lines, "People-days by the plan's own figures; set people_days_a_week to see clashes.")
	}
	if len(c.Sites) > 1 {
		lines = append(lines, fmt.Sprintf("One crew for %s.", phrase.Count(len(c.Sites), "site")))
	}
	tasks, visits, drives := 0, 0, 0
	for _, w := range c.Weeks {
		visits, drives = visits+w.Visits, drives+w.Drives
		for _, j := range w.Jobs {
			if j.Visit > 0 {
				tasks++
			}
		}
	}
	if visits > 0 {
		lines = append(lines, fmt.Sprintf("%s where trees stand are put together into %s to stands (v) on %s (d), "+
			"where their days allow.", phrase.Count(tasks, "task"), phrase.Count(visits, "visit"),
			phrase.Count(drives, "drive")))
	}
	lines = append(lines, "A task counts in the week of the day on which it is to be done, which is a working day ("+
		weekdays(c.Days.Weekdays)+").")
	if c.Past > 0 {
		lines = append(lines, fmt.Sprintf("Left out: %s whose days are over.", phrase.Count(c.Past, "task")))
	}
	if c.Counted && len(c.Uncount) > 0 {
		names := each(c.Uncount, func(t calendar.Task) string { return string(t) })
		lines = append(lines, "Without figures, and so not counted: "+phrase.Join(names)+".")
	}
	return lines
}

// InTheCold says what lies in the cold store in a week.
func InTheCold(w seed.FridgeWeek, as phrase.Speech) string {
	if w.Dry+w.Moist == 0 {
		return "nothing"
	}
	var parts []string
	if w.Dry > 0 {
		parts = append(parts, phrase.Count(w.Dry, "lot")+" dry")
	}
	if w.Moist > 0 {
		parts = append(parts, phrase.Count(w.Moist, "lot")+" moist")
	}
	text := strings.Join(parts, ", ")
	if w.KG > 0 {
		text += ", " + weighed(w.KG, as) + " of seed"
		if w.Unknown > 0 {
			text += fmt.Sprintf(" and %d not weighed", w.Unknown)
		}
	}
	return text
}

// weekdays names days of the week, a run of three and more by its ends.
func weekdays(list []time.Weekday) string {
	run := len(list) > 2
	for i := 1; i < len(list); i++ {
		run = run && list[i] == list[i-1]+1
	}
	if run {
		return list[0].String() + " to " + list[len(list)-1].String()
	}
	return phrase.Join(each(list, time.Weekday.String))
}

// figure writes a figure of two decimals at most without needless zeros.
func figure(x float64) string {
	return strings.TrimRight(strings.TrimRight(strconv.FormatFloat(x, 'f', 2, 64), "0"), ".")
}
