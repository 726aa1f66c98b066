// Package buildtest has what the tests of several packages build their plans with.
package buildtest

import (
	"treewhen/calendar"
	"treewhen/calendar/build"
)

// Schedule works out the work of all of a plan's places, and keeps all of it.
func Schedule(p *calendar.Plan) *calendar.Schedule {
	s := calendar.NewSchedule(p)
	for _, place := range p.Places {
		s.Add(build.At(p, place))
	}
	s.Sort()
	return s
}
