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
	// The day that is told is the best, though the curve be higher by a hair on another: see [Season.keep].
	if told := int(decisions[0].Best - j.today); len(decisions) == 1 && told >= 0 && told < len(j.curve) {
		j.curve[told], best = j.curve[best], told
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

// Bush is what a crew's order asks of a season of sap at a place. It keeps nothing of the place's temperatures.
type Bush struct {
	site     *phenology.Site
	species  *phenology.Species
	season   phenology.Season
	advice   Advice
	open     bool
	tapDay   civil.Maybe
	taps     int // 0: not said
	days     int // that the job takes; 0: not said
	decision *Decision
	beside   bool // no crew is sent: its sap runs by root pressure, or nothing is known to decide by
}

// Bush returns what a crew's order asks of the season.
func (s *Season) Bush() Bush {
	site := *s.Place.Site()
	b := Bush{site: &site, species: s.Species, season: s.Season, advice: s.Advice, open: s.IsOpen(), tapDay: s.TapDay,
		taps: s.Options.Taps, days: s.Options.DaysToTap,
		beside: s.Species.Sap.Run.Drive == phenology.RootPressure || s.ByPlace() && !s.Tapped}
	if d := s.Decision; d != nil {
		b.decision = &Decision{Terms: d.Terms, Best: d.Best, Curve: d.Curve}
	}
	return b
}

// CrewOrder works out how one crew serves several bushes so that the least is lost over all of them; those whose holes
// are in, or are taken to be, and those for which it is too late have no turn. The species of a place stand together.
// It is nil for fewer than two bushes with work still to do, or where the plan says of none how long the job takes.
func CrewOrder(all []Bush) *Crew {
	type visit struct {
		crewJob
		of        []Bush
		decisions []*Decision
	}
	var visits []visit
	said, counted := false, true
	var left []Left
	for _, b := range all {
		if b.beside {
			continue
		}
		if !b.open {
			if len(left) == 0 || left[len(left)-1].Site.ID != b.site.ID {
				left = append(left, Left{Site: b.site, Why: b.advice, TapDay: b.tapDay})
			}
			continue
		}
		said, counted = said || b.days > 0, counted && b.taps > 0
		if k := len(visits); k == 0 || visits[k-1].of[0].site.ID != b.site.ID {
			visits = append(visits, visit{})
		}
		v := &visits[len(visits)-1]
		v.of, v.decisions = append(v.of, b), append(v.decisions, b.decision)
	}
	if len(visits) < 2 || !said {
		return nil
	}
	for i := range visits {
		v := &visits[i]
		weight := 1.0
		if counted {
			weight = float64(v.of[0].taps)
		}
		v.crewJob = newCrewJob(v.decisions[0].Terms.DaysToTap, weight, v.decisions...)
	}
	slices.SortStableFunc(visits, func(a, b visit) int { return cmp.Compare(a.best, b.best) })
	jobs := make([]crewJob, len(visits))
	for i := range visits {
		jobs[i] = visits[i].crewJob
	}
	// Of a bush with a turn for one species another may be left: it has its turn.
	left = slices.DeleteFunc(left, func(l Left) bool {
		return slices.ContainsFunc(visits, func(v visit) bool { return v.of[0].site.ID == l.Site.ID })
	})
	crew := &Crew{Counted: counted, Left: left}
	for i, day := range crewDays(jobs) {
		v := &visits[i]
		season := v.of[0].season
		first := season.Date(day)
		turn := Turn{Site: v.of[0].site, Days: civil.Span{First: first, Last: first + civil.Date(v.days-1)},
			Best: season.Date(v.best), Lost: v.lost(day)}
		for _, b := range v.of {
			turn.Species = append(turn.Species, b.species)
		}
		crew.Clash = crew.Clash || day != v.best
		crew.Turns = append(crew.Turns, turn)
	}
	return crew
}
