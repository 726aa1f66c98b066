package inputs

import (
	"fmt"
	"math"

	"treewhen/calendar/planfile"
	"treewhen/phenology"
	"treewhen/phenology/climate"
	"treewhen/phenology/problem"
	"treewhen/phenology/weather"
)

// Every record is held against the climate of its place, so that degrees Fahrenheit that were read as Celsius, columns
// that were swapped, or a station of the other hemisphere date no tree. What names its slip is refused; what is oddly
// warm or cold is told by whoever asks for doubts. Where the table of climate is not to be trusted, nothing is refused.

// nearStation is how far from its site, in kilometres, a station may be and have its own climate rather than the site's:
// one that is farther away is most likely not the one that was meant.
const nearStation = 300

// climateOf is the climate that a file is held against: that of its station, where the file says where that is and it is
// near, else of the site.
func climateOf(pl *Place, rec *weather.Record) (climate.Cell, bool) {
	if lat, lon := rec.Station.Latitude, rec.Station.Longitude; lat != nil && lon != nil &&
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
func (in *Inputs) recordVerdict(pl *Place, i int, cell climate.Cell) weather.Verdict {
	rec := pl.Records[i].Read()
	rms, _ := cell.Error()
	height := heightOf(pl, pl.Site.Temperatures[i], rec)
	normals := weather.Normals{Station: weather.Station{Elevation: &cell.Elevation}, Min: cell.Min, Max: cell.Max}
	return weather.Against(
		normals, rms, weather.Source{Name: rec.Name, Series: rec.Series.Until(in.AsOf), Elevation: &height},
	)
}

// cellKey tells apart what is held against what, since thousands of sites may share a record: the file, and the quarter of
// a degree that a cell is of.
type cellKey struct {
	rec                 *Record
	latitude, longitude float64
}

// refuseSlips refuses the records and forecasts that a slip explains and the weather does not.
func (r *reader) refuseSlips() {
	if len(r.problems) > 0 { // then files are missing, and those are to be mended first
		return
	}
	done := map[cellKey]bool{}
	each := func(pl *Place, records []*Record, judge func(i int, cell climate.Cell) weather.Verdict) {
		for i, rec := range records {
			cell, known := climateOf(pl, rec.Read())
			if !known {
				continue
			}
			key := cellKey{rec, math.Floor(4 * cell.Latitude), math.Floor(4 * cell.Longitude)}
			if _, trusted := cell.Error(); !trusted || done[key] {
				continue
			}
			done[key] = true
			if text := slipText(pl, judge(i, cell)); text != "" {
				r.problems = append(r.problems, problem.Problem{File: rec.name, Text: text, Hint: climate.Attribution})
			}
		}
	}
	for _, pl := range r.in.Places {
		each(pl, pl.Records, func(i int, cell climate.Cell) weather.Verdict { return r.in.recordVerdict(pl, i, cell) })
		each(pl, pl.Forecasts, func(i int, cell climate.Cell) weather.Verdict {
			rec := pl.Forecasts[i].Read()
			return forecastVerdict(cell.MovedTo(heightOf(pl, pl.Site.Forecast[i], rec)), rec.Series)
		})
	}
}

// slipText is why a file is refused, "" if it is not.
func slipText(pl *Place, v weather.Verdict) string {
	place := "the climate of " + pl.Site.ID
	switch v.Kind {
	case weather.FahrenheitRead:
		return fmt.Sprintf(
			"found temperatures %.0f C above %s, as degrees Fahrenheit are that are read as Celsius; want unit: F beside the "+
				"file in the plan, or, where its header names the unit, tmin_f and tmax_f", v.Off(), place,
		)
	case weather.CelsiusConverted:
		return fmt.Sprintf(
			"found temperatures %.0f C below %s, as degrees Celsius are that are taken for Fahrenheit; want unit: C beside "+
				"the file in the plan, or, where its header names the unit, tmin_c and tmax_c", -v.Off(), place,
		)
	case weather.SwappedExtremes:
		return fmt.Sprintf(
			"found minima %.0f C above and maxima %.0f C below %s, as those of columns that are swapped; want each under "+
				"its own heading", v.Min, -v.Max, place,
		)
	case weather.OtherHemisphere:
		return fmt.Sprintf(
			"found seasons half a year off %s, at latitude %.4g; want a station of its own hemisphere, or the latitude with "+
				"its sign", place, pl.Site.Latitude,
		)
	}
	return ""
}

// ClimateDoubts returns, for the records of a site, what is not like the climate of their place; nil where nothing is.
// What it says rests on [climate.Attribution].
func (in *Inputs) ClimateDoubts(pl *Place) (list []weather.Finding) {
	for i, rec := range pl.Records {
		cell, known := climateOf(pl, rec.Read())
		if !known {
			continue
		}
		if f, off := in.recordVerdict(pl, i, cell).Finding(rec.name); off {
			f.Source = i
			list = append(list, f)
		}
	}
	return list
}
