package calendar

import (
	"cmp"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
	"treewhen/phenology/traits"
)

// Build works out the entries of all of the plan's places. They are independent of each other and are worked on side by
// side; the result does not depend on it, nor on the order of places or species.
func Build(p *Plan) *Schedule {
	s := NewSchedule(p)
	work := make([]Work, len(p.Places))
	var wait sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, place := range p.Places {
		slots <- struct{}{}
		wait.Go(func() {
			defer func() { <-slots }()
			work[i] = p.WorkAt(place)
		})
	}
	wait.Wait()
	for _, w := range work {
		s.Add(w)
	}
	s.Sort()
	return s
}

// Work is what is to be done at one place.
type Work struct {
	Entries  []*Entry // in the order of a [Schedule]
	Notes    []string
	Problems problem.List
}

// WorkAt works out the work at a place, which need not be one of the plan's Places: a plan of thousands is worked out place
// by place, each made ready when its turn comes. It may be called by several goroutines. What it returns keeps nothing of
// the place alive but its species.
func (p *Plan) WorkAt(place *Place) Work {
	w := &placeWork{plan: p, place: place, estimates: map[estimateKey]phenology.Estimates{}}
	w.run()
	w.letGo()
	slices.SortStableFunc(w.entries, compareEntries)
	return Work{w.entries, w.notes, w.problems}
}

// letGo cuts the entries off from the place's outlook, which is a thousand times their size.
func (w *placeWork) letGo() {
	site := *w.place.Site()
	stands := map[*Stand]*Stand{}
	for _, e := range w.entries {
		e.Site = &site
		if e.Sheet != nil {
			e.Sheet.Site = &site
		}
		if e.Stand == nil {
			continue
		}
		if stands[e.Stand] == nil {
			bare := *e.Stand
			bare.Outlook = nil
			stands[e.Stand] = &bare
		}
		e.Stand = stands[e.Stand]
	}
}

// NewSchedule returns the schedule of a plan, with no work in it as yet: see [Schedule.Add].
func NewSchedule(p *Plan) *Schedule {
	return &Schedule{Title: p.Title, AsOf: p.AsOf, Span: p.Span, Notes: slices.Clone(p.Notes), texts: newSharedTexts()}
}

// Add adds the work at a place. Places come in the plan's order, since notes stand in it; when all are in, [Schedule.Sort]
// puts the entries in order.
func (s *Schedule) Add(w Work) {
	for _, e := range w.Entries {
		s.texts.share(e)
	}
	s.Entries = append(s.Entries, w.Entries...)
	s.Notes = append(s.Notes, w.Notes...)
	s.Problems = append(s.Problems, w.Problems...)
}

// Sort puts the entries in order: by first day, then by site and whatever else they have.
func (s *Schedule) Sort() { slices.SortStableFunc(s.Entries, compareEntries) }

func compareEntries(a, b *Entry) int {
	return cmp.Or(
		cmp.Compare(a.Window.First, b.Window.First),
		cmp.Compare(a.Site.ID, b.Site.ID),
		cmp.Compare(a.Activity, b.Activity),
		cmp.Compare(speciesKey(a.Species), speciesKey(b.Species)),
		cmp.Compare(a.Task, b.Task),
		cmp.Compare(a.Season, b.Season),
		slices.Compare(a.tell, b.tell),
	)
}

func speciesKey(list []*phenology.Species) string {
	ids := make([]string, len(list))
	for i, s := range list {
		ids[i] = s.ID
	}
	return strings.Join(ids, "+")
}

// placeWork is the work of scheduling one place.
type placeWork struct {
	plan       *Plan
	place      *Place
	estimates  map[estimateKey]phenology.Estimates
	sap        map[estimateKey]*SapSeason
	watches    map[*phenology.Species]*traits.Watch
	separators []separatorOf
	entries    []*Entry
	notes      []string
	far        []string // species that the place is too far away for
	problems   problem.List
}

type estimateKey struct {
	species string
	season  int
}

// in returns a species' estimates in a season.
func (w *placeWork) in(sp *phenology.Species, season int) phenology.Estimates {
	key := estimateKey{sp.ID, season}
	if got, ok := w.estimates[key]; ok {
		return got
	}
	got := w.place.Outlook.Estimate(sp, season)
	w.estimates[key] = got
	return got
}

