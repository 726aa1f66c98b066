package inputs

import (
	"cmp"
	"slices"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/fetch"
	"treewhen/calendar/planfile"
	"treewhen/calendar/services"
	"treewhen/calendar/supply"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// Ask is what a weather service is asked for a site, or for several.
type Ask struct {
	State     services.State
	Addresses []string // as they would be asked for, with all that is sent
}

// newDesk returns who asks the services.
func newDesk(o *Options) *supply.Desk {
	d := &supply.Desk{Web: o.Web, Contact: o.Contact, Today: o.Today, Offline: o.Offline, Log: o.say}
	if o.Log != nil {
		d.Log = o.Log
	}
	if d.Web == nil {
		d.Web = fetch.New(o.Cache)
	}
	return d
}

// want says what a service is asked for a site.
func (r *reader) want(pl *Place, src planfile.Source) supply.Want {
	service := services.Find(src.Service)
	forecast := service.Forecasts != nil
	w := supply.Want{
		Service: service, Address: src.Address, Line: src.Line, Station: src.Station,
		At: services.Point{
			Latitude: pl.Site.Latitude, Longitude: pl.Site.Longitude, Elevation: pl.Site.Elevation,
			Decimals: src.Decimals,
		},
		Zone: pl.Site.Zone, Until: r.in.AsOf,
		Judge: func(rec *weather.Record) string {
			_, why := r.in.slip(pl, src, rec, forecast)
			return why
		},
	}
	if src.Elevation != nil && forecast {
		w.At.Elevation = *src.Elevation
	}
	return w
}

// service gets what a weather service has. Whatever is wrong with it, the plan goes on: with the last good copy, or
// without.
func (r *reader) service(pl *Place, src planfile.Source) *Record {
	w := r.want(pl, src)
	got := r.desk.Get(r.ctx, w)
	if r.Offline {
		r.in.Asks = append(r.in.Asks, Ask{got.State, r.desk.Asks(w)})
	}
	r.in.Services = append(r.in.Services, got.State)
	rec := r.keep(src, got.Record)
	rec.State, rec.before = &got.State, got.Before
	return rec
}

// prepareServices settles by what name services are asked, and what hosts the plan names.
func (r *reader) prepareServices() {
	r.desk.Contact = cmp.Or(r.Contact, r.in.Plan.Contact)
	r.desk.Web.Know(r.addresses()...)
	r.in.Agent = r.desk.Agent()
}

// tellServices notes, for every output, which services' temperatures are old, and when to ask again.
func (r *reader) tellServices() {
	type kind struct {
		service services.Name
		fault   services.Fault
		day     civil.Date
	}
	now := r.desk.Web.Now()
	groups := map[kind][]*services.State{}
	var order []kind
	for i := range r.in.Services {
		s := &r.in.Services[i]
		if r.in.Due.IsZero() || !s.Due.IsZero() && s.Due.Before(r.in.Due) {
			r.in.Due = s.Due
		}
		if s.Late(now) || s.Fault == services.NoContact {
			k := kind{s.Service, s.Fault, civil.FromTime(s.Confirmed.UTC())}
			if groups[k] == nil {
				order = append(order, k)
			}
			groups[k] = append(groups[k], s)
		}
	}
	for _, k := range order {
		text, line := words.OldTemperatures(r.in.Plan.Speech, groups[k]...), groups[k][0].Line
		if k.fault == services.NoContact { // its owner knows, or is told here; nobody else need be
			r.say("%s:%d: %s", r.in.Plan.File, line, text)
			continue
		}
		r.in.Lags = append(r.in.Lags, Lag{line, groups[k][0].Confirmed, text})
		r.in.Notes = append(r.in.Notes, text)
	}
	for _, pl := range r.in.Places {
		if last, silent := r.in.Silent(pl); silent {
			r.in.Notes = append(r.in.Notes, words.SilentStations(pl.Site.Name, last, r.in.Plan.Speech))
		}
	}
}

// Silent reports whether a site's temperatures are all of services' stations, none of which has had a day for long; and
// the last that one had.
func (in *Inputs) Silent(pl *Place) (last civil.Date, silent bool) {
	for i, rec := range pl.Records {
		if rec.State == nil || !rec.State.Silent(in.AsOf) {
			return 0, false
		}
		if day, _ := rec.State.Last.Get(); i == 0 || day > last {
			last = day
		}
	}
	return last, len(pl.Records) > 0
}

// Attributions returns whom to credit for the temperatures of the plan's services, each once.
func (in *Inputs) Attributions() (list []string) {
	seen := map[services.Name]bool{}
	for _, s := range in.Services {
		if !seen[s.Service] && s.Last.Known() {
			seen[s.Service] = true
			list = append(list, words.Credit(s.Service, in.Plan.Speech))
		}
	}
	return list
}

// ForecastDoubts returns where a site's forecasts, as they were made day by day, show that a station's values are dated
// a day off, as an observer's are who reads the maximum in the morning.
func (in *Inputs) ForecastDoubts(pl *Place) (list []weather.Finding) {
	for i, rec := range pl.Records {
		if rec.State == nil || !pl.Site.Temperatures[i].Correction.IsZero() {
			continue
		}
		for _, f := range pl.Forecasts {
			for _, found := range weather.Check([]weather.Source{
				{Name: f.name, Series: measured(weather.Merge(f.before, f.Read().Series).Until(in.AsOf))},
				{Name: rec.name, Series: rec.Read().Series},
			}) {
				if found.Source == 1 && found.Kind == weather.FindingShift && found.Suggest != "" {
					list = append(list, found)
				}
			}
		}
	}
	return list
}

// unserved reports whether a forecast is too old for use since its service has given no other. That it wants a contact,
// its owner is told.
func (r *Record) unserved(s weather.Series, asOf civil.Date) bool {
	return r.State != nil && r.State.Fault != services.NoFault && r.State.Fault != services.NoContact &&
		!calendar.ForecastOfUse(weather.Series{}, s, asOf)
}

// leading returns the days that a forecast has of those before a day without a gap, so that they lead up to a later
// one.
func leading(before weather.Series, day civil.Date) weather.Series {
	first := day
	for first > before.First && before.At(first-1).Complete() {
		first--
	}
	lead := before.Until(day - 1)
	lead.Days = lead.Days[min(max(int(first-lead.First), 0), len(lead.Days)):]
	lead.First = first
	return lead
}

// measured returns a series as if it had been measured, so that it can be compared with what was.
func measured(s weather.Series) weather.Series {
	days := slices.Clone(s.Days)
	for i := range days {
		days[i].Flags = 0
	}
	return weather.Series{First: s.First, Days: days}
}

// NextAsk returns when services may be asked again, but not before a time; zero where there are none.
func (in *Inputs) NextAsk(soonest time.Time) time.Time {
	switch {
	case in.Due.IsZero():
		return time.Time{}
	case in.Due.Before(soonest):
		return soonest
	}
	return in.Due
}
