package text

import (
	"encoding/json"

	"treewhen/calendar/tapping"
	"treewhen/phenology/civil"
)

// sapRows returns seasons as tables have them.
func sapRows(seasons []*tapping.Account) (rows []sapRow) {
	for _, a := range seasons {
		rows = append(rows, seasonRow(a))
	}
	return rows
}

// jsonSapCrew is how one crew serves several bushes.
type jsonSapCrew struct {
	Clash bool          `json:"clash"` // not every bush can be begun on its own best day
	Turns []jsonSapTurn `json:"turns"` // the earliest first
	Left  []jsonSapLeft `json:"left"`  // bushes without a turn
}

type jsonSapTurn struct {
	Site    string        `json:"site"`
	Species []string      `json:"species"`
	First   civil.Date    `json:"first"`
	Last    civil.Date    `json:"last"`
	Best    civil.Date    `json:"best"` // its own best day to begin
	Lost    tapping.Share `json:"lost"` // of the season's run days, by not beginning on it
}

type jsonSapLeft struct {
	Site string         `json:"site"`
	Why  tapping.Advice `json:"why"`
}

// sapCrewJSON returns a crew as JSON has it; nil for none.
func sapCrewJSON(c *tapping.Crew) *jsonSapCrew {
	if c == nil {
		return nil
	}
	j := &jsonSapCrew{Clash: c.Clash, Left: []jsonSapLeft{}}
	for _, turn := range c.Turns {
		t := jsonSapTurn{Site: turn.Site.ID, First: turn.Days.First, Last: turn.Days.Last, Best: turn.Best,
			Lost: tapping.Share(turn.Lost)}
		for _, sp := range turn.Species {
			t.Species = append(t.Species, sp.ID)
		}
		j.Turns = append(j.Turns, t)
	}
	for _, l := range c.Left {
		j.Left = append(j.Left, jsonSapLeft{l.Site.ID, l.Why})
	}
	return j
}

// jsonBook is what a place's book has of seasons, litres.
type jsonBook struct {
	This   *jsonBooked  `json:"this"` // null while the book has nothing of this season
	Past   []jsonBooked `json:"past"` // the earliest first
	Tuning jsonTuning   `json:"tuning"`
}

type jsonBooked struct {
	Season int         `json:"season"`
	First  civil.Date  `json:"first"` // with sap or syrup
	Last   civil.Date  `json:"last"`
	Days   int         `json:"days"` // with sap
	Sap    json.Number `json:"sap_litres"`
	Syrup  json.Number `json:"syrup_litres"`
	Sugar  json.Number `json:"sugar_percent"` // 0: not said
}

type jsonTuning struct {
	Seasons int         `json:"seasons"` // that it rests on
	Factor  json.Number `json:"factor"`  // by which expected volumes are multiplied
	Spread  json.Number `json:"spread"`  // standard deviation of the logarithm of a season's total
}

// bookJSON returns a book as JSON has it; nil for none.
func bookJSON(b *tapping.Book) *jsonBook {
	if b == nil {
		return nil
	}
	booked := func(b tapping.Booked) jsonBooked {
		return jsonBooked{b.Season, b.First, b.Last, b.Days, number(b.Sap, 0), number(b.Syrup, 1), number(b.Sugar, 1)}
	}
	j := &jsonBook{Past: []jsonBooked{}, Tuning: jsonTuning{b.Seasons, number(b.Factor, 2), number(b.Spread, 2)}}
	if b.This.Days > 0 || b.This.Syrup > 0 {
		this := booked(b.This)
		j.This = &this
	}
	for _, past := range b.Past {
		j.Past = append(j.Past, booked(past))
	}
	return j
}
