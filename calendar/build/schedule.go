package build

import (
	"runtime"
	"sync"

	"treewhen/calendar"
)

// Schedule works out the work of all of the plan's places. They are independent of each other and are worked on side by
// side; the result does not depend on it, nor on the order of places or species. It holds all places at once: a program for
// thousands of them calls [At] for each when its turn comes.
func Schedule(p *calendar.Plan) *calendar.Schedule {
	s := calendar.NewSchedule(p)
	work := make([]*calendar.Work, len(p.Places))
	var wait sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, place := range p.Places {
		slots <- struct{}{}
		wait.Go(func() {
			defer func() { <-slots }()
			work[i] = At(p, place)
		})
	}
	wait.Wait()
	for _, w := range work {
		s.Add(w)
	}
	s.Sort()
	return s
}
