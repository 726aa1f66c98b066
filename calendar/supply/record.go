package supply

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"treewhen/calendar/services"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// What an answer may hold and be believed. All of it is our own choice.
const (
	// jump is by how many degrees Celsius a day's value may not be off both its neighbours: no such day is known of
	// weather.
	jump      = 30.0
	mostJumps = 3   // of an answer of some weeks; more, and it is not of these units or of this place
	jumpShare = 200 // days of a long one for each more
	agree     = 3.0 // degrees Celsius that half of the days that are held may differ by
	least     = 10  // days that such a judgment needs
	holes     = 20  // values that may be withdrawn at once, and more where they are less than half of those held
	changed   = 0.05
	mostTold  = 20 // changes
	lately    = 12 // days, in which a step is a fault
)

// span is what is asked for: all, or what is new and what may have been revised.
func (s *source) span() civil.Span {
	all := civil.Span{First: civil.Of(s.Today.Year()-history, 1, 1), Last: s.Today}
	if s.Reader != s.Service.Reader || len(s.series.Days) == 0 || s.From > all.First.AddYears(1) {
		return all
	}
	return civil.Span{First: max(all.First, min(s.series.Last(), s.Today)-window), Last: s.Today}
}

// renewRecord asks for days, page by page, and takes them over.
func (s *source) renewRecord(ctx context.Context) error {
	asked := s.span()
	whole := s.Reader != s.Service.Reader || len(s.series.Days) == 0 || s.From > asked.First
	rows := 0
	var fresh weather.Series
	station := weather.Station{ID: s.Want.Station}
	for page := 0; ; page++ {
		path := s.Service.Records.Days(s.Want.Station, asked, rows)
		answer, err := s.ask(ctx, path, page == 0 && !whole)
		if err != nil {
			return err
		}
		if answer.Same {
			s.rests(answer)
			return nil
		}
		got, err := s.Service.Records.ReadDays(answer.Body, s.Want.Station)
		if err != nil {
			return faultError{services.Unreadable, err}
		}
		for i, d := range got.Series.Days {
			if at := got.Series.First + civil.Date(i); asked.Contains(at) {
				fresh.Put(at, d)
			}
		}
		describe(&station, got.Station)
		rows += got.Rows
		if page == 0 {
			s.copy.ETag, s.copy.LastModified, s.held.Address = answer.ETag, answer.LastModified, s.address()+path
		}
		if got.Rows == 0 || rows >= got.More {
			s.rests(answer)
			break
		}
		if page == mostPages {
			return faultError{services.Unreadable, errors.New("found an answer that does not end")}
		}
		s.copy.ETag, s.copy.LastModified = "", "" // the validators of one page tell nothing of the others
	}
	if err := s.take(fresh, station, whole); err != nil {
		s.copy.ETag, s.copy.LastModified = "", "" // an answer that was refused is to be asked for in full
		return err
	}
	if whole {
		s.From = asked.First
	}
	s.Reader = s.Service.Reader
	return nil
}

// describe adds what an answer says of its station.
func describe(to *weather.Station, from weather.Station) {
	if from.Latitude != nil && from.Longitude != nil {
		to.Latitude, to.Longitude = from.Latitude, from.Longitude
	}
	if from.Elevation != nil {
		to.Elevation = from.Elevation
	}
}

// take judges what came and puts it in place of what is held of the same days.
func (s *source) take(fresh weather.Series, station weather.Station, whole bool) error {
	if withValues(fresh) == 0 {
		return faultError{services.Nothing, errors.New("found no day with both temperatures, want some")}
	}
	leftOut := leaveOutJumps(&fresh)
	if most := mostJumps + len(fresh.Days)/jumpShare; leftOut > most {
		return faultError{services.Unlikely, fmt.Errorf(
			"found %d values that are %.0f °C off both their neighbours, want %d at most", leftOut, jump, most,
		)}
	}
	if off, n := apart(s.series, fresh); n >= least && off > agree {
		return faultError{services.Unlikely, fmt.Errorf(
			"found days that half of %d are %.1f C and more off what it gave before, want the same ones", n, off,
		)}
	}
	merged, list := merge(s.series, fresh, whole)
	withdrawn := 0
	for _, c := range list {
		if c.Withdrawn {
			withdrawn++
		}
	}
	if most := max(holes, heldOf(s.series, fresh.Span())/2); !whole && withdrawn > most {
		return faultError{services.Unlikely, fmt.Errorf(
			"found %d values missing that it gave before, want %d at most", withdrawn, most,
		)}
	}
	if station.Latitude == nil {
		describe(&station, s.held.Station)
	}
	judged := source{Want: s.Want, held: held{Station: station}, series: merged}
	if s.Judge != nil {
		if why := s.Judge(judged.record()); why != "" {
			return faultError{services.Unlikely, errors.New(why)}
		}
	}
	if len(list) > 0 {
		slices.SortStableFunc(list, func(a, b services.Change) int { return int(a.Day - b.Day) })
		s.Revised, s.RevisedOn = list[:min(len(list), mostTold)], s.Today
		s.Log("%s: values that its agency revised: %d, the first of %s", s.what(), len(list), list[0].Day)
	}
	s.series, s.held.Station, s.LeftOut = merged, station, leftOut
	return nil
}

