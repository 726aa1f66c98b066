package text

import (
	"bytes"
	"encoding/json"
	"io"
	"strconv"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// scheduleColumns are the columns of a schedule as CSV. Programs rely on them.
var scheduleColumns = []string{
	"start", "end", "best", "site", "activity", "species", "task", "confidence", "basis", "uid", "stand", "seed_zone",
	"permit", "lot",
}

// WriteCSV writes a schedule as CSV, one entry a row. "end" is the last day of the window, which is in it; several
// species are joined by spaces.
func WriteCSV(w io.Writer, s *calendar.Schedule) error {
	return writeRows(w, s, func(ids []string) []string { return []string{strings.Join(ids, " ")} })
}

// WriteSpeciesCSV writes a schedule as [WriteCSV] does, but a row for each species of an entry, and one for an entry of
// none: no cell has more than one value. Rows of one entry share its uid.
func WriteSpeciesCSV(w io.Writer, s *calendar.Schedule) error {
	return writeRows(w, s, func(ids []string) []string {
		if len(ids) == 0 {
			return []string{""}
		}
		return ids
	})
}

// writeRows writes a row for each of what cells makes of an entry's species.
func writeRows(w io.Writer, s *calendar.Schedule, cells func(ids []string) []string) error {
	return writeTable(w, scheduleColumns, func(yield func([]string) bool) {
		for _, e := range s.Entries {
			stand := standOf(e)
			for _, species := range cells(speciesIDs(e)) {
				if !yield([]string{
					e.Window.First.String(), e.Window.Last.String(), e.Best.String(), e.Site.ID, string(e.Activity),
					species, string(e.Task), decimals(e.Probability), e.Rests.Basis.String(), e.UID,
					stand.ID, stand.SeedZone, stand.Permit, lotID(e),
				}) {
					return
				}
			}
		}
	})
}

func speciesIDs(e *calendar.Entry) []string {
	ids := make([]string, len(e.Species))
	for i, sp := range e.Species {
		ids[i] = sp.ID
	}
	return ids
}

// jsonSchedule is a schedule as JSON, but for its entries, which are written one by one. Keys are added, never renamed.
type jsonSchedule struct {
	Title   string       `json:"title"`
	AsOf    civil.Date   `json:"as_of"`
	From    civil.Date   `json:"from"`
	To      civil.Date   `json:"to"`
	Notes   []string     `json:"notes"`
	Sap     []sapRow     `json:"sap_seasons,omitempty"` // as command sap has them
	Crew    *jsonSapCrew `json:"crew,omitempty"`        // that taps all bushes
	Entries []struct{}   `json:"entries"`
}

type jsonEntry struct {
	UID          string            `json:"uid"`
	Start        civil.Date        `json:"start"`
	End          civil.Date        `json:"end"` // the last day, which is in the window
	Best         civil.Date        `json:"best"`
	From         string            `json:"from_time,omitempty"` // hours of the best day, by the site's clocks
	Until        string            `json:"until_time,omitempty"`
	RainDate     *civil.Date       `json:"rain_date,omitempty"`
	Site         string            `json:"site"`
	SiteName     string            `json:"site_name"`
	Stand        string            `json:"stand,omitempty"`
	StandName    string            `json:"stand_name,omitempty"`
	SeedZone     string            `json:"seed_zone,omitempty"`
	Permit       string            `json:"permit,omitempty"`
	Lot          *calendar.Lot     `json:"lot,omitempty"`
	Activity     calendar.Activity `json:"activity"`
	Task         calendar.Task     `json:"task"`
	Species      []string          `json:"species"`
	Season       int               `json:"season"`
	Summary      string            `json:"summary"`
	Confidence   json.Number       `json:"confidence"` // a probability
	ConfidenceIn string            `json:"confidence_words"`
	ConfidenceOf string            `json:"confidence_of"`
	Basis        phenology.Basis   `json:"basis"`
	BasisText    string            `json:"basis_text"`
	Settled      bool              `json:"settled"`
	Booked       bool              `json:"booked,omitempty"` // its owner has fixed the day
	Doubts       []string          `json:"doubts,omitempty"` // what is wrong with the temperatures behind it
	Reasons      []string          `json:"reasons"`
	LookFor      []string          `json:"look_for"`
	Bring        []string          `json:"bring"`
	Cautions     []string          `json:"cautions"`
	Sources      []string          `json:"sources"`
	After        []string          `json:"after"`           // UIDs
	Facts        calendar.Facts    `json:"facts,omitempty"` // what was decided, in numbers, days and names
}

// WriteJSON writes a schedule as one JSON object.
func WriteJSON(w io.Writer, s *calendar.Schedule) error {
	var b bytes.Buffer
	seasons := tapping.AccountsOf(s, "")
	head := jsonSchedule{
		Title: s.Title, AsOf: s.AsOf, From: s.Span.First, To: s.Span.Last, Notes: words.Notes(s.Notes, s.Speech),
		Sap: sapRows(seasons), Crew: sapCrewJSON(tapping.CrewOf(seasons)), Entries: []struct{}{},
	}
	if err := writeJSON(&b, head); err != nil {
		return err
	}
	if _, err := w.Write(bytes.TrimSuffix(b.Bytes(), []byte("[]\n}\n"))); err != nil {
		return err
	}
	list := jsonList{w: w, indent: "  "}
	for _, e := range s.Entries {
		if err := list.write(entryJSON(e)); err != nil {
			return err
		}
	}
	if err := list.close(); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n}\n")
	return err
}

