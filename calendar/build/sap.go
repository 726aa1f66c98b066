package build

import (
	"context"
	"errors"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/inputs"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// SapWant says what is wanted of seasons of sap.
type SapWant struct {
	Season int  // 0: the one under way or, once it is over, the next
	Past   bool // with 0: for some weeks after its end the one that is over too, before the next
	Told   Progress
	// Undated is told of every tapped species whose season cannot be dated.
	Undated func(pl *inputs.Place, sp *phenology.Species)
}

// Sap works out the season of every bush, and returns what keep keeps of each, in the order of sites and species. Keep
// is called by several goroutines. It is an error if there is none.
func Sap[T any](
	ctx context.Context, in *inputs.Inputs, want SapWant, keep func(*tapping.Season) T,
) (*calendar.Plan, []T, error) {
	var all []T
	plan := in.Schedule(civil.Span{First: in.AsOf, Last: in.AsOf + 365})
	type found struct {
		kept    []T
		undated []*phenology.Species
	}
	err := Each(ctx, in, want.Told, func(pl *inputs.Place) (f found) {
		if !slices.Contains(pl.Site.Activities, calendar.Tapping) {
			return f
		}
		at := in.Ready(pl)
		for _, sp := range pl.Species {
			list := sapSeasons(plan, at, sp, want)
			if len(list) == 0 && tapping.Tappable(sp) {
				f.undated = append(f.undated, sp)
			}
			for _, s := range list {
				f.kept = append(f.kept, keep(s))
			}
		}
		return f
	}, func(pl *inputs.Place, f found) error {
		for _, sp := range f.undated {
			want.Undated(pl, sp)
		}
		all = append(all, f.kept...)
		return nil
	})
	if err == nil && len(all) == 0 {
		err = errors.New("the plan has no site with tapping among its activities and a tapped species whose sap " +
			"can be dated")
	}
	return plan, all, err
}

// sapSeasons works out the season asked for; if none is, the one under way, or the next once it is over.
func sapSeasons(plan *calendar.Plan, pl *calendar.Place, sp *phenology.Species, want SapWant) (list []*tapping.Season) {
	add := func(season int) *tapping.Season {
		s := tapping.SeasonAt(plan, pl, sp, season)
		if s != nil {
			list = append(list, s)
		}
		return s
	}
	if want.Season != 0 {
		add(want.Season)
		return list
	}
	year := phenology.SeasonAt(*pl.Site(), plan.AsOf).Year
	if s := add(year); s != nil && s.IsOver() {
		if !want.Past || !s.StillTold() {
			list = nil
		}
		add(year + 1)
	}
	return list
}

// Backtests looks back at every bush with a record, up to a season, 0 for the one that the as-of day lies in. What is
// wrong with those that cannot be looked back at is returned beside; it is an error if that is so of all.
func Backtests(
	ctx context.Context, in *inputs.Inputs, told Progress, season int, back tapping.LookBack,
) (all []*tapping.Backtest, failed []error, err error) {
	type looked struct {
		list   []*tapping.Backtest
		failed []error
	}
	err = Each(ctx, in, told, func(pl *inputs.Place) (l looked) {
		if !slices.Contains(pl.Site.Activities, calendar.Tapping) {
			return l
		}
		back := back
		back.Until = phenology.SeasonAt(pl.Site.Site, in.AsOf).Year
		if season != 0 {
			back.Until = min(back.Until, season)
		}
		outlook := in.Outlook(pl)
		for _, sp := range pl.Species {
			if !tapping.Tappable(sp) {
				continue
			}
			if b, err := tapping.NewBacktest(outlook, sp, pl.Site.Options.Tapping, back); err != nil {
				l.failed = append(l.failed, err)
			} else {
				b.Site = &pl.Site.Site // not the outlook's, which would stay in memory with it
				l.list = append(l.list, b)
			}
		}
		return l
	}, func(_ *inputs.Place, l looked) error {
		all, failed = append(all, l.list...), append(failed, l.failed...)
		return nil
	})
	switch {
	case err != nil:
		return nil, nil, err
	case len(all) == 0 && len(failed) == 0:
		return nil, nil, errors.New("the plan has no site with tapping among its activities and a tapped species")
	case len(all) == 0:
		err, failed = failed[len(failed)-1], failed[:len(failed)-1]
	}
	return all, failed, err
}
