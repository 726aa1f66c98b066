package outing

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/coverage"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
)

// tripWish is one thing that one species is to show.
type tripWish struct {
	see    calendar.Sight
	sp     *phenology.Species
	weight float64
	spell  *traits.Spell     // nil where it can be seen all year
	dated  []phenology.Phase // that the spell's ends are counted from
	always bool              // it can be seen all year
	recall bool              // an end of its spell is recalled: nobody has looked it up, or seen it here
}

// wish lists what is to be seen, with the chances of every candidate day. A wish is for one season of its species: the
// one that the candidate days can show best.
func (t *tripYear) wish() {
	wishes := t.Place.Options.Trip.Wishes
	if len(wishes) == 0 {
		wishes = calendar.DefaultWishes
	}
	first := phenology.SeasonAt(*t.Place.Site(), t.period.First).Year - 1
	early := phenology.SeasonAt(*t.Place.Site(), t.problem.Days[0]).Year - 1 // before it, none is on any more
	last := phenology.SeasonAt(*t.Place.Site(), t.period.Last).Year
	t.Ready(slices.DeleteFunc(slices.Clone(t.Place.Species), func(sp *phenology.Species) bool {
		return !slices.ContainsFunc(wishes, func(wish calendar.Wish) bool { return wish.For(sp) })
	}), early, last)
	for _, wish := range wishes {
		for i, sp := range t.Place.Species {
			if !wish.For(sp) {
				continue
			}
			from, to, allYear, ok := wish.See.Spell(sp)
			if !ok {
				if len(wish.Species) > 0 {
					t.Note(Undated{wish.See, sp})
				}
				continue
			}
			same := func(x tripWish) bool { return x.see == wish.See && x.sp == sp }
			if k := slices.IndexFunc(t.wishes, same); k >= 0 { // one thing to see, for which two wishes count together
				t.wishes[k].weight += wish.Weight
				t.problem.Wishes[k].Weight += wish.Weight
				continue
			}
			item := tripWish{see: wish.See, sp: sp, weight: wish.Weight, always: allYear}
			for _, m := range []phenology.Moment{from, to} {
				if m.Month == 0 && !allYear {
					item.dated = append(item.dated, m.Phase)
				}
			}
			best := 0.0
			for season := early; season <= last && !allYear; season++ {
				if s, dated := t.watches[i].Spell(from, to, season); dated {
					if sum := s.DaysOn(t.problem.Days); sum > best+1e-9 {
						best, item.spell = sum, s
					}
				}
			}
			for season := first; season <= last && item.spell == nil && !allYear; season++ { // none that is ever on
				if s, dated := t.watches[i].Spell(from, to, season); dated {
					item.spell = s
				}
			}
			if item.spell == nil && !allYear {
				t.Note(Undated{wish.See, sp})
				continue
			}
			if !allYear {
				from, to := calendar.RestsOn(item.spell.From), calendar.RestsOn(item.spell.To)
				item.recall = from.Recalled || to.Recalled
			}
			t.wishes = append(t.wishes, item)
			chances := coverage.Wish{Weight: item.weight}
			item.show(&chances, t.problem.Days)
			t.problem.Wishes = append(t.problem.Wishes, chances)
		}
	}
}

// show sets the bounds of a wish to those of some days.
func (x *tripWish) show(w *coverage.Wish, days []civil.Date) {
	w.Lower, w.Upper = slices.Grow(w.Lower[:0], len(days)), slices.Grow(w.Upper[:0], len(days))
	for _, d := range days {
		lower, upper := 0.0, 1.0
		if !x.always {
			lower, upper = x.spell.Gone(d), x.spell.Come(d)
		}
		w.Lower, w.Upper = append(w.Lower, lower), append(w.Upper, upper)
	}
}

// on returns the chance that the thing can be seen on a day.
func (x *tripWish) on(d civil.Date) float64 {
	switch {
	case x.always:
		return 1
	case x.recall:
		return min(x.spell.On(d), calendar.SurestRecalled)
	}
	return x.spell.On(d)
}

// value returns what the trips show with trip n on another day.
func (t *tripYear) value(n int, d civil.Date) float64 {
	days := []civil.Date{d}
	for i, k := range t.days {
		if i != n {
			days = append(days, t.problem.Days[k])
		}
	}
	slices.Sort(days)
	sum := 0.0
	all := make([]int, len(days))
	for i := range all {
		all[i] = i
	}
	var w coverage.Wish
	for i := range t.wishes {
		t.wishes[i].show(&w, days)
		sum += t.wishes[i].weight * w.Shown(all)
	}
	return sum
}

// adds returns what trip n adds to the others, by sight, the most first.
func (t *tripYear) adds(n int) []Add {
	without := slices.Delete(slices.Clone(t.days), n, n+1)
	var sums []Add
	for i, x := range t.wishes {
		w := &t.problem.Wishes[i]
		k := slices.IndexFunc(sums, func(s Add) bool { return s.See == x.see })
		if k < 0 {
			k = len(sums)
			sums = append(sums, Add{See: x.see})
		}
		sums[k].By += calendar.Amount(w.Weight * (w.Shown(t.days) - w.Shown(without)))
	}
	slices.SortStableFunc(sums, func(a, b Add) int { return cmp.Compare(b.By, a.By) })
	return sums
}

// nearlySure is the highest chance of what rests on dates to come: none of them is certain.
const nearlySure = 0.99

// anyOf returns the chance that at least one species shows a sight on a day: see [traits.AnyOn]. Spells that are
// recalled make it no surer than [calendar.SurestRecalled].
func (t *tripYear) anyOf(see calendar.Sight, d civil.Date) float64 {
	var list, known []*traits.Spell
	for i := range t.wishes {
		x := &t.wishes[i]
		if x.see != see {
			continue
		}
		if x.always {
			return 1
		}
		list = append(list, x.spell)
		if !x.recall {
			known = append(known, x.spell)
		}
	}
	p := traits.AnyOn(list, d)
	if len(known) < len(list) && p > calendar.SurestRecalled {
		p = max(calendar.SurestRecalled, traits.AnyOn(known, d))
	}
	if d >= t.Plan.AsOf {
		p = min(p, nearlySure)
	}
	return p
}