func (w *placeWork) run() {
	site := *w.place.Site()
	// A season's work runs from its own days into the winter after, so the season before the span is looked at too.
	// Seed that is sown in the second spring takes the season before that.
	first := phenology.SeasonAt(site, w.plan.Span.First).Year - 2
	last := phenology.SeasonAt(site, w.plan.Span.Last).Year
	for season := first; season <= last; season++ {
		for _, a := range w.place.Activities {
			if a != SeedCollection && season == first {
				continue
			}
			switch a {
			case Tapping:
				for _, sp := range w.place.Species {
					w.tapping(sp, season)
				}
			case SeedCollection:
				for _, sp := range w.place.collected() {
					w.seed(sp, season)
				}
			case TwigSurvey:
				w.twigSurvey(season)
			}
		}
	}
	if slices.Contains(w.place.Activities, FieldTrip) {
		w.schoolYears() // which are not growing years
	}
	w.watches, w.separators = nil, nil // they remember every day of several years, and other places wait for their turn
	if len(w.far) > 0 {
		w.note("no collection dates for %s, whose range ends more than %d km away", joinWords(w.far), rangeReachKM)
	}
}

// add keeps an entry if it lies in the plan's span.
func (w *placeWork) add(e *Entry) *Entry {
	e.Site = w.place.Site()
	season := e.Season
	if e.Activity == FieldTrip {
		season = e.schoolYear
	}
	e.UID = UID(w.plan.FeedID, e.Site.ID, e.Activity, speciesIDs(e), e.Task, season, e.tell...)
	if e.Activity == SeedCollection {
		e.PeopleDays = w.place.Options.Seed.Work[e.Task]
	}
	if e.Window.Overlaps(w.plan.Span) {
		w.entries = append(w.entries, e)
	}
	return e
}

// speciesIDs returns what tells the entry from others of its task: its species, or nothing for a visit to all or a run of
// sap that several share, which stay the same when a species is added to the plan.
func speciesIDs(e *Entry) []string {
	if e.Activity == TwigSurvey || e.Activity == FieldTrip || e.Task == TaskRun {
		return nil
	}
	ids := make([]string, len(e.Species))
	for i, s := range e.Species {
		ids[i] = s.ID
	}
	return ids
}

func (w *placeWork) note(format string, args ...any) {
	n := w.place.Site().Name + ": " + fmt.Sprintf(format, args...)
	if !slices.Contains(w.notes, n) {
		w.notes = append(w.notes, n)
	}
}

// problem keeps what is wrong with the plan itself, once.
func (w *placeWork) problem(line int, text, hint string) {
	p := problem.Problem{Line: line, Field: w.place.Site().ID, Text: text, Hint: hint}
	if !slices.Contains(w.problems, p) {
		w.problems = append(w.problems, p)
	}
}

// basis says what the weakest of several estimates rests on, in a word and in a sentence.
func basis(list ...phenology.Estimate) (phenology.Basis, string) {
	weakest := list[0]
	for _, e := range list[1:] {
		if e.Basis > weakest.Basis {
			weakest = e
		}
	}
	return weakest.Basis, BasisText(weakest)
}

// BasisText says in plain words what an estimate rests on. A date counted from another is said to be counted from the first
// of the chain, which is what was reached or seen.
func BasisText(e phenology.Estimate) string {
	if e.After != nil {
		root := e.After
		for root.After != nil {
			root = root.After
		}
		return "counted from " + root.Phase.String() + ", " + BasisText(*root)
	}
	return basisWords(e) + basisMoves(e)
}

// basisMoves says what a date was moved by: the site's height above its thermometer, other years' sightings there.
func basisMoves(e phenology.Estimate) string {
	text := ""
	if math.Abs(e.Climb) >= 1 && e.Basis <= phenology.BasisNormals && e.Basis != phenology.BasisSeen {
		way := "up"
		if e.Climb < 0 {
			way = "down"
		}
		text += fmt.Sprintf(", temperatures moved %.0f m %s", math.Abs(e.Climb), way)
	}
	if e.Seen > 0 && e.Basis != phenology.BasisSeen {
		text += fmt.Sprintf(", tuned by %s seen here", count(e.Seen, "year"))
	}
	return text
}

func basisWords(e phenology.Estimate) string {
	switch e.Basis {
	case phenology.BasisSeen:
		return "seen"
	case phenology.BasisReached:
		return "reached this season"
	case phenology.BasisSeason:
		if e.Years == 0 {
			if e.Invented > 0 {
				return "this season to " + shortDate(e.Observed) + " + forecast"
			}
			return "this season to " + shortDate(e.Observed)
		}
		return fmt.Sprintf("this season to %s + %s", shortDate(e.Observed), count(e.Years, "past year"))
	case phenology.BasisRecord:
		return count(e.Years, "past year") + " here"
	case phenology.BasisNormals:
		return "monthly normals"
	case phenology.BasisPlace:
		return "the place alone"
	default:
		return "no date: " + e.Reason
	}
}

// settled reports whether nothing still to come can move any of the estimates.
func settled(list ...phenology.Estimate) bool {
	for _, e := range list {
		if e.Basis > phenology.BasisReached {
			return false
		}
	}
	return true
}

func shortDate(d civil.Date) string { return d.Format("2 Jan") }

func longDate(d civil.Date) string { return d.Format("Mon 2 Jan 2006") }

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
