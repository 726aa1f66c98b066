package text

import (
	"io"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/seed"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// workloadColumns are the columns of a workload as CSV.
var workloadColumns = []string{
	"week", "best", "start", "end", "site", "stand", "seed_zone", "species", "task", "people_days", "confidence",
	"basis", "summary", "uid", "day", "visit", "permit", "lot", "need_clean_kg", "need_fruit_kg", "need_fruit_l",
	"drive",
}

// WriteWorkloadCSV writes a workload as CSV, one task a row, by the day on which it is to be done. "week" is that day's
// Monday; people_days is empty where the plan gives none, visit where a task is done at the nursery.
func WriteWorkloadCSV(w io.Writer, load *seed.Workload) error {
	return writeTable(w, workloadColumns, func(yield func([]string) bool) {
		for _, c := range load.Crews {
			for _, j := range c.Jobs {
				if !yield(workloadRow(j)) {
					return
				}
			}
		}
	})
}

func workloadRow(j *seed.Job) []string {
	e, stand, work := j.Entry, standOf(j.Entry), ""
	if e.PeopleDays > 0 {
		work = days(e.PeopleDays)
	}
	return []string{
		seed.MondayOf(j.Day).String(), e.Best.String(), e.Window.First.String(), e.Window.Last.String(), e.Site.ID,
		stand.ID, stand.SeedZone, e.Species[0].ID, string(e.Task), work, decimals(e.Probability),
		e.Rests.Basis.String(), words.Brief(e).Summary, e.UID, j.Day.String(), counted(j.Visit, ""), stand.Permit,
		lotID(e),
		needCell(e, func(q seed.Quantities) seed.Amount { return q.CleanKG }),
		needCell(e, func(q seed.Quantities) seed.Amount { return q.FruitKG }),
		needCell(e, func(q seed.Quantities) seed.Amount { return q.FruitL }),
		counted(j.Drive, ""),
	}
}

// standOf returns the stand of an entry, an empty one for none; of work on seed, what is known of its origin.
func standOf(e *calendar.Entry) calendar.Stand {
	switch {
	case e.Stand != nil:
		return *e.Stand
	case e.Lot != nil:
		return calendar.Stand{SeedZone: e.Lot.SeedZone}
	}
	return calendar.Stand{}
}

// needOf returns what is to be brought home of a collection, nil where nothing is wanted.
func needOf(e *calendar.Entry) *seed.Need {
	if f, ok := e.Facts.(*seed.Collection); ok {
		return f.Need
	}
	return nil
}

// needCell writes the middle of an amount that is to be brought home, "" where it is not known.
func needCell(e *calendar.Entry, of func(seed.Quantities) seed.Amount) string {
	n := needOf(e)
	if n == nil || !of(n.Quantities).Known() && (n.InHand == nil || !of(n.InHand.InAll).Known()) {
		return ""
	}
	return strings.ReplaceAll(words.Figure(of(n.Quantities).Mid), ",", "")
}

// lotID returns the owner's name of the lot that an entry is work on, "" for none.
func lotID(e *calendar.Entry) string {
	if e.Lot == nil {
		return ""
	}
	return e.Lot.ID
}

type jsonWorkload struct {
	Title string         `json:"title"`
	AsOf  civil.Date     `json:"as_of"`
	From  civil.Date     `json:"from"`
	To    civil.Date     `json:"to"`
	Notes []string       `json:"notes"`
	Sites []jsonSiteLoad `json:"sites"`
	Crews []jsonCrew     `json:"crews"`
}

type jsonCrew struct {
	Sites   []string   `json:"sites"`
	WeekHas float64    `json:"people_days_a_week,omitempty"`
	Weeks   []jsonWeek `json:"weeks"`
	Cold    []jsonCold `json:"cold"`
	Drives  jsonDrives `json:"drives"`
}

// jsonDrives is how well the days of visits are chosen, in drives to one stand.
type jsonDrives struct {
	Cost    float64 `json:"cost"`
	AtLeast float64 `json:"at_least"`
}

// jsonCold is what lies in the cold in a week.
type jsonCold struct {
	Monday  civil.Date `json:"monday"`
	Dry     int        `json:"dry_lots"`
	Moist   int        `json:"moist_lots"`
	KG      float64    `json:"kg"`
	Unknown int        `json:"not_weighed"`
}

type jsonSiteLoad struct {
	Site    string     `json:"site"`
	Name    string     `json:"name"`
	WeekHas float64    `json:"people_days_a_week,omitempty"` // of its crew
	Weeks   []jsonWeek `json:"weeks"`                        // of its crew
	Tasks   []jsonTask `json:"tasks"`
	Kit     []jsonKit  `json:"kit"`
}

type jsonWeek struct {
	Monday     civil.Date `json:"monday"`
	Tasks      int        `json:"tasks"`
	Visits     int        `json:"visits"`
	Drives     int        `json:"drives"`
	PeopleDays float64    `json:"people_days"`
	Has        float64    `json:"has,omitempty"`
	Over       bool       `json:"over"`
	Moves      []jsonMove `json:"moves"`
	StillOver  float64    `json:"still_over"`
	Least      []string   `json:"gives_least"` // UIDs
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
	Day        civil.Date      `json:"day"` // on which its crew does it
	Visit      int             `json:"visit,omitempty"`
	Drive      int             `json:"drive,omitempty"`
	Stand      string          `json:"stand,omitempty"`
	SeedZone   string          `json:"seed_zone,omitempty"`
	Permit     string          `json:"permit,omitempty"`
	Lot        string          `json:"lot,omitempty"`
	Need       *seed.Need      `json:"need,omitempty"`
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

// hundredths rounds a figure as workloads write it.
func hundredths(x float64) float64 { return float64(int(x*100+0.5)) / 100 }

// WriteWorkloadJSON writes a workload as one JSON object.
func WriteWorkloadJSON(w io.Writer, load *seed.Workload) error {
	out := jsonWorkload{
		Title: load.Title, AsOf: load.AsOf, From: load.Span.First, To: load.Span.Last,
		Notes: words.Notes(load.Notes, load.Speech),
		Sites: []jsonSiteLoad{}, Crews: []jsonCrew{},
	}
	for _, c := range load.Crews {
		crew := jsonCrew{WeekHas: c.WeekHas, Weeks: jsonWeeks(c), Cold: []jsonCold{}}
		crew.Drives = jsonDrives{hundredths(c.Drives.Cost), hundredths(c.Drives.AtLeast)}
		for _, w := range c.Fridge {
			crew.Cold = append(crew.Cold, jsonCold{w.Monday, w.Dry, w.Moist, hundredths(w.KG), w.Unknown})
		}
		for _, s := range c.Sites {
			crew.Sites = append(crew.Sites, s.ID)
			js := jsonSiteLoad{Site: s.ID, Name: s.Name, WeekHas: c.WeekHas, Weeks: crew.Weeks, Tasks: []jsonTask{},
				Kit: []jsonKit{}}
			for _, j := range s.Jobs {
				js.Tasks = append(js.Tasks, jsonTaskOf(j))
			}
			for _, k := range s.Kit {
				for _, item := range k.Items {
					what, of := words.Kit(item, load.Speech)
					js.Kit = append(js.Kit, jsonKit{k.First.Format("2006-01"), what, of})
				}
			}
			out.Sites = append(out.Sites, js)
		}
		out.Crews = append(out.Crews, crew)
	}
	return writeJSON(w, out)
}

func jsonWeeks(c *seed.Crew) []jsonWeek {
	list := []jsonWeek{}
	for _, week := range c.Weeks {
		jw := jsonWeek{
			Monday: week.Monday, Tasks: len(week.Jobs), Visits: week.Visits, Drives: week.Drives,
			PeopleDays: hundredths(week.PeopleDays),
			Has:        hundredths(week.Has), Over: week.Over, Moves: []jsonMove{},
			StillOver: hundredths(week.StillOver), Least: []string{},
		}
		for _, m := range week.Moves {
			jw.Moves = append(jw.Moves, jsonMove{m.Job.Entry.UID, m.To})
		}
		for _, j := range week.Least {
			jw.Least = append(jw.Least, j.Entry.UID)
		}
		list = append(list, jw)
	}
	return list
}

func jsonTaskOf(j *seed.Job) jsonTask {
	e := j.Entry
	stand := standOf(e)
	return jsonTask{
		UID: e.UID, Best: e.Best, Start: e.Window.First, End: e.Window.Last, Day: j.Day, Visit: j.Visit, Drive: j.Drive,
		Stand: stand.ID, SeedZone: stand.SeedZone, Permit: stand.Permit, Lot: lotID(e), Need: needOf(e),
		Species: e.Species[0].ID, Task: e.Task,
		Summary: words.Brief(e).Summary, PeopleDays: hundredths(e.PeopleDays), Confidence: hundredths(e.Probability),
		Basis: e.Rests.Basis, After: orEmpty(e.After),
	}
}
