package phenology

import (
	"fmt"
	"reflect"
	"strings"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// StationFile is one file of a thermometer's temperatures, with what a person knows of it.
type StationFile struct {
	Record     *weather.Record
	Elevation  *float64           // metres of the thermometer; nil where it is not known
	Valley     bool               // it stands on a valley's floor, where cold air pools
	Correction weather.Correction // what the plan orders to be done to it
}

// JoinedStations is one series made of a site's files of temperatures, in order of trust. It is at the level and height
// of the first of them and without forecasts, so that sites of several heights can share it.
type JoinedStations struct {
	Series    weather.Series
	Elevation *float64         // metres of the thermometer at whose height the series is; nil where that is not known
	Valley    bool             // that thermometer stands on a valley's floor
	Rate      LapseRate        // by which it is moved to a site; its source says which stations it was measured between
	Reports   []StationReport  // one for each of Sources
	Sources   []weather.Source // as they went in, for whoever wants them tested: see [weather.Check]
}

// StationReport tells what was done with the files of one station.
type StationReport struct {
	Name     string
	Join     weather.JoinReport
	Offset   bool               // the plan orders its level: nothing else moved it
	Added    int                // with Offset, days that the sources before it lack
	Climb    float64            // metres that it was moved up, to the first station's height, before it was joined
	Order    weather.Correction // what the plan orders
	Reversed int                // days that the order left with a minimum above the maximum, both set to their mean
}

// String gives the report in one line.
func (r StationReport) String() string {
	told := r.Join.String()
	if r.Offset {
		told = fmt.Sprintf(
			"%s that the sources before it lack; moved as the plan orders, and by nothing else", plural(r.Added, "day"),
		)
	}
	if r.Climb != 0 {
		told += fmt.Sprintf("; moved %+.0f m to the first station's height beforehand", r.Climb)
	}
	if !r.Order.IsZero() {
		told += "; corrected as ordered (" + r.Order.String() + ")"
		if r.Reversed > 0 {
			told += fmt.Sprintf(
				", which leaves a minimum above the maximum on %s: both set to their mean", plural(r.Reversed, "day"),
			)
		}
	}
	return r.Name + ": " + told
}

// station is one source as it goes into the joined series: the files of one station merged.
type station struct {
	weather.Source
	order    weather.Correction
	reversed int
	id       string
	files    int // how many files of the station were merged
}

// mergeStations mends files as the plan orders and merges those of one station. No day after until is looked at.
func mergeStations(files []StationFile, until civil.Date) (list []station) {
	for _, f := range files {
		shift := civil.Date(max(0, -f.Correction.ShiftMax, -f.Correction.ShiftMin))
		series, reversed := f.Correction.Apply(f.Record.Series.Until(until + shift))
		s := station{
			Source: weather.Source{Name: f.Record.Name, Series: series.Until(until), Elevation: f.Elevation},
			order:  f.Correction, reversed: reversed, id: f.Record.Station.ID, files: 1,
		}
		if n := len(list); n > 0 && s.id != "" && s.id == list[n-1].id && reflect.DeepEqual(s.order, list[n-1].order) {
			before := &list[n-1]
			before.Series = weather.Merge(before.Series, s.Series)
			first, _, _ := strings.Cut(before.Name, " and ")
			before.Name = fmt.Sprintf("%s and %s of station %s", first, plural(before.files, "more file"), s.id)
			before.files++
			continue
		}
		list = append(list, s)
	}
	return list
}

// JoinStations makes one series of a site's files, the most trusted first; it ends with the last day up to until,
// inclusive, that has both temperatures. Files of one station are merged, stations at other heights moved to the first
// one's, and all brought to its level; gaps are filled openly: see [weather.Join] and [weather.Fill]. The lapse rate is
// that between the first two of the stations that carry one, else [DefaultLapseRate] of the hemisphere.
func JoinStations(files []StationFile, until civil.Date, southern bool) *JoinedStations {
	list := mergeStations(files, until)
	j := &JoinedStations{Rate: lapseOf(list, southern)}
	if len(list) == 0 {
		return j
	}
	j.Elevation, j.Valley = list[0].Elevation, files[0].Valley
	for i, s := range list {
		j.Sources = append(j.Sources, s.Source)
		r := StationReport{Name: s.Name, Order: s.order, Reversed: s.reversed}
		if i > 0 && s.Elevation != nil && j.Elevation != nil && *s.Elevation != *j.Elevation {
			r.Climb = *j.Elevation - *s.Elevation
			s.Series = j.Rate.Move(s.Series, r.Climb)
		}
		s.Elevation = nil // from here on, none is at a height of its own
		switch {
		case i == 0:
			joined, reports := weather.Join([]weather.Source{s.Source})
			j.Series, r.Join = joined, reports[0]
		case s.order.OffsetMin != 0 || s.order.OffsetMax != 0:
			r.Offset, r.Added = true, -completeDays(j.Series)
			j.Series = weather.Merge(j.Series, s.Series)
			r.Added += completeDays(j.Series)
		default:
			joined, reports := weather.Join([]weather.Source{{Name: "the sources before it", Series: j.Series},
				s.Source})
			j.Series, r.Join = joined, reports[1]
		}
		j.Reports = append(j.Reports, r)
	}
	j.Series = weather.Fill(j.Series)
	last := j.Series.Last()
	for last >= j.Series.First && !j.Series.At(last).Complete() {
		last--
	}
	j.Series = j.Series.Until(last)
	return j
}

// lapseOf takes the lapse rate from the first two stations that carry one, and says so in its source.
func lapseOf(list []station, southern bool) LapseRate {
	for a := range list {
		for b := a + 1; b < len(list); b++ {
			low, high := list[a], list[b]
			if low.Elevation == nil || high.Elevation == nil {
				continue
			}
			if *low.Elevation > *high.Elevation {
				low, high = high, low
			}
			if rate, _, err := LapseFromStations(low.Series, high.Series, *low.Elevation, *high.Elevation); err == nil {
				rate.Source.Citation += " (" + low.Name + " and " + high.Name + ")"
				return rate
			}
		}
	}
	return DefaultLapseRate(southern)
}

// Height returns the height in metres at which the series was taken: its thermometer's, else usual, which is what the
// files are taken for that name none; nil stands for a site's own.
func (j *JoinedStations) Height(usual *float64) *float64 {
	if j.Elevation != nil {
		return j.Elevation
	}
	return usual
}

// Forecast mends a forecast as the plan orders and moves it to the height of the series that it continues: see
// [JoinedStations.Height]. One that names no height is taken to be for that of the series.
func (j *JoinedStations) Forecast(site Site, f StationFile, usual *float64) weather.Series {
	series, _ := f.Correction.Apply(f.Record.Series)
	series = weather.Merge(series) // without days whose minimum is above their maximum
	if f.Elevation == nil {
		return series
	}
	to := site.Elevation
	if height := j.Height(usual); height != nil {
		to = *height
	}
	if *f.Elevation == to {
		return series
	}
	return j.Rate.Move(series, to-*f.Elevation)
}

// Temperatures moves the series, continued by forecasts, to a site's height: see [JoinedStations.Forecast]. It returns
// nil if there is no day in it.
func (j *JoinedStations) Temperatures(site Site, forecasts []weather.Series, usual *float64) *Temperatures {
	s, last := j.Series, j.Series.Last()
	if len(forecasts) > 0 { // other sites may share the joined series
		s.Days = append([]weather.Day(nil), s.Days...)
	}
	for _, f := range forecasts {
		for k, d := range f.Days {
			day := f.First + civil.Date(k)
			if day > last && d.Complete() && !s.At(day).Complete() {
				d.Flags |= weather.Forecast
				s.Put(day, d)
			}
		}
	}
	if len(s.Days) == 0 {
		return nil
	}
	bridge(s, last)
	t := temperaturesAt(site, s, j.Height(usual), j.Rate)
	t.pooled = j.Valley
	return t
}

// MostBridged is over how many days without temperatures a forecast goes on from a record: a station's days come late
// by a few. Our own choice.
const MostBridged = 7

// bridge fills the days between the last of a record and the first of a forecast, if they are few, as [weather.Fill]
// does. They stay forecast, so that all that follows is as unsure as if the forecast had been made before them.
func bridge(s weather.Series, last civil.Date) {
	first := last + 1
	for first <= s.Last() && !s.At(first).Complete() {
		first++
	}
	if gap := first - last - 1; gap == 0 || gap > MostBridged || first > s.Last() {
		return
	}
	filled := weather.Fill(s.Until(first))
	for day := last + 1; day < first; day++ {
		d := filled.At(day)
		d.Flags |= weather.Forecast
		s.Put(day, d)
	}
}

// TemperaturesFromNormals draws a site's temperatures from monthly normals: as many years as normals are the mean of,
// always the same. The normals are at their station's height, else at usual, in metres; nil stands for the site's own.
func TemperaturesFromNormals(site Site, n weather.Normals, usual *float64) *Temperatures {
	const years, seed = 30, 1
	height := n.Station.Elevation
	if height == nil {
		height = usual
	}
	return temperaturesAt(
		site, weather.Synthesize(n, civil.Of(1991, 1, 1), years, seed), height, DefaultLapseRate(site.Southern()),
	)
}

// temperaturesAt prepares a series that was taken at a height, nil for the site's own.
func temperaturesAt(site Site, s weather.Series, height *float64, rate LapseRate) *Temperatures {
	if height == nil {
		return NewTemperatures(site, s)
	}
	return NewTemperaturesFrom(site, s, *height, rate)
}

// Move returns a series as it would have been so many metres higher (lower, if negative): see [LapseRate.Adjust].
func (r LapseRate) Move(s weather.Series, metres float64) weather.Series {
	moved := weather.Series{First: s.First, Days: make([]weather.Day, len(s.Days))}
	for i, d := range s.Days {
		moved.Days[i] = r.Adjust(d, (s.First + civil.Date(i)).Month(), metres)
	}
	return moved
}

func completeDays(s weather.Series) (n int) {
	for _, d := range s.Days {
		if d.Complete() {
			n++
		}
	}
	return n
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
