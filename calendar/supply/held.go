package supply

import (
	"bytes"
	"encoding/json"
	"strings"
	"time"

	"treewhen/calendar/fetch"
	"treewhen/calendar/services"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// held is what is known of a source, beside its days.
type held struct {
	Reader int `json:"reader"` // of the service, that has read the days
	// the first day that was asked for; of a forecast, the first that the last one has
	From      civil.Date        `json:"from"`
	Station   weather.Station   `json:"station"`
	Address   string            `json:"asked,omitempty"` // that the validators belong to
	Due       time.Time         `json:"due"`
	Failures  int               `json:"failures,omitempty"` // in a row
	Fault     services.Fault    `json:"fault,omitempty"`
	Path      string            `json:"path,omitempty"` // of the forecast, where the service says where it is
	PathOf    time.Time         `json:"path_of,omitzero"`
	Revised   []services.Change `json:"revised,omitempty"`
	RevisedOn civil.Date        `json:"revised_on,omitempty"`
	LeftOut   int               `json:"left_out,omitempty"`
}

// open reads what is kept of a source. What another reader has read is kept as a copy, and asked for anew.
func (d *Desk) open(w Want) *source {
	s := &source{Desk: d, Want: w, copy: d.Web.Kept.Read(w.Key())}
	if s.copy != nil && json.Unmarshal(s.copy.More, &s.held) == nil {
		if rec, err := weather.Read(bytes.NewReader(s.copy.Body), "copy", weather.Options{}); err == nil {
			s.series = rec.Series
			return s
		}
		if len(s.copy.Body) == 0 { // nothing has come yet
			return s
		}
	}
	s.held, s.copy = held{}, &fetch.Copy{Meta: fetch.Meta{Key: w.Key()}}
	return s
}

// keep puts the source's copy in place.
func (s *source) keep() services.Fault {
	var b strings.Builder
	if len(s.series.Days) > 0 {
		_ = weather.WritePlain(&b, s.series) // a builder takes all
	}
	s.copy.Body = []byte(b.String())
	more, err := json.Marshal(s.held)
	if err == nil {
		s.copy.More = more
		err = s.Web.Kept.Keep(s.copy)
	}
	if err != nil {
		s.Log("%s: what it gave cannot be kept: %v", s.what(), err)
		return services.Unkept
	}
	return s.Fault
}
