package inputs

import (
	"fmt"
	"slices"
	"sync"

	"treewhen/calendar/planfile"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/weather"
)

// joinCache keeps joined series by the files they were made of: thousands of sites may share a record.
type joinCache struct {
	mu    sync.Mutex
	joins map[string]*phenology.JoinedStations
}

// Temperatures makes one series of a site's records and forecasts, up to the as-of day for what was observed; nil if
// there is none. A forecast that what was observed contradicts is left out.
func (in *Inputs) Temperatures(pl *Place) *phenology.Temperatures {
	if in.onNormals(pl) { // a forecast of ten days is nothing to hang a season on
		return phenology.TemperaturesFromNormals(pl.Site.Site, *pl.Site.Normals, pl.usualHeight)
	}
	if len(pl.Records)+len(pl.Forecasts) == 0 {
		return nil
	}
	j := in.Join(pl)
	var forecasts []weather.Series
	for i, f := range pl.Forecasts {
		series := j.Forecast(pl.Site.Site, stationFile(pl.Site.Forecast[i], f), pl.usualHeight)
		if !tapping.ForecastContradicts(j.Series, series) { // else the entries say so
			forecasts = append(forecasts, series)
		}
	}
	return j.Temperatures(pl.Site.Site, forecasts, pl.usualHeight)
}

// onNormals reports whether a site's temperatures are drawn from its normals, since its files hold no day yet.
func (in *Inputs) onNormals(pl *Place) bool {
	return pl.Site.Normals != nil && !slices.ContainsFunc(
		pl.Records, func(r *weather.Record) bool { return in.hasDays(r) },
	)
}

// Climb returns by how many metres a site's temperatures are moved up to it; negative, down.
func (in *Inputs) Climb(pl *Place) float64 {
	height := pl.usualHeight
	if !in.onNormals(pl) {
		height = in.Join(pl).Height(height)
	} else if h := pl.Site.Normals.Station.Elevation; h != nil {
		height = h
	}
	if height == nil {
		return 0
	}
	return pl.Site.Elevation - *height
}

// stationFile is a file as it goes into a joined series, with the height of its thermometer: what the plan says, else
// what the file says.
func stationFile(src planfile.Source, rec *weather.Record) phenology.StationFile {
	f := phenology.StationFile{Record: rec, Elevation: src.Elevation, Correction: src.Correction}
	if f.Elevation == nil {
		f.Elevation = rec.Station.Elevation
	}
	return f
}

// stationFiles pairs records with what the plan says of them.
func stationFiles(sources []planfile.Source, records []*weather.Record) (files []phenology.StationFile) {
	for i, rec := range records {
		files = append(files, stationFile(sources[i], rec))
	}
	return files
}

// filesKey tells files apart, and what the plan says of them.
func filesKey(files []phenology.StationFile) (key string) {
	for _, f := range files {
		key += fmt.Sprintf("|%p %v", f.Record, f.Correction)
		if f.Elevation != nil {
			key += fmt.Sprintf(" %g", *f.Elevation)
		}
	}
	return key
}

func (pl *Place) joinKey(files []phenology.StationFile) string {
	return fmt.Sprint(pl.Site.Southern()) + filesKey(files)
}

// Join makes one series of a site's files, or finds it made.
func (in *Inputs) Join(pl *Place) *phenology.JoinedStations {
	files := stationFiles(pl.Site.Temperatures, pl.Records)
	key := pl.joinKey(files)
	in.joined.mu.Lock()
	defer in.joined.mu.Unlock()
	j, made := in.joined.joins[key]
	if !made {
		if in.joined.joins == nil {
			in.joined.joins = map[string]*phenology.JoinedStations{}
		}
		j = phenology.JoinStations(files, in.AsOf, pl.Site.Southern())
		in.joined.joins[key] = j
	}
	return j
}

// TemperaturesKey tells sites apart whose temperatures are made otherwise than by height alone.
func (in *Inputs) TemperaturesKey(pl *Place) string {
	return pl.joinKey(stationFiles(pl.Site.Temperatures, pl.Records)) +
		"|forecasts" + filesKey(stationFiles(pl.Site.Forecast, pl.Forecasts)) + fmt.Sprintf("|normals %p", pl.Site.Normals)
}
