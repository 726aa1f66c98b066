package main

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"sync"

	"treewhen/calendar/planfile"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// joined is one series made of a site's temperature files, at the first file's height and without the forecast.
type joined struct {
	series    weather.Series
	elevation *float64 // metres of the thermometer at whose level the series is; nil where the site's own
	rate      phenology.LapseRate
	told      []string         // what was done to each file, in order of trust
	lapse     string           // where the lapse rate comes from
	sources   []weather.Source // as they went in, for whoever wants them tested
}

// joinCache keeps joined series by the files they were made of: thousands of sites may share a record.
type joinCache struct {
	mu    sync.Mutex
	joins map[string]*joined
}

// outlook makes a site's outlook ready. It may be called by several goroutines.
func (in *inputs) outlook(pl *place) *phenology.Outlook {
	o := &phenology.Outlook{Site: pl.site.Site, Sightings: pl.sightings}
	seen := map[string]bool{}
	for _, s := range pl.sightings {
		seen[s.Species] = true
	}
	for _, id := range slices.Sorted(maps.Keys(seen)) {
		if sp, ok := in.library.Lookup(id); ok {
			o.Known = append(o.Known, sp)
		}
	}
	o.Temps = in.temperatures(pl)
	return o
}

// temperatures makes one series of a site's records and forecasts, up to the as-of day for what was observed; nil if
// there is none.
func (in *inputs) temperatures(pl *place) *phenology.Temperatures {
	if in.onNormals(pl) {
		return fromNormals(pl) // a forecast of ten days is nothing to hang a season on
	}
	if len(pl.records)+len(pl.forecasts) == 0 {
		return nil
	}
	j := in.join(pl)
	s, last := j.series, j.series.Last()
	if len(pl.forecasts) > 0 { // other sites may share the joined series
		s.Days = append([]weather.Day(nil), s.Days...)
	}
	height := j.elevation
	if height == nil {
		height = pl.heightOf
	}
	for i, f := range pl.forecasts {
		series := j.forecast(pl, pl.site.Forecast[i], f, height)
		if tapping.ForecastContradicts(j.series, series) {
			continue // the entries say so
		}
		for k, d := range series.Days {
			day := series.First + civil.Date(k)
			if day > last && d.Complete() && !s.At(day).Complete() {
				d.Flags |= weather.Forecast
				s.Put(day, d)
			}
		}
	}
	if len(s.Days) == 0 {
		return nil
	}
	if height == nil {
		return phenology.NewTemperatures(pl.site.Site, s)
	}
	return phenology.NewTemperaturesFrom(pl.site.Site, s, *height, j.rate)
}

// onNormals reports whether a site's temperatures are drawn from its normals, since its files hold no day yet.
func (in *inputs) onNormals(pl *place) bool {
	return pl.site.Normals != nil && !slices.ContainsFunc(pl.records, func(r *weather.Record) bool { return in.hasDays(r) })
}

// climb returns by how many metres a site's temperatures are moved up to it.
func (in *inputs) climb(pl *place) float64 {
	height := pl.heightOf
	if in.onNormals(pl) {
		if h := pl.site.Normals.Station.Elevation; h != nil {
			height = h
		}
	} else if h := in.join(pl).elevation; h != nil {
		height = h
	}
	if height == nil {
		return 0
	}
	return pl.site.Elevation - *height
}

// forecast mends a forecast as the plan orders and moves it to the height of the record that it continues, nil for the
// site's own. One that names no height is taken to be for that of the record.
func (j *joined) forecast(pl *place, src planfile.Source, rec *weather.Record, height *float64) weather.Series {
	series, _ := src.Correction.Apply(rec.Series)
	series = weather.Merge(series) // without days whose minimum is above their maximum
	own, to := elevation(src, rec), pl.site.Elevation
	if height != nil {
		to = *height
	}
	if own == nil || *own == to {
		return series
	}
	return j.move(series, to-*own)
}

// elevation returns the height of the thermometer behind a source: what the plan says, else what the file says.
func elevation(src planfile.Source, rec *weather.Record) *float64 {
	if src.Elevation != nil {
		return src.Elevation
	}
	return rec.Station.Elevation
}

// joinKey tells sites apart whose files are joined differently.
func (pl *place) joinKey() string {
	key := fmt.Sprint(pl.site.Southern())
	for i, src := range pl.site.Temperatures {
		key += fmt.Sprintf("|%p %v", pl.records[i], src.Correction)
		if e := elevation(src, pl.records[i]); e != nil {
			key += fmt.Sprintf(" %g", *e)
		}
	}
	return key
}

// join makes one series of a site's files, or finds it made.
func (in *inputs) join(pl *place) *joined {
	key := pl.joinKey()
	in.joined.mu.Lock()
	defer in.joined.mu.Unlock()
	if j, ok := in.joined.joins[key]; ok {
		return j
	}
	if in.joined.joins == nil {
		in.joined.joins = map[string]*joined{}
	}
	j := in.makeJoin(pl)
	in.joined.joins[key] = j
	return j
}

