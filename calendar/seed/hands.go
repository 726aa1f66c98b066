package seed

import (
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// hand is a lot in hand, or one that is over: what was done with it, by day. What is not told of it is 0.
type hand struct {
	calendar.LotNote // the first: it was collected, or that came too late
	season           int
	kg               float64 // of clean seed, as it was last weighed
	fruitKG, fruitL  float64 // of fruit, as it was collected
	tested           float64 // percent that germinate, by the last test
	cameUp           float64 // seedlings
	done             map[calendar.LotStep][]civil.Date
}

// hands returns the place's lots, in the order in which they were collected. They are found once.
func (w *Work) hands() []*hand {
	if w.inHand == nil {
		w.inHand = w.grouped(w.Place.Lots)
	}
	return w.inHand
}

// grouped puts together what was done with each lot, in the order in which they were collected.
func (w *Work) grouped(notes []calendar.LotNote) (list []*hand) {
	byID := map[string]*hand{}
	for _, n := range notes {
		h := byID[n.Lot]
		if h == nil {
			h = &hand{LotNote: n, season: w.seasonOf(n.Species, n.Date), done: map[calendar.LotStep][]civil.Date{}}
			byID[n.Lot] = h
			list = append(list, h)
		}
		h.done[n.What] = append(h.done[n.What], n.Date)
		h.measured(n)
	}
	return list
}

// measured keeps the quantity that a note tells of, if it is one that counts.
func (h *hand) measured(n calendar.LotNote) {
	x := n.Quantity
	if n.Unit == "g" {
		x /= 1000
	}
	switch weighed := n.Unit == "kg" || n.Unit == "g"; {
	case n.What == calendar.LotCollected && weighed:
		h.fruitKG += x
	case n.What == calendar.LotCollected && n.Unit == "l":
		h.fruitL += x
	case n.What == calendar.LotTested && n.Unit == "percent":
		h.tested = x
	case n.What == calendar.LotCameUp && n.Unit == "seedlings":
		h.cameUp = x
	case weighed && (n.What == calendar.LotCleaned || n.What == calendar.LotStored || n.What == calendar.LotStratified):
		h.kg = x
	}
}

// over reports whether nothing of a lot is left, or ever was there.
func (h *hand) over() bool {
	return len(h.done[calendar.LotTooLate])+len(h.done[calendar.LotDiscarded]) > 0
}

// seasonOf returns the season in which seed that was collected on a day grew: what ripens late can hang past New Year.
func (w *Work) seasonOf(sp *phenology.Species, collected civil.Date) int {
	year := phenology.SeasonAt(*w.Place.Site(), collected).Year
	if ripe := w.In(sp, year).Get(phenology.FruitRipe); ripe.HasDate() && ripe.P50()-collected > 183 {
		return year - 1
	}
	return year
}

// collected reports whether the seed of a season has been collected at a stand, or nil for the place as a whole, or
// that was come for too late.
func (w *Work) collected(sp *phenology.Species, season int, s *calendar.Stand) bool {
	return slices.ContainsFunc(w.hands(), func(h *hand) bool {
		here := s == nil && h.Stand == "" || s != nil && s.ID == h.Stand
		return here && h.Species == sp && h.season == season
	})
}

// last returns the day on which a step was last done.
func (h *hand) last(step calendar.LotStep) (civil.Date, bool) {
	days := h.done[step]
	if len(days) == 0 {
		return 0, false
	}
	return days[len(days)-1], true
}
