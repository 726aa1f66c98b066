package tapping

import "treewhen/calendar"

// schedule is the tapping of a plan's places.
func schedule(p *calendar.Plan) *calendar.Schedule {
	s := calendar.NewSchedule(p)
	for _, place := range p.Places {
		w := calendar.NewWork(p, place)
		for season := p.Span.First.Year() - 1; season <= p.Span.Last.Year(); season++ {
			Schedule(w, season)
		}
		s.Add(w)
	}
	s.Sort()
	return s
}
