package calendar

import (
	"cmp"
	"slices"

	"treewhen/phenology/civil"
)

// Moved is how a published event last came by its days. A feed remembers it, so that people can be told what moved
// since they last looked: see [MovedSince].
type Moved struct {
	On      civil.Date  // the day on which it was published anew
	Was     civil.Span  // its days before
	WasBest civil.Maybe // the best of them
}

// MovedSince returns the entries whose days moved on a day or after it, the latest first, and among those of one day
// in their own order. It is what a page's "what moved" is made from: with the as-of day less one, what moved since
// yesterday; less seven, since last week. Package words says each by words.Moved. Entries know of it where their feeds
// are remembered: those that feed and serve make, and those of schedule --feeds.
func MovedSince(entries []*Entry, since civil.Date) []*Entry {
	var list []*Entry
	for _, e := range entries {
		if e.Moved != nil && e.Moved.On >= since {
			list = append(list, e)
		}
	}
	slices.SortStableFunc(list, func(a, b *Entry) int { return cmp.Compare(b.Moved.On, a.Moved.On) })
	return list
}
