package alerts

import (
	"encoding/json"
	"io"
	"strings"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// Message is an alert as it is sent and printed: testdata/schemas/alerts.schema.json.
type Message struct {
	ID          string            `json:"id"` // [Alert.ID]: of what comes twice, the same
	Title       string            `json:"title"`
	Message     string            `json:"message"`
	Site        string            `json:"site"`
	SiteName    string            `json:"site_name"`
	Activity    calendar.Activity `json:"activity"`
	Task        calendar.Task     `json:"task"`
	Species     []string          `json:"species"`
	Kind        string            `json:"kind"`  // of the reminder: what it rings for
	Entry       string            `json:"entry"` // its uid in calendars and schedules
	Start       civil.Date        `json:"start"` // first day of the work
	End         civil.Date        `json:"end"`   // its last day
	Best        civil.Date        `json:"best"`  // its best day
	Confidence  calendar.Chance   `json:"confidence"`
	Due         time.Time         `json:"due"`          // from when on it is to be told
	UsefulUntil civil.Date        `json:"useful_until"` // the last day on which it is of use

	speech phrase.Speech
}

// Message says an alert.
func (a *Alert) Message() Message {
	e := a.Entry
	m := Message{
		ID: a.ID, Site: e.Site.ID, SiteName: e.Site.Name, Activity: e.Activity, Task: e.Task, Species: []string{},
		Kind: a.Reminder().Kind, Entry: e.UID, Start: e.Window.First, End: e.Window.Last, Best: e.Best,
		Confidence: calendar.Chance(e.Probability), Due: a.At(), UsefulUntil: a.Until,
		speech: e.Speech,
	}
	for _, s := range e.Species {
		m.Species = append(m.Species, s.ID)
	}
	m.Title, m.Message = words.Alert(e, a.Index)
	return m
}

// Trial returns the message as one that is sent to see whether it arrives: it says so, and is another than the one that
// will be sent, and than those of other trials.
func (m Message) Trial(now time.Time) Message {
	if id, err := calendar.ParseUUID(m.ID); err == nil {
		m.ID = calendar.NameUUID(id, "trial "+now.UTC().Format(time.RFC3339Nano)).String()
	}
	m.Title, m.Message = words.Trial(m.Title, m.Message, m.speech)
	return m
}

// JSON returns the message as one object, with some fields more. In their values, {title} and {message} stand for
// these. Of two of a name, that of the fields is sent.
func (m Message) JSON(fields map[string]string) ([]byte, error) {
	data, err := json.Marshal(m)
	if err != nil || len(fields) == 0 {
		return data, err
	}
	all := map[string]any{}
	if err := json.Unmarshal(data, &all); err != nil {
		return nil, err
	}
	fill := strings.NewReplacer("{title}", m.Title, "{message}", m.Message)
	for name, value := range fields {
		all[name] = fill.Replace(value)
	}
	return json.Marshal(all) // in the order of their names
}

// WriteJSON writes some alerts of a plan that are due on a day as JSON.
func WriteJSON(w io.Writer, title string, asOf civil.Date, list []Message) error {
	if list == nil {
		list = []Message{}
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(struct {
		Title  string     `json:"title"`
		AsOf   civil.Date `json:"as_of"`
		Alerts []Message  `json:"alerts"`
	}{title, asOf, list})
}

// WriteText writes some alerts as people read them: a paragraph each, and nothing where there is none, so that
// whoever mails what is printed mails nothing then.
func WriteText(w io.Writer, list []Message) error {
	for i, m := range list {
		lead := "\n"
		if i == 0 {
			lead = ""
		}
		first, _, _ := strings.Cut(m.Message, "\n\n")
		if _, err := io.WriteString(w, lead+m.Title+"\n  "+strings.ReplaceAll(first, "\n", "\n  ")+"\n"); err != nil {
			return err
		}
	}
	return nil
}
