package text

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// WriteWorkload writes a workload for people to read: the load of every week, the weeks that are asked for too much, the
// table for the wall, and what to have at hand.
func WriteWorkload(w io.Writer, load *seed.Workload, opt TextOptions) error {
	t := &textWriter{w: bufio.NewWriter(w), opt: opt}
	t.line(t.bold(load.Title + ": seed work"))
	t.line(fmt.Sprintf("as of %s; work from %s to %s", phrase.LongDate(load.AsOf), phrase.LongDate(load.Span.First), phrase.LongDate(load.Span.Last)))
	for _, n := range words.Notes(load.Notes) {
		t.wrap("note: ", n)
	}
	if len(load.Sites) == 0 {
		t.line("")
		t.line("No seed work is due in these days.")
	}
	for _, s := range load.Sites {
		t.line("")
		t.line(t.bold(strings.ToUpper(s.Name)))
		t.weekTable(s)
		t.clashes(s)
		t.wallTable(s)
		t.kitTable(s)
	}
	return t.w.Flush()
}

// barUnit is how many people-days a character of a bar stands for.
const barUnit = 0.5

func (t *textWriter) weekTable(s *seed.SiteLoad) {
	t.line("")
	t.line(t.bold("Work by week"))
	switch {
	case !s.Counted:
		t.indent("  The plan gives no people-days (activities.seed-collection.work), so tasks are counted, not days.", 2)
	case s.WeekHas > 0:
		t.indent(fmt.Sprintf("  People-days by the plan's own figures; a week has %s. A task counts in the week of its best day.", days(s.WeekHas)), 2)
	default:
		t.indent("  People-days by the plan's own figures. A task counts in the week of its best day; set people_days_a_week to see clashes.", 2)
	}
	if s.Counted && len(s.Uncount) > 0 {
		var names []string
		for _, task := range s.Uncount {
			names = append(names, string(task))
		}
		t.indent("  Without figures, and so not counted: "+phrase.Join(names)+".", 2)
	}
	for i, w := range s.Weeks {
		if len(w.Entries) == 0 {
			if i > 0 && len(s.Weeks[i-1].Entries) > 0 {
				t.line("  ...")
			}
			continue
		}
		load := fmt.Sprintf("%6s", days(w.PeopleDays))
		bar := strings.Repeat("=", min(32, int(w.PeopleDays/barUnit+0.5)))
		if !s.Counted {
			load, bar = "", strings.Repeat("=", min(32, len(w.Entries)))
		}
		line := fmt.Sprintf("  %-16s %3d %s%s  %s", w.Monday.Format("Mon 2 Jan 2006"), len(w.Entries), plural(len(w.Entries), "task"), load, bar)
		if w.Over {
			line += fmt.Sprintf("  over by %s", days(w.PeopleDays-s.WeekHas))
		}
		t.line(strings.TrimRight(line, " "))
	}
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

func (t *textWriter) clashes(s *seed.SiteLoad) {
	if s.WeekHas == 0 {
		return
	}
	t.line("")
	t.line(t.bold("Clashes"))
	none := true
	for _, w := range s.Weeks {
		if !w.Over {
			continue
		}
		none = false
		t.indent(fmt.Sprintf("  Week of %s: %s of work, %s to do it.", phrase.LongDate(w.Monday), peopleDays(w.PeopleDays), days(s.WeekHas)), 4)
		for _, m := range w.Moves {
			t.indent(fmt.Sprintf("    do in the week of %s: %s (open %s, %s)", phrase.ShortDate(m.To), words.Brief(m.Entry).Summary, phrase.Span(m.Entry.Window), peopleDays(m.Entry.PeopleDays)), 8)
		}
		if w.StillOver > 0.005 {
			t.indent(fmt.Sprintf("    still over by %s: find more hands, or leave something out", peopleDays(w.StillOver)), 8)
		}
	}
	if none {
		t.line("  None: no week is asked for more than it has.")
	}
}

// wallTable writes every task in the order of its best day.
func (t *textWriter) wallTable(s *seed.SiteLoad) {
	t.line("")
	t.line(t.bold("For the wall"))
	t.line(fmt.Sprintf("  %-11s %-17s %-49s %s", "best", "any day of", "task", "sure"))
	year := 0
	for _, e := range s.Entries {
		if y := e.Best.Year(); y != year {
			year = y
			t.line(fmt.Sprintf("  %d", year))
		}
		summary := words.Brief(e).Summary
		lines := wrapText(summary, 49, 0)
		for i, text := range lines {
			if i == 0 {
				t.line(fmt.Sprintf(
					"  %-11s %-17s %s %s", e.Best.Format("Mon 2 Jan"), phrase.Span(e.Window), Pad(text, 49),
					phrase.Percent(e.Probability),
				))
			} else {
				t.line(strings.Repeat(" ", 32) + text)
			}
		}
	}
}

func (t *textWriter) kitTable(s *seed.SiteLoad) {
	t.line("")
	t.line(t.bold("To have at hand, by the month of first use (common practice, no source)"))
	for _, k := range s.Kit {
		t.line("  " + k.First.Format("January 2006"))
		for _, item := range k.Items {
			what, of := words.Kit(item)
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

// workloadColumns are the columns of a workload as CSV.
var workloadColumns = []string{"week", "best", "start", "end", "site", "stand", "seed_zone", "species", "task", "people_days", "confidence", "basis", "summary", "uid"}

// WriteWorkloadCSV writes a workload as CSV, one task a row, by best day. "week" is its week's Monday; people_days is empty
// where the plan gives none.
func WriteWorkloadCSV(w io.Writer, load *seed.Workload) error {
	out := csv.NewWriter(w)
	if err := out.Write(workloadColumns); err != nil {
		return err
	}
	for _, s := range load.Sites {
		for _, e := range s.Entries {
			stand, zone, work := "", "", ""
			if e.Stand != nil {
				stand, zone = e.Stand.ID, e.Stand.SeedZone
			}
			if e.PeopleDays > 0 {
				work = days(e.PeopleDays)
			}
			err := out.Write([]string{
				seed.MondayOf(e.Best).String(), e.Best.String(), e.Window.First.String(), e.Window.Last.String(), s.ID, stand, zone,
				e.Species[0].ID, string(e.Task), work, decimals(e.Probability), e.Rests.Basis.String(), words.Brief(e).Summary, e.UID,
			})
			if err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}

type jsonWorkload struct {
	Title string         `json:"title"`
	AsOf  civil.Date     `json:"as_of"`
	From  civil.Date     `json:"from"`
	To    civil.Date     `json:"to"`
	Notes []string       `json:"notes"`
	Sites []jsonSiteLoad `json:"sites"`
}

type jsonSiteLoad struct {
	Site    string     `json:"site"`
	Name    string     `json:"name"`
	WeekHas float64    `json:"people_days_a_week,omitempty"`
	Weeks   []jsonWeek `json:"weeks"`
	Tasks   []jsonTask `json:"tasks"`
	Kit     []jsonKit  `json:"kit"`
}

type jsonWeek struct {
	Monday     civil.Date `json:"monday"`
	Tasks      int        `json:"tasks"`
	PeopleDays float64    `json:"people_days"`
	Over       bool       `json:"over"`
	Moves      []jsonMove `json:"moves"`
	StillOver  float64    `json:"still_over"`
}

type jsonMove struct {
	UID string     `json:"uid"`
	To  civil.Date `json:"to"` // a Monday
}

type jsonTask struct {
	UID        string          `json:"uid"`
	Best       civil.Date      `json:"best"`
	Start      civil.Date      `json:"start"`
	End        civil.Date      `json:"end"`
	Stand      string          `json:"stand,omitempty"`
	SeedZone   string          `json:"seed_zone,omitempty"`
	Species    string          `json:"species"`
	Task       calendar.Task   `json:"task"`
	Summary    string          `json:"summary"`
	PeopleDays float64         `json:"people_days,omitempty"`
	Confidence float64         `json:"confidence"`
	Basis      phenology.Basis `json:"basis"`
	After      []string        `json:"after"`
}

type jsonKit struct {
	Month string   `json:"month"` // YYYY-MM
	What  string   `json:"what"`
	For   []string `json:"for"`
}

// WriteWorkloadJSON writes a workload as one JSON object.
func WriteWorkloadJSON(w io.Writer, load *seed.Workload) error {
	round := func(x float64) float64 { return float64(int(x*100+0.5)) / 100 }
	out := jsonWorkload{Title: load.Title, AsOf: load.AsOf, From: load.Span.First, To: load.Span.Last, Notes: words.Notes(load.Notes), Sites: []jsonSiteLoad{}}
	for _, s := range load.Sites {
		js := jsonSiteLoad{Site: s.ID, Name: s.Name, WeekHas: s.WeekHas}
		for _, week := range s.Weeks {
			jw := jsonWeek{Monday: week.Monday, Tasks: len(week.Entries), PeopleDays: round(week.PeopleDays), Over: week.Over, Moves: []jsonMove{}, StillOver: round(week.StillOver)}
			for _, m := range week.Moves {
				jw.Moves = append(jw.Moves, jsonMove{m.Entry.UID, m.To})
			}
			js.Weeks = append(js.Weeks, jw)
		}
		for _, e := range s.Entries {
			jt := jsonTask{
				UID: e.UID, Best: e.Best, Start: e.Window.First, End: e.Window.Last, Species: e.Species[0].ID, Task: e.Task, Summary: words.Brief(e).Summary,
				PeopleDays: round(e.PeopleDays), Confidence: round(e.Probability), Basis: e.Rests.Basis, After: orEmpty(e.After),
			}
			if e.Stand != nil {
				jt.Stand, jt.SeedZone = e.Stand.ID, e.Stand.SeedZone
			}
			js.Tasks = append(js.Tasks, jt)
		}
		js.Kit = []jsonKit{}
		for _, k := range s.Kit {
			for _, item := range k.Items {
				what, of := words.Kit(item)
				js.Kit = append(js.Kit, jsonKit{k.First.Format("2006-01"), what, of})
			}
		}
		out.Sites = append(out.Sites, js)
	}
	return writeJSON(w, out)
}
