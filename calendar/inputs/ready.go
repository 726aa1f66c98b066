package inputs

import (
	"maps"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/law"
	"treewhen/phenology"
	"treewhen/phenology/weather"
)

// Outlook makes a site ready to be dated. It may be called by several goroutines.
func (in *Inputs) Outlook(pl *Place) *phenology.Outlook {
	o := &phenology.Outlook{Site: pl.Site.Site, Sightings: pl.Sightings}
	seen := map[string]bool{}
	for _, s := range pl.Sightings {
		seen[s.Species] = true
	}
	for _, id := range slices.Sorted(maps.Keys(seen)) {
		if sp, ok := in.Library.Lookup(id); ok {
			o.Known = append(o.Known, sp)
		}
	}
	o.Temps = in.Temperatures(pl)
	if pl.measured() {
		o.Normals = func() *phenology.Temperatures { return pl.drawn() }
	}
	return o
}

// Ready makes a site ready to be worked out. That takes a megabyte or two of running sums, so that whoever goes over
// all sites lets each go before the next. It may be called by several goroutines.
func (in *Inputs) Ready(pl *Place) *calendar.Place {
	place := in.Named(pl)
	place.Outlook = in.Outlook(pl)
	place.Memory = in.Memory[pl.Site.ID]
	place.Book = in.book[pl.Site.ID]
	for _, f := range pl.Forecasts { // as they came, but for days whose minimum is above their maximum
		series := weather.Merge(f.Read().Series)
		if f.unserved(series, in.AsOf) {
			place.LeftOut = append(place.LeftOut, calendar.Doubt{What: calendar.Unserved})
			continue
		}
		place.Forecasts = append(place.Forecasts, series)
	}
	for _, out := range pl.LeftOut {
		place.LeftOut = append(place.LeftOut, out.Doubt)
	}
	place.Species, place.Chosen = pl.Species, pl.Chosen()
	place.Options.Seed.Targets = in.targets(pl.Site)
	place.Stands, place.Crops, place.Lots = in.readyStands(pl), in.Crops(pl), in.Lots(pl)
	if slices.Contains(place.Activities, calendar.SeedCollection) {
		place.Rules = law.RulesAt(pl.Site.Site, pl.AllSpecies())
	}
	return place
}

// Named is a site of which no more is wanted than who and where it is.
func (in *Inputs) Named(pl *Place) *calendar.Place {
	return &calendar.Place{
		Outlook: &phenology.Outlook{Site: pl.Site.Site}, Activities: pl.Site.Activities, Options: pl.Site.Options,
	}
}

// Chosen reports whether the plan names species or stands of the site, so that it is not the whole library's.
func (pl *Place) Chosen() bool { return len(pl.Site.Species)+len(pl.Stands) > 0 }
