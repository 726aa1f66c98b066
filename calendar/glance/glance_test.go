package glance

import (
	"math"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// A stereographic projection keeps angles (Snyder 1987, USGS Professional Paper 1395, page 154): a step to the north and
// one as long to the east are as long and at right angles on the map, wherever they are taken. Its scale at an angular
// distance c from the middle is 2/(1+cos c) of that in the middle (the same, equation 21-4).
func TestProjectionKeepsAngles(t *testing.T) {
	p := projection{lat: 45 * math.Pi / 180, lon: -75 * math.Pi / 180, scale: 1000}
	step := func(lat, lon float64) (north, east, dot float64) {
		const d = 1e-4
		o, _ := p.at(lat, lon)
		n, _ := p.at(lat+d, lon)
		e, _ := p.at(lat, lon+d/math.Cos(lat*math.Pi/180))
		north, east = math.Hypot(n.X-o.X, n.Y-o.Y)/d, math.Hypot(e.X-o.X, e.Y-o.Y)/d
		dot = ((n.X-o.X)*(e.X-o.X) + (n.Y-o.Y)*(e.Y-o.Y)) / d / d
		return north, east, dot
	}
	middle, _, _ := step(45, -75)
	for _, at := range [][2]float64{{45, -75}, {30, -120}, {60, -20}, {-10, -70}} {
		north, east, dot := step(at[0], at[1])
		if math.Abs(north/east-1) > 1e-4 || math.Abs(dot) > 1e-3*north*east {
			t.Errorf("at %v: found steps of %.4f and %.4f, product %.4f", at, north, east, dot)
		}
		rad := math.Pi / 180
		cos := math.Sin(45*rad)*math.Sin(at[0]*rad) + math.Cos(45*rad)*math.Cos(at[0]*rad)*math.Cos((at[1]+75)*rad)
		if want := 2 / (1 + cos); math.Abs(north/middle-want) > 1e-3 {
			t.Errorf("at %v: found a scale of %.4f, want %.4f", at, north/middle, want)
		}
	}
}

// The outlines know land from water: points of dry land lie inside an odd number of rings, points at sea of an even one.
// The places are those of any atlas.
func TestCoasts(t *testing.T) {
	inside := func(lat, lon float64) bool {
		in := false
		for _, ring := range coasts() {
			for i, b := range ring {
				a := ring[(i+len(ring)-1)%len(ring)]
				if (a.Latitude > lat) != (b.Latitude > lat) &&
					lon < a.Longitude+(lat-a.Latitude)/(b.Latitude-a.Latitude)*(b.Longitude-a.Longitude) {
					in = !in
				}
			}
		}
		return in
	}
	for _, place := range []struct {
		name     string
		lat, lon float64
		land     bool
	}{
		{"Kansas", 38.5, -98, true}, {"Vermont", 44, -72.7, true}, {"Tasmania", -42, 146.6, true},
		{"the Atlantic", 40, -50, false}, {"the Gulf of Maine", 42.8, -69, false}, {"Hudson Bay", 60, -85, false},
	} {
		if got := inside(place.lat, place.lon); got != place.land {
			t.Errorf("%s: found land %t, want %t", place.name, got, place.land)
		}
	}
}

// Every dot lies on the map, and so do those of places on both sides of the date line.
func TestMapShowsAllDots(t *testing.T) {
	for _, dots := range [][]Dot{
		{{Latitude: 44, Longitude: -72}},
		{{Latitude: 44, Longitude: -72}, {Latitude: 44.01, Longitude: -72.02}},
		{{Latitude: -17, Longitude: 179}, {Latitude: -18, Longitude: -179}},
		{{Latitude: 61, Longitude: -150}, {Latitude: 30, Longitude: -82}, {Latitude: 47, Longitude: -53}},
	} {
		m := NewMap(dots, 640, 400)
		for _, d := range m.Dots {
			if !(d.X >= 0 && d.X <= 640 && d.Y >= 0 && d.Y <= 400) {
				t.Errorf("%v: found a dot at %v", dots, d)
			}
		}
		if len(m.Grid) < 2 {
			t.Errorf("%v: found %d lines of the grid", dots, len(m.Grid))
		}
	}
	if NewMap(nil, 640, 400) != nil {
		t.Error("found a map of nothing")
	}
}

// A spring whose days are all warmer than those of past years is ahead of them by as many days as its heat is.
func TestSpringAhead(t *testing.T) {
	asOf := civil.Of(2027, 4, 20)
	s := weather.Series{First: civil.Of(2015, 1, 1)}
	for d := s.First; d <= asOf; d++ {
		day := d
		if d >= civil.Of(2027, 1, 1) {
			day += 10 // ten days ahead
		}
		mean := 8 - 16*math.Cos(2*math.Pi*float64(day.YearDay()-20)/365)
		s.Days = append(s.Days, weather.Day{Min: mean - 5, Max: mean + 5})
	}
	site := phenology.Site{ID: "a", Name: "A", Latitude: 44, Longitude: -72}
	sp := &phenology.Species{ID: "x", Botanical: "x", Phases: []*phenology.PhaseRecord{{
		Phase: phenology.BudBreak,
		Model: &phenology.PhaseModel{
			Models: []phenology.Model{phenology.ThermalTime{
				Start: 1, Base: 5, Method: phenology.SineForcing, Requirement: 100,
			}},
			Residual: 2,
		},
	}}}
	pl := &calendar.Place{
		Outlook: &phenology.Outlook{Site: site, Temps: phenology.NewTemperatures(site, s)}, Species: []*phenology.Species{sp},
	}
	spring := NewSpring(pl, asOf)
	if spring == nil || len(spring.Rows) != 1 {
		t.Fatalf("found %+v, want one phase", spring)
	}
	if got := spring.Rows[0].Ahead(); got < 9 || got > 11 {
		t.Errorf("found it %d days ahead, want 10", got)
	}
	if len(spring.Rows[0].Past) != 12 || len(spring.Heat.Past) != 12 {
		t.Errorf("found %d past dates and the heat of %d seasons, want 12", len(spring.Rows[0].Past), len(spring.Heat.Past))
	}
	now, usual := spring.Heat.Now()
	sum := 0.0
	for d := spring.Span.First; d <= asOf; d++ {
		sum += phenology.SineDegreeDays(s.At(d).Min, s.At(d).Max, HeatBase)
	}
	if math.Abs(now-sum) > 1e-6 || now <= usual {
		t.Errorf("found %.1f degree-days, usual %.1f, want %.1f and less", now, usual, sum)
	}
	if NewSpring(pl, civil.Of(2028, 4, 20)) != nil {
		t.Error("found a spring of which nothing is known")
	}
}

// What is to be done today comes before what is to be done tomorrow, what is done or comes by itself not at all, and holes
// that are taken to be in need none.
func TestAhead(t *testing.T) {
	asOf := civil.Of(2027, 3, 12)
	entry := func(task calendar.Task, first, best, last civil.Date) *calendar.Entry {
		return &calendar.Entry{Site: &phenology.Site{ID: "a"}, Activity: calendar.Tapping, Task: task,
			Window: civil.Span{First: first, Last: last}, Best: best}
	}
	tomorrow := entry(calendar.TaskTap, asOf-1, asOf+1, asOf+9)
	overdue := entry(calendar.TaskTap, asOf-9, asOf-3, asOf+2)
	today := entry(calendar.TaskPull, asOf, asOf, asOf+9)
	over := entry(calendar.TaskTap, asOf-9, asOf-5, asOf-1)
	done := entry(calendar.TaskTap, asOf, asOf, asOf+1)
	done.State = calendar.Done
	taken := entry(calendar.TaskTap, asOf, asOf, asOf+1)
	taken.Facts = &tapping.TapFacts{Advice: tapping.TakenDone}
	run := entry(calendar.TaskRun, asOf+2, asOf+2, asOf+2)
	all := []*calendar.Entry{tomorrow, overdue, today, over, done, taken, run}
	got := Ahead(all, asOf)
	if len(got) != 3 || got[0] != overdue || got[1] != today || got[2] != tomorrow {
		t.Errorf("found %v", got)
	}
	if NextRun(all, asOf) != run {
		t.Error("did not find the run ahead")
	}
}
