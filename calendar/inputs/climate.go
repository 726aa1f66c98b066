package inputs

import (
	"errors"
	"fmt"
	"math"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
	"treewhen/phenology/climate"
	"treewhen/phenology/problem"
	"treewhen/phenology/weather"
)

// Every record is held against the climate of its place, so that degrees Fahrenheit that were read as Celsius, columns
// that were swapped, or a station of the other hemisphere date no tree. What names its slip is refused; what is oddly
// warm or cold is told by whoever asks for doubts. Where the table of climate is not to be trusted, nothing is refused.

// nearStation is how far from its site, in kilometres, a station may be and have its own climate rather than the
// site's: one that is farther away is most likely not the one that was meant.
const nearStation = 300

// climateOf is the climate that a file is held against: that of its station, where the file says where that is and it
// is near, else of the site.
func climateOf(pl *Place, station weather.Station) (climate.Cell, bool) {
	if lat, lon := station.Latitude, station.Longitude; lat != nil && lon != nil &&
		phenology.Distance(pl.Site.Latitude, pl.Site.Longitude, *lat, *lon) < nearStation {
		return climate.At(*lat, *lon)
	}
	return climate.At(pl.Site.Latitude, pl.Site.Longitude)
}

// heightOf is the height of a file's thermometer in metres: as the plan has it, else the file, else the site's own.
func heightOf(pl *Place, src planfile.Source, rec *weather.Record) float64 {
	switch {
	case src.Elevation != nil:
		return *src.Elevation
	case rec.Station.Elevation != nil:
		return *rec.Station.Elevation
	}
	return pl.Site.Elevation
}

// recordVerdict holds what is looked at of a record against a climate.
func (in *Inputs) recordVerdict(
	pl *Place, src planfile.Source, rec *weather.Record, cell climate.Cell,
) weather.Verdict {
	rms, _ := cell.Error()
	height := heightOf(pl, src, rec)
	normals := weather.Normals{Station: weather.Station{Elevation: &cell.Elevation}, Min: cell.Min, Max: cell.Max}
	return weather.Against(
		normals, rms, weather.Source{Name: rec.Name, Series: rec.Series.Until(in.AsOf), Elevation: &height},
	)
}

// climateCell is the quarter of a degree that a climate is of; the zero value is that of none.
type climateCell struct{ latitude, longitude float64 }

func cellOf(c climate.Cell) climateCell {
	return climateCell{math.Floor(4 * c.Latitude), math.Floor(4 * c.Longitude)}
}

// slip returns why a file is refused at a site, "" if it is not, and the cell whose climate it was held against. It
// may be called by several goroutines.
func (in *Inputs) slip(pl *Place, src planfile.Source, rec *weather.Record, forecast bool) (climateCell, string) {
	cell, known := climateOf(pl, rec.Station)
	if _, trusted := cell.Error(); !known || !trusted {
		return climateCell{}, ""
	}
	v := weather.Verdict{}
	if forecast {
		v = forecastVerdict(cell.MovedTo(heightOf(pl, src, rec)), rec.Series)
	} else {
		v = in.recordVerdict(pl, src, rec, cell)
	}
	return cellOf(cell), slipText(pl, v)
}

// recordAt is a file and a climate that it was held against, so that thousands of sites may share a record.
type recordAt struct {
	rec *Record
	at  climateCell
}

// noteSlip keeps why a file is refused.
func (r *reader) noteSlip(rec *Record, at climateCell, text string) {
	r.judged[recordAt{rec, at}] = true
	if text != "" {
		r.problems = append(r.problems, problem.Problem{File: rec.name, Text: text, Hint: climate.Attribution})
	}
}

// refuseSlips holds the files against the climates of the sites other than the first that names each.
func (r *reader) refuseSlips() {
	if len(r.problems) > 0 { // then files are missing, and those are to be mended first
		return
	}
	for _, pl := range r.in.Places {
		for i, list := range [...][]*Record{pl.Records, pl.Forecasts} {
			sources := [...][]planfile.Source{pl.Site.Temperatures, pl.Site.Forecast}[i]
			for k, rec := range list {
				cell, known := climateOf(pl, rec.station)
				_, trusted := cell.Error()
				if rec.State != nil || !known || !trusted || r.judged[recordAt{rec, cellOf(cell)}] {
					continue
				}
				at, text := r.in.slip(pl, sources[k], rec.Read(), i == 1)
				if i == 1 && text != "" {
					r.without(sources[k], calendar.OtherUnit, errors.New(rec.name+": "+text))
					text = ""
				}
				r.noteSlip(rec, at, text)
			}
		}
	}
	for _, pl := range r.in.Places {
		r.forecastsOf(pl)
	}
}

// slipText is why a file is refused, "" if it is not.
func slipText(pl *Place, v weather.Verdict) string {
	place := "the climate of " + pl.Site.ID
	switch v.Kind {
	case weather.FahrenheitRead:
		return fmt.Sprintf(
			"found temperatures %.0f C above %s, as degrees Fahrenheit are that are read as Celsius; want unit: F "+
				"beside the file in the plan, or, where its header names the unit, tmin_f and tmax_f", v.Off(), place,
		)
	case weather.CelsiusConverted:
		return fmt.Sprintf(
			"found temperatures %.0f C below %s, as degrees Celsius are that are taken for Fahrenheit; want unit: C "+
				"beside the file in the plan, or, where its header names the unit, tmin_c and tmax_c", -v.Off(), place,
		)
	case weather.SwappedExtremes:
		return fmt.Sprintf(
			"found minima %.0f C above and maxima %.0f C below %s, as those of columns that are swapped; want each "+
				"under its own heading", v.Min, -v.Max, place,
		)
	case weather.OtherHemisphere:
		return fmt.Sprintf(
			"found seasons half a year off %s, at latitude %.4g; want a station of its own hemisphere, or the "+
				"latitude with its sign", place, pl.Site.Latitude,
		)
	}
	return ""
}

// ClimateDoubts returns, for the records of a site, what is not like the climate of their place; nil where nothing is.
// What it says rests on [climate.Attribution].
func (in *Inputs) ClimateDoubts(pl *Place) (list []weather.Finding) {
	for i, rec := range pl.Records {
		cell, known := climateOf(pl, rec.station)
		if !known {
			continue
		}
		v := in.recordVerdict(pl, pl.Site.Temperatures[i], rec.Read(), cell)
		if f, off := v.Finding(rec.name); off {
			f.Source = i
			list = append(list, f)
		}
	}
	return list
}
