package inputs

import (
	"os"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology/problem"
)

// LeftOut is a forecast that could not be read. Work goes on without it: a calendar that stands still for want of a
// forecast is worse than one that does without, and says so.
type LeftOut struct {
	Doubt calendar.Doubt
	// Why is what was wrong, with the file's name. It may hold what the other side sent, so that it is for the owner's
	// eyes alone.
	Why string
}

// without notes that work goes on without a forecast, and says why.
func (r *reader) without(src planfile.Source, flaw calendar.Flaw, err error) {
	line := problem.Problem{File: r.in.Plan.File, Line: src.Line, Field: "forecast"}
	line.Text = strings.Split(problem.OfFile(err).Error(), "\n")[0] + "; left out"
	out := LeftOut{calendar.Doubt{What: flaw}, line.Error()}
	r.leftOut[keyOf(src)] = out
	r.say("%s", out.Why)
	if !src.Remote {
		r.in.Awaited = append(r.in.Awaited, r.name(src.Path.Path))
	}
}

// flawOf says what is wrong with a forecast of this machine that could not be read.
func (r *reader) flawOf(src planfile.Source, opened bool) calendar.Flaw {
	if !opened {
		return calendar.Missing
	}
	if info, err := os.Stat(r.name(src.Path.Path)); err == nil && info.Size() == 0 {
		return calendar.Empty
	}
	return calendar.Damaged
}

// forecastsOf settles a site's forecasts: those that are left out, and the others.
func (r *reader) forecastsOf(pl *Place) {
	sources := pl.Site.Forecast
	pl.Site.Forecast, pl.Forecasts = nil, nil
	for _, src := range sources {
		key := r.keyAt(pl, src)
		if out, is := r.leftOut[key]; is {
			pl.LeftOut = append(pl.LeftOut, out)
		} else if rec := r.records[key]; rec != nil {
			pl.Site.Forecast, pl.Forecasts = append(pl.Site.Forecast, src), append(pl.Forecasts, rec)
		}
	}
}