// station is one source as it goes into the joined series: the files of one station merged.
type station struct {
	weather.Source
	order  weather.Correction
	mended weather.Mended
	id     string
	files  int // how many files of the station were merged
}

// stations mends a site's files as the plan orders and merges those of one station.
func (in *inputs) stations(pl *place) []station {
	var list []station
	for i, src := range pl.site.Temperatures {
		rec := pl.records[i]
		series, mended := src.Correction.Apply(rec.Series.Until(in.asOf + civil.Date(max(0, -src.Correction.ShiftMax, -src.Correction.ShiftMin))))
		s := station{
			Source: weather.Source{Name: rec.Name, Series: series.Until(in.asOf), Elevation: elevation(src, rec)},
			order:  src.Correction, mended: mended, id: rec.Station.ID, files: 1,
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

func (in *inputs) makeJoin(pl *place) *joined {
	list := in.stations(pl)
	j := &joined{rate: phenology.DefaultLapseRate(pl.site.Southern())}
	j.lapse = j.rate.Source.Citation
	if len(list) == 0 {
		return j
	}
	var sources []weather.Source
	for _, s := range list {
		sources = append(sources, s.Source)
	}
	j.sources = sources
	j.elevation = list[0].Elevation
	j.useOwnStations(list)
	for i, s := range list {
		told := ""
		if i > 0 && s.Elevation != nil && j.elevation != nil && *s.Elevation != *j.elevation {
			s.Series = j.move(s.Series, *j.elevation-*s.Elevation)
			told = fmt.Sprintf("; moved %+.0f m to the first station's height beforehand", *j.elevation-*s.Elevation)
		}
		s.Elevation = nil
		switch {
		case i == 0:
			joinedSeries, reports := weather.Join([]weather.Source{s.Source})
			j.series, told = joinedSeries, reports[0].String()
		case s.order.OffsetMin != 0 || s.order.OffsetMax != 0:
			before := complete(j.series)
			j.series = weather.Merge(j.series, s.Series)
			told = fmt.Sprintf("%s that the sources before it lack; moved as the plan orders, and by nothing else", plural(complete(j.series)-before, "day")) + told
		default:
			merged, reports := weather.Join([]weather.Source{{Name: "the sources before it", Series: j.series}, s.Source})
			j.series, told = merged, reports[1].String()+told
		}
		if !s.order.IsZero() {
			told += "; corrected as ordered (" + s.order.String() + ")"
			if n := len(s.mended.Reversed); n > 0 {
				told += fmt.Sprintf(", which leaves a minimum above the maximum on %s: both set to their mean", plural(n, "day"))
			}
		}
		j.told = append(j.told, list[i].Name+": "+told)
	}
	j.series = weather.Fill(j.series)
	last := j.series.Last()
	for last >= j.series.First && !j.series.At(last).Complete() {
		last--
	}
	j.series = j.series.Until(last)
	return j
}

// useOwnStations takes the lapse rate from the first two of the user's stations that carry one.
func (j *joined) useOwnStations(list []station) {
	for a := range list {
		for b := a + 1; b < len(list); b++ {
			low, high := list[a], list[b]
			if low.Elevation == nil || high.Elevation == nil {
				continue
			}
			if *low.Elevation > *high.Elevation {
				low, high = high, low
			}
			rate, _, err := phenology.LapseFromStations(low.Series, high.Series, *low.Elevation, *high.Elevation)
			if err == nil {
				j.rate, j.lapse = rate, rate.Source.Citation+" ("+low.Name+" and "+high.Name+")"
				return
			}
		}
	}
}

// move moves a series up by so many metres.
func (j *joined) move(s weather.Series, metres float64) weather.Series {
	moved := weather.Series{First: s.First, Days: make([]weather.Day, len(s.Days))}
	for i, d := range s.Days {
		moved.Days[i] = j.rate.Adjust(d, (s.First + civil.Date(i)).Month(), metres)
	}
	return moved
}

func complete(s weather.Series) int {
	n := 0
	for _, d := range s.Days {
		if d.Complete() {
			n++
		}
	}
	return n
}

// fromNormals makes temperatures of a site's monthly normals: as many years as normals are the mean of, always the
// same.
func fromNormals(pl *place) *phenology.Temperatures {
	const years, seed = 30, 1
	drawn := weather.Synthesize(*pl.site.Normals, civil.Of(1991, 1, 1), years, seed)
	height := pl.site.Normals.Station.Elevation
	if height == nil {
		height = pl.heightOf
	}
	if height == nil {
		return phenology.NewTemperatures(pl.site.Site, drawn)
	}
	return phenology.NewTemperaturesFrom(pl.site.Site, drawn, *height, phenology.DefaultLapseRate(pl.site.Southern()))
}
