package tapping

import (
	"cmp"
	"math"
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// crewJob is a bush that a crew drills in one visit. Days are days of the season.
type crewJob struct {
	days   int
	today  phenology.SeasonDay
	weight float64 // what a share of its runs counts
	// mean share caught, begun on each day from today on; of several species, the mean of theirs
	curve []float64
	best  phenology.SeasonDay // the first best day of the curve
}

func newCrewJob(days int, weight float64, decisions ...*Decision) crewJob {
	j := crewJob{days: max(1, days), today: decisions[0].Terms.Today, weight: weight}
	for _, d := range decisions {
		for i, share := range d.Curve {
			if i == len(j.curve) {
				j.curve = append(j.curve, 0)
			}
			j.curve[i] += share / float64(len(decisions))
		}
	}
	best := 0
	for i := range j.curve {
		if j.curve[i] > j.curve[best]+1e-9 {
			best = i
		}
	}
	j.best = j.today + phenology.SeasonDay(best)
	return j
}

// lost returns the share of the season that is lost by beginning on a day instead of on the best.
func (j *crewJob) lost(day phenology.SeasonDay) float64 {
	share := 0.0
	if i := int(day - j.today); i >= 0 && i < len(j.curve) {
		share = j.curve[i]
	}
	return j.curve[j.best-j.today] - share
}

// crewDays returns the day on which to begin each job, none before the one before it is done, so that the least is
// lost over all of them. A crew may rest between two. Of days as good, it is the earliest.
func crewDays(jobs []crewJob) []phenology.SeasonDay {
	from, to, all := jobs[0].today, phenology.SeasonDay(0), 0
	for _, j := range jobs {
		to = max(to, j.today+phenology.SeasonDay(len(j.curve)))
		all += j.days
	}
	to += phenology.SeasonDay(all) // beyond the last run there is nothing to catch, and always a day to begin on
	// least[k][d] is what jobs k and later lose at least, the crew being free from day from+d on; begin[k][d] is where
	// k begins then.
	n := int(to-from) + 1
	least, begin := make([]float64, n), make([][]int, len(jobs))
	for k := len(jobs) - 1; k >= 0; k-- {
		j := &jobs[k]
		now := make([]float64, n)
		begin[k] = make([]int, n)
		for d := n - 1; d >= 0; d-- {
			now[d], begin[k][d] = math.Inf(1), d
			lost := j.weight*j.lost(from+phenology.SeasonDay(d)) + least[min(n-1, d+j.days)]
			if d == n-1 || lost <= now[d+1]+1e-9 {
				now[d] = lost
			} else {
				now[d], begin[k][d] = now[d+1], begin[k][d+1]
			}
		}
		least = now
	}
	days := make([]phenology.SeasonDay, len(jobs))
	free := 0
	for k := range jobs {
		at := begin[k][min(free, n-1)]
		days[k] = from + phenology.SeasonDay(at)
		free = at + jobs[k].days
	}
	return days
}

// Crew is how one crew serves several bushes, one after the other.
type Crew struct {
	Turns   []Turn // the earliest first
	Clash   bool   // not every bush can be begun on its own best day
	Counted bool   // bushes count by the number of their taps; else alike
	Left    []Left // bushes that have no turn
}

// Left is a bush that has no turn, and why: [Tapped], [TakenDone], [TooLate] or [Over].
type Left struct {
	Site   *phenology.Site
	Why    Advice
	TapDay civil.Maybe // when its holes were, or are taken to have been drilled
}

// Turn is a bush's turn.
type Turn struct {
	Site    *phenology.Site
	Species []*phenology.Species
	Days    civil.Span // on which it is drilled
	Best    civil.Date // its own best day to begin
	Lost    float64    // share of the season lost by not beginning on it
}

// CrewOrder works out how one crew serves several bushes so that the least is lost over all of them; those whose holes
// are in, or are taken to be, and those for which it is too late have no turn. It is nil for fewer than two bushes with
// work still to do, or where the plan says of none how long the job takes.
func CrewOrder(seasons []*Season) *Crew {
	type bush struct {
		crewJob
		seasons   []*Season
		decisions []*Decision
	}
	var bushes []bush
	said, counted := false, true
	var left []Left
	for _, s := range seasons {
		d := s.Decision
		if s.Species.Sap.Run.Drive == phenology.RootPressure || s.ByPlace() && !s.Tapped {
			continue
		}
		if !s.IsOpen() {
			if site := s.Place.Site(); len(left) == 0 || left[len(left)-1].Site != site {
				left = append(left, Left{Site: site, Why: s.Advice, TapDay: s.TapDay})
			}
			continue
		}
		said, counted = said || s.Options.DaysToTap > 0, counted && s.Options.Taps > 0
		if k := len(bushes); k == 0 || bushes[k-1].seasons[0].Place != s.Place {
			bushes = append(bushes, bush{})
		}
		b := &bushes[len(bushes)-1]
		b.seasons, b.decisions = append(b.seasons, s), append(b.decisions, d)
	}
	if len(bushes) < 2 || !said {
		return nil
	}
	for i := range bushes {
		b := &bushes[i]
		weight := 1.0
		if counted {
			weight = float64(b.seasons[0].Options.Taps)
		}
		b.crewJob = newCrewJob(b.decisions[0].Terms.DaysToTap, weight, b.decisions...)
	}
	slices.SortStableFunc(bushes, func(a, b bush) int { return cmp.Compare(a.best, b.best) })
	jobs := make([]crewJob, len(bushes))
	for i := range bushes {
		jobs[i] = bushes[i].crewJob
	}
	// Of a bush with a turn for one species another may be left: it has its turn.
	left = slices.DeleteFunc(left, func(l Left) bool {
		return slices.ContainsFunc(bushes, func(b bush) bool { return b.seasons[0].Place.Site() == l.Site })
	})
	crew := &Crew{Counted: counted, Left: left}
	for i, day := range crewDays(jobs) {
		b := &bushes[i]
		s := b.seasons[0]
		first := s.Season.Date(day)
		turn := Turn{Site: s.Place.Site(), Days: civil.Span{First: first, Last: first + civil.Date(b.days-1)},
			Best: s.Season.Date(b.best), Lost: b.lost(day)}
		for _, of := range b.seasons {
			turn.Species = append(turn.Species, of.Species)
		}
		crew.Clash = crew.Clash || day != b.best
		crew.Turns = append(crew.Turns, turn)
	}
	return crew
}
