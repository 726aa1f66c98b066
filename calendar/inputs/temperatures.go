package inputs

import (
	"fmt"
	"hash/maphash"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
	"treewhen/phenology/weather"
)

// Temperatures makes one series of a site's records and forecasts, up to the as-of day for what was observed; without
// a day observed they are drawn from its normals, its own or those of the built-in climate; nil if there is neither. A
// forecast that is old, or that what was observed contradicts, is left out.
func (in *Inputs) Temperatures(pl *Place) *phenology.Temperatures {
	if !pl.measured() { // a forecast of ten days is nothing to hang a season on
		if t := pl.drawn(); t != nil {
			return t
		}
	}
	if len(pl.Records)+len(pl.Forecasts) == 0 {
		return nil
	}
	made := func() *phenology.Temperatures {
		j := in.Join(pl)
		var forecasts []weather.Series
		for i, f := range pl.Forecasts {
			file := stationFile(pl.Site.Forecast[i], f)
			series := j.Forecast(pl.Site.Site, file, pl.usualHeight)
			if !calendar.ForecastOfUse(j.Series, series, in.AsOf) { // the entries say so
				continue
			}
			forecasts = append(forecasts, series)
			if lead := leading(f.before, series.First); len(lead.Days) > 0 {
				file.Record = &weather.Record{Station: file.Record.Station, Series: lead}
				forecasts = append(forecasts, j.Forecast(pl.Site.Site, file, pl.usualHeight))
			}
		}
		return j.Temperatures(pl.Site.Site, forecasts, pl.usualHeight)
	}
	key := in.seriesKey(pl)
	if in.uses[digest(key)] < 2 {
		return made()
	}
	temps := in.temps.get(key, func() (*phenology.Temperatures, int) {
		t := made()
		if t == nil {
			return nil, 0
		}
		return t, sumsPerDay * len(t.Series().Days)
	})
	if temps == nil {
		return nil
	}
	return temps.At(pl.Site.Site)
}

// sumsPerDay is how many days of temperatures take the memory of one with all that is summed up over it.
const sumsPerDay = 10

// seriesKey tells sites apart whose temperatures are not the same, day by day. Only files are looked at, not normals.
func (in *Inputs) seriesKey(pl *Place) string {
	key := fmt.Sprint(pl.Site.Elevation, in.TemperaturesKey(pl))
	if pl.usualHeight != nil {
		key = fmt.Sprint(*pl.usualHeight, "|", key)
	}
	return key
}

var digestSeed = maphash.MakeSeed()

func digest(key string) uint64 { return maphash.String(digestSeed, key) }

// countUses counts how many sites and stands have the same temperatures, so that only what is shared is kept.
func (in *Inputs) countUses() {
	in.uses = map[uint64]int{}
	count := func(pl *Place) {
		if len(pl.Records)+len(pl.Forecasts) > 0 {
			in.uses[digest(in.seriesKey(pl))]++
		}
	}
	for _, pl := range in.Places {
		count(pl)
		if slices.Contains(pl.Site.Activities, calendar.SeedCollection) {
			for _, s := range pl.Stands {
				count(pl.at(s))
			}
		}
	}
}

// measured reports whether a site's files of temperatures hold a day.
func (pl *Place) measured() bool {
	return slices.ContainsFunc(pl.Records, func(r *Record) bool { return r.hasDays })
}

// drawn draws a site's temperatures from its own normals, or, where it has none and the plan does not say otherwise,
// from the climate of the place; nil where there is neither.
func (pl *Place) drawn() *phenology.Temperatures {
	if pl.Site.Normals != nil {
		return phenology.TemperaturesFromNormals(pl.Site.Site, *pl.Site.Normals, pl.usualHeight)
	}
	if pl.Site.NoClimate {
		return nil
	}
	t, ok := phenology.NormalTemperatures(pl.Site.Site)
	if !ok {
		return nil
	}
	return t
}

// onNormals reports whether a site's temperatures are drawn from its own normals, since its files hold no day yet.
func (pl *Place) onNormals() bool { return pl.Site.Normals != nil && !pl.measured() }

// OnClimate reports whether a site's temperatures are drawn from the built-in climate, and how far that may be off
// there, in degrees Celsius.
func (pl *Place) OnClimate() (off float64, ok bool) {
	if pl.Site.Normals != nil || pl.Site.NoClimate || pl.measured() {
		return 0, false
	}
	_, off, ok = phenology.BuiltInClimate(pl.Site.Site)
	return off, ok
}

// Climb returns by how many metres a site's temperatures are moved up to it; negative, down.
func (in *Inputs) Climb(pl *Place) float64 {
	height := pl.usualHeight
	if _, ok := pl.OnClimate(); ok {
		return 0 // it is moved to any height with the rates that it was made with
	}
	if !pl.onNormals() {
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
func stationFile(src planfile.Source, r *Record) phenology.StationFile {
	f := phenology.StationFile{
		Record: r.Read(), Elevation: src.Elevation, Valley: src.Valley, Correction: src.Correction,
	}
	if f.Elevation == nil {
		f.Elevation = f.Record.Station.Elevation
	}
	return f
}

// filesKey tells files apart, and what the plan says of them.
func filesKey(sources []planfile.Source, records []*Record) (key string) {
	for i, r := range records {
		key += fmt.Sprintf("|%p %v %t", r, sources[i].Correction, sources[i].Valley)
		if h := sources[i].Elevation; h != nil {
			key += fmt.Sprintf(" %g", *h)
		}
	}
	return key
}

func (pl *Place) joinKey() string {
	return fmt.Sprint(pl.Site.Southern()) + filesKey(pl.Site.Temperatures, pl.Records)
}

// Join makes one series of a site's files, or finds it made.
func (in *Inputs) Join(pl *Place) *phenology.JoinedStations {
	return in.joined.get(pl.joinKey(), func() (*phenology.JoinedStations, int) {
		var files []phenology.StationFile
		for i, r := range pl.Records {
			files = append(files, stationFile(pl.Site.Temperatures[i], r))
		}
		j := phenology.JoinStations(files, in.AsOf, pl.Site.Southern())
		days := len(j.Series.Days)
		for _, s := range j.Sources {
			days += len(s.Series.Days)
		}
		return j, days
	})
}

// TemperaturesKey tells sites apart whose temperatures are made otherwise than by height alone.
func (in *Inputs) TemperaturesKey(pl *Place) string {
	return pl.joinKey() + "|forecasts" + filesKey(pl.Site.Forecast, pl.Forecasts) +
		fmt.Sprintf("|without %v|normals %p", pl.LeftOut, pl.Site.Normals) + pl.climateKey()
}

func (pl *Place) climateKey() string {
	_, ok := pl.OnClimate()
	return fmt.Sprint("|climate ", ok, pl.Site.NoClimate)
}