// heldOf counts the values of a series in a span.
func heldOf(s weather.Series, span civil.Span) (n int) {
	for d := span.First; d <= span.Last; d++ {
		day := s.At(d)
		for _, v := range []float64{day.Min, day.Max} {
			if !math.IsNaN(v) {
				n++
			}
		}
	}
	return n
}

// merge puts fresh days in the place of those held, and lists what they change. A day between the first and the last
// fresh one that is not among them is withdrawn. With whole, nothing held outside of them is kept either.
func merge(held, fresh weather.Series, whole bool) (merged weather.Series, list []services.Change) {
	differs := func(day civil.Date, isMax bool, was, is float64) {
		switch {
		case math.IsNaN(was):
		case math.IsNaN(is):
			list = append(list, services.Change{Day: day, IsMax: isMax, Was: was, Withdrawn: true})
		case math.Abs(was-is) > changed:
			list = append(list, services.Change{Day: day, IsMax: isMax, Was: was, Is: is})
		}
	}
	for i, d := range fresh.Days {
		day := fresh.First + civil.Date(i)
		before := held.At(day)
		differs(day, false, before.Min, d.Min)
		differs(day, true, before.Max, d.Max)
	}
	if whole {
		return fresh, list
	}
	merged = weather.Series{First: held.First, Days: slices.Clone(held.Days)}
	for i, d := range fresh.Days {
		merged.Put(fresh.First+civil.Date(i), d)
	}
	return merged, list
}

// leaveOutJumps takes out values that are far off both their neighbours, or off the one they have, and counts them.
func leaveOutJumps(s *weather.Series) (n int) {
	const reach = 3 // days, within which somebody is a neighbour
	for _, value := range []func(*weather.Day) *float64{
		func(d *weather.Day) *float64 { return &d.Min }, func(d *weather.Day) *float64 { return &d.Max },
	} {
		near := func(i, step int) float64 {
			for k := 1; k <= reach; k++ {
				if at := i + k*step; at >= 0 && at < len(s.Days) && !math.IsNaN(*value(&s.Days[at])) {
					return *value(&s.Days[at])
				}
			}
			return math.NaN()
		}
		var out []int
		for i := range s.Days {
			v, before, after := *value(&s.Days[i]), near(i, -1), near(i, 1)
			known := !math.IsNaN(before) || !math.IsNaN(after)
			if known && !(math.Abs(v-before) < jump) && !(math.Abs(v-after) < jump) && !math.IsNaN(v) {
				out = append(out, i)
			}
		}
		for _, i := range out {
			*value(&s.Days[i]) = math.NaN()
		}
		n += len(out) + leaveOutStep(s.Days[max(0, len(s.Days)-lately):], value)
	}
	return n
}

// leaveOutStep takes out values at the end of a series that are far off the last one before, however many agree: in a
// month's time they may turn out to be true, today they are not to be dated by.
func leaveOutStep(days []weather.Day, value func(*weather.Day) *float64) (n int) {
	last := math.NaN()
	for i := range days {
		switch v := value(&days[i]); {
		case math.IsNaN(*v):
		case math.Abs(*v-last) >= jump:
			*v = math.NaN()
			n++
		default:
			last = *v
		}
	}
	return n
}

// apart returns by how many degrees Celsius half of the values differ that two series have of the same days, and of how
// many days that is.
func apart(a, b weather.Series) (float64, int) {
	var off []float64
	for i, d := range b.Days {
		if was := a.At(b.First + civil.Date(i)); was.Complete() && d.Complete() {
			off = append(off, math.Abs(was.Mean()-d.Mean()))
		}
	}
	if len(off) == 0 {
		return 0, 0
	}
	slices.Sort(off)
	return off[len(off)/2], len(off)
}