// entryJSON returns an entry as it stands in JSON.
func entryJSON(e *calendar.Entry) jsonEntry {
	said := words.Say(e)
	j := jsonEntry{
		UID: e.UID, Start: e.Window.First, End: e.Window.Last, Best: e.Best, Site: e.Site.ID, SiteName: e.Site.Name,
		Activity: e.Activity, Task: e.Task, Species: speciesIDs(e), Season: e.Season, Summary: said.Summary,
		Confidence: number(e.Probability, 2), ConfidenceIn: said.SureWord(), ConfidenceOf: said.ChanceOf,
		Basis: e.Rests.Basis, BasisText: said.Basis, Settled: e.Settled, Booked: e.State == calendar.Booked,
		Doubts: said.Doubts, Reasons: orEmpty(said.Reasons), LookFor: orEmpty(said.LookFor), Bring: orEmpty(said.Kit),
		Cautions: orEmpty(words.Minded(said.Cautions)), Sources: orEmpty(said.Sources), After: orEmpty(e.After),
		Lot: e.Lot, Facts: e.Facts,
	}
	if e.Hours != (calendar.Hours{}) {
		j.From, j.Until = phrase.Clock(e.Hours.Start), phrase.Clock(e.Hours.End)
	}
	j.RainDate = outing.RainDate(e)
	if e.Stand != nil {
		j.Stand, j.StandName, j.SeedZone, j.Permit = e.Stand.ID, e.Stand.Name, e.Stand.SeedZone, e.Stand.Permit
	}
	return j
}

func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// jsonList writes a list element by element, with the bytes that [writeJSON] would give it whole.
type jsonList struct {
	w      io.Writer
	indent string // of the list
	some   bool
	b      bytes.Buffer
}

func (l *jsonList) write(v any) error {
	l.b.Reset()
	begins := "["
	if l.some {
		begins = ","
	}
	l.some = true
	l.b.WriteString(begins + "\n" + l.indent + "  ")
	enc := json.NewEncoder(&l.b)
	enc.SetEscapeHTML(false)
	enc.SetIndent(l.indent+"  ", "  ")
	if err := enc.Encode(v); err != nil {
		return err
	}
	_, err := l.w.Write(bytes.TrimSuffix(l.b.Bytes(), []byte("\n")))
	return err
}

func (l *jsonList) close() error {
	end := "[]"
	if l.some {
		end = "\n" + l.indent + "]"
	}
	_, err := io.WriteString(l.w, end)
	return err
}

// orEmpty makes a list that JSON writes as [] and not as null.
func orEmpty(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}

// decimals writes a probability to two places; no probability here is known better.
func decimals(p float64) string {
	return strconv.FormatFloat(p, 'f', 2, 64)
}
