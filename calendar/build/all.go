package build

import (
	"context"

	"treewhen/calendar"
	"treewhen/calendar/inputs"
	"treewhen/phenology/civil"
)

// Want says what is wanted of a schedule. The zero value wants all of it.
type Want struct {
	Season int // entries of this growing year alone; 0: of all
	Keep   calendar.Keep
	// Most is how many sites are kept with their outlooks and entries; of the others, only who they are. 0: entries of
	// all, outlooks of none.
	Most int
	// Pick, if set, returns the entries of a site that are kept.
	Pick func([]*calendar.Entry) []*calendar.Entry
	Told Progress
}

// All works out the work of some days at every site, and of each keeps what is wanted: the schedule, and the plan with
// its places. What look makes of each place and its entries is returned in the same order; it may be nil, and is called
// by several goroutines.
func All[T any](
	ctx context.Context, in *inputs.Inputs, days civil.Span, want Want, look func(*calendar.Place, []*calendar.Entry) T,
) (*calendar.Plan, *calendar.Schedule, []T, error) {
	plan := in.Schedule(days)
	s := calendar.NewSchedule(plan)
	var looks []T
	type built struct {
		place *calendar.Place
		work  *calendar.Work
		look  T
	}
	err := Each(ctx, in, want.Told, func(pl *inputs.Place) (b built) {
		b.place = in.Ready(pl)
		b.work = At(plan, b.place)
		b.work.Entries = inSeason(b.work.Entries, want.Season)
		b.work.Lighten(want.Keep)
		if look != nil {
			b.look = look(b.place, b.work.Entries)
		}
		if want.Pick != nil {
			b.work.Entries = want.Pick(b.work.Entries)
		}
		return b
	}, func(pl *inputs.Place, b built) error {
		switch {
		case want.Most == 0:
			b.place = in.Named(pl)
		case len(plan.Places) >= want.Most:
			b.place, b.work.Entries = in.Named(pl), nil
		}
		plan.Places = append(plan.Places, b.place)
		s.Add(b.work)
		looks = append(looks, b.look)
		return nil
	})
	if err != nil {
		return nil, nil, nil, err
	}
	s.Sort()
	return plan, s, looks, nil
}

// inSeason keeps the entries of a season; 0 is all of them.
func inSeason(entries []*calendar.Entry, season int) []*calendar.Entry {
	if season == 0 {
		return entries
	}
	var kept []*calendar.Entry
	for _, e := range entries {
		if e.Season == season {
			kept = append(kept, e)
		}
	}
	return kept
}
