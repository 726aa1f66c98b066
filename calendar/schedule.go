package calendar

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// NewSchedule returns the schedule of a plan, with no work in it as yet: see [Schedule.Add].
func NewSchedule(p *Plan) *Schedule {
	return &Schedule{Title: p.Title, AsOf: p.AsOf, Span: p.Span, Notes: slices.Clone(p.Notes), texts: newSharedTexts()}
}

// Add adds the work at a place. Places come in the plan's order, since notes stand in it; when all are in, [Schedule.Sort]
// puts the entries in order.
func (s *Schedule) Add(w *Work) {
	for _, e := range w.Entries {
		s.texts.share(e)
	}
	s.Entries = append(s.Entries, w.Entries...)
	s.Notes = append(s.Notes, w.Notes...)
	s.Problems = append(s.Problems, w.Problems...)
}

// IsOpen reports whether work can be done on the as-of day.
func (s *Schedule) IsOpen(e *Entry) bool { return e.Window.Contains(s.AsOf) }

// Sort puts the entries in order: by first day, then by site and whatever else they have.
func (s *Schedule) Sort() { slices.SortStableFunc(s.Entries, CompareEntries) }

// CompareEntries orders entries: by first day, then by site and whatever else they have.
func CompareEntries(a, b *Entry) int {
	return cmp.Or(
		cmp.Compare(a.Window.First, b.Window.First),
		cmp.Compare(a.Site.ID, b.Site.ID),
		cmp.Compare(a.Activity, b.Activity),
		cmp.Compare(speciesKey(a.Species), speciesKey(b.Species)),
		cmp.Compare(a.Task, b.Task),
		cmp.Compare(a.Season, b.Season),
		slices.Compare(a.Tell, b.Tell),
	)
}

func speciesKey(list []*phenology.Species) string {
	ids := make([]string, len(list))
	for i, s := range list {
		ids[i] = s.ID
	}
	return strings.Join(ids, "+")
}

// BasisOf says what the weakest of several estimates rests on, in a word and in a sentence.
func BasisOf(list ...phenology.Estimate) (phenology.Basis, string) {
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
		text += fmt.Sprintf(", tuned by %s seen here", phrase.Count(e.Seen, "year"))
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
				return "this season to " + phrase.ShortDate(e.Observed) + " + forecast"
			}
			return "this season to " + phrase.ShortDate(e.Observed)
		}
		return fmt.Sprintf("this season to %s + %s", phrase.ShortDate(e.Observed), phrase.Count(e.Years, "past year"))
	case phenology.BasisRecord:
		return phrase.Count(e.Years, "past year") + " here"
	case phenology.BasisNormals:
		return "monthly normals"
	case phenology.BasisPlace:
		return "the place alone"
	default:
		return "no date: " + e.Reason
	}
}

// Settled reports whether nothing still to come can move any of the estimates.
func Settled(list ...phenology.Estimate) bool {
	for _, e := range list {
		if e.Basis > phenology.BasisReached {
			return false
		}
	}
	return true
}
