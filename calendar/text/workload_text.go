package text

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// WriteWorkload writes a workload for people to read: the load of every week, the weeks that are asked for too much,
// the table for the wall, and what to have at hand, crew by crew.
func WriteWorkload(w io.Writer, load *seed.Workload, opt TextOptions) error {
	t := &textWriter{w: bufio.NewWriter(w), opt: opt, as: load.Speech}
	t.line(t.bold(load.Title + ": seed work"))
	t.line(fmt.Sprintf("as of %s; work from %s to %s",
		phrase.LongDate(load.AsOf), phrase.LongDate(load.Span.First), phrase.LongDate(load.Span.Last)))
	for _, n := range words.Notes(load.Notes, load.Speech) {
		t.wrap("note: ", n)
	}
	if len(load.Crews) == 0 {
		t.line("")
		t.line("No seed work is due in these days.")
	}
	for _, c := range load.Crews {
		var names []string
		for _, s := range c.Sites {
			names = append(names, s.Name)
		}
		t.line("")
		for _, line := range wrapText(strings.ToUpper(phrase.Join(names)), textWidth, 0) {
			t.line(t.bold(line))
		}
		t.weekTable(c)
		t.clashes(c)
		t.needTable(c.Needs)
		t.fridgeTable(c.Fridge)
		t.wallTable(c)
		t.kitTable(c.Kit)
	}
	return t.w.Flush()
}

// barUnit is how many people-days a character of a bar stands for.
const barUnit = 0.5

func (t *textWriter) weekTable(c *seed.Crew) {
	t.line("")
	t.line(t.bold("Work by week"))
	for _, line := range words.WeekTable(c) {
		t.indent("  "+line, 2)
	}
	for i, w := range c.Weeks {
		if len(w.Jobs) == 0 {
			if i > 0 && len(c.Weeks[i-1].Jobs) > 0 {
				t.line("  ...")
			}
			continue
		}
		load := fmt.Sprintf("%6s", days(w.PeopleDays))
		bar := strings.Repeat("=", min(32, int(w.PeopleDays/barUnit+0.5)))
		if !c.Counted {
			load, bar = "", strings.Repeat("=", min(32, len(w.Jobs)))
		}
		line := fmt.Sprintf("  %-16s %3d %s %3s %2s%s  %s", w.Monday.Format("Mon 2 Jan 2006"),
			len(w.Jobs), plural(len(w.Jobs), "task"), counted(w.Visits, "v"), counted(w.Drives, "d"), load, bar)
		if w.Over {
			line += fmt.Sprintf("  over by %s", days(w.PeopleDays-w.Has))
		}
		t.line(strings.TrimRight(line, " "))
	}
}

// counted writes a number with a letter for what it is of, nothing for none.
func counted(n int, of string) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n) + of
}

// plural pads a word so that one and many line up.
func plural(n int, word string) string {
	if n == 1 {
		return word + " "
	}
	return word + "s"
}

// days writes people-days without needless zeros.
func days(x float64) string { return strconv.FormatFloat(float64(int(x*100+0.5))/100, 'f', -1, 64) }

func peopleDays(x float64) string {
	if x == 1 {
		return "1 people-day"
	}
	return days(x) + " people-days"
}

func (t *textWriter) clashes(c *seed.Crew) {
	if c.WeekHas == 0 {
		return
	}
	t.line("")
	t.line(t.bold("Clashes"))
	none := true
	for _, w := range c.Weeks {
		if !w.Over {
			continue
		}
		none = false
		t.indent(fmt.Sprintf("  Week of %s: %s of work, %s to do it.",
			phrase.LongDate(w.Monday), peopleDays(w.PeopleDays), days(w.Has)), 4)
		for _, m := range w.Moves {
			t.indent(fmt.Sprintf("    do in the week of %s: %s (open %s, %s)", phrase.ShortDate(m.To),
				title(c, m.Job.Entry), phrase.Span(m.Job.Entry.Window), peopleDays(m.Job.Entry.PeopleDays)), 8)
		}
		if w.StillOver > 0.005 {
			t.indent(fmt.Sprintf("    still over by %s: find more hands, or leave something out",
				peopleDays(w.StillOver)), 8)
		}
		for _, j := range w.Least {
			t.indent(fmt.Sprintf("    gives least for its work: %s (%s)", title(c, j.Entry),
				peopleDays(j.Entry.PeopleDays)), 8)
		}
	}
	if none {
		t.line("  None: no week is asked for more than it has.")
	}
}

// title says what an entry is, and at which site where its crew has several.
func title(c *seed.Crew, e *calendar.Entry) string {
	summary := words.Brief(e).Summary
	if len(c.Sites) > 1 {
		summary += ", " + e.Site.Name
	}
	return summary
}

// needTable writes what is to be brought home for the seedlings that are wanted.
func (t *textWriter) needTable(needs []*seed.Need) {
	if len(needs) == 0 {
		return
	}
	t.line("")
	t.line(t.bold("To bring home"))
	for _, n := range needs {
		t.indent(fmt.Sprintf("  - %s, seed of %d: %s", n.Of.Name(), n.Season, words.BringHome(n, t.as)), 4)
	}
}

// fridgeTable writes what lies in the cold, by week, but for weeks in which nothing changes.
func (t *textWriter) fridgeTable(weeks []seed.FridgeWeek) {
	var last seed.FridgeWeek
	begun := false
	for _, w := range weeks {
		week := w
		week.Monday = 0
		if week == last {
			continue
		}
		last = week
		if !begun {
			t.line("")
			t.line(t.bold("In the cold, from that week on"))
			begun = true
		}
		t.line("  " + Pad(phrase.LongDate(w.Monday), 17) + words.InTheCold(w, t.as))
	}
}

// wallTable writes every task under the day on which it is to be done.
func (t *textWriter) wallTable(c *seed.Crew) {
	const wide = 49
	t.line("")
	t.line(t.bold("For the wall"))
	t.line(fmt.Sprintf("  %-11s %-17s %-*s %s", "do on", "any day of", wide, "task", "sure"))
	year := 0
	var last civil.Date
	for _, j := range c.Jobs {
		e := j.Entry
		if y := j.Day.Year(); y != year {
			year, last = y, 0
			t.line(fmt.Sprintf("  %d", year))
		}
		day := ""
		if j.Day != last {
			day, last = j.Day.Format("Mon 2 Jan"), j.Day
		}
		said := words.Brief(e)
		for i, text := range wrapText(title(c, e), wide, 0) {
			if i > 0 {
				t.line(strings.Repeat(" ", 32) + text)
				continue
			}
			line := fmt.Sprintf("  %-11s %-17s %s %s", day, phrase.Span(e.Window), Pad(text, wide), said.ChanceAlone())
			t.line(strings.TrimRight(line, " "))
		}
		if j.Outside {
			t.indent(strings.Repeat(" ", 32)+words.NoWorkday, 32)
		}
	}
}

func (t *textWriter) kitTable(kit []seed.KitMonth) {
	t.line("")
	t.line(t.bold("To have at hand, by the month of first use (common practice, no source)"))
	for _, k := range kit {
		t.line("  " + k.First.Format("January 2006"))
		for _, item := range k.Items {
			what, of := words.Kit(item, t.as)
			t.indent("  - "+what+": "+kitFew(of), 4)
		}
	}
}

// kitFew names a few species and counts the rest.
func kitFew(names []string) string {
	const most = 4
	if len(names) <= most {
		return phrase.Join(names)
	}
	return strings.Join(names[:most-1], ", ") + fmt.Sprintf(" and %d more", len(names)-most+1)
}
