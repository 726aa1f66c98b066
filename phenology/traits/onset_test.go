package traits_test

import (
	"slices"
	"testing"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
	"treewhen/profiles"
)

// What a watch remembers of a spell is what its two estimates say, to the last bit: of every species, from years before
// the first chance to years behind the last.
func TestWatchRemembersWhatEstimatesSay(t *testing.T) {
	temps := phenology.NewTemperatures(here, madeUp(civil.Of(1996, 1, 1), civil.Of(2026, 4, 20), 1))
	for _, o := range []*phenology.Outlook{{Site: here, Temps: temps}, {Site: school}} {
		for _, sp := range profiles.Builtin().All() {
			w := traits.NewWatch(o.Site, sp, func(season int) phenology.Estimates { return o.Estimate(sp, season) })
			for i, from := range sp.Phases {
				s, ok := w.Spell(phenology.Moment{Phase: from.Phase},
					phenology.Moment{Phase: sp.Phases[(i+1)%len(sp.Phases)].Phase}, 2026)
				if !ok {
					continue
				}
				for d := civil.Of(2025, 6, 1); d < civil.Of(2028, 1, 1); d++ {
					come, gone := s.From.By(d), s.To.By(d)
					if s.Come(d) != come || s.Gone(d) != gone || s.On(d) != max(0, come-gone) {
						t.Fatalf("%s from %s to %s on %s: found %v to %v, want %v to %v", sp.ID, s.From.Phase,
							s.To.Phase, d, s.Come(d), s.Gone(d), come, gone)
					}
					if d%9 != 0 {
						continue
					}
					const enough = 0.5
					two := []*traits.Spell{s, s}
					all := traits.AllOn(two, d, 0)
					if p := traits.AllOn(two, d, enough); p != all && max(p, all) >= enough {
						t.Fatalf("%s on %s: found %v where %v is enough, want %v", sp.ID, d, p, enough, all)
					}
				}
			}
		}
	}
}

// What a watch does not ask for is nothing: a trait's chance is that of the spells of the season before the day's, of
// its own and of the next, to the last bit. South of the equator, where nothing is measured, a season begins in July.
func TestWatchMissesNoSpell(t *testing.T) {
	temps := phenology.NewTemperatures(here, madeUp(civil.Of(1996, 1, 1), civil.Of(2026, 4, 20), 1))
	south := school
	south.Latitude = -south.Latitude
	for _, o := range []*phenology.Outlook{{Site: here, Temps: temps}, {Site: school}, {Site: south}} {
		for _, sp := range profiles.Builtin().All() {
			known := map[int]phenology.Estimates{}
			in := func(season int) phenology.Estimates {
				if _, ok := known[season]; !ok {
					known[season] = o.Estimate(sp, season)
				}
				return known[season]
			}
			lazy, eager := traits.NewWatch(o.Site, sp, in), traits.NewWatch(o.Site, sp, in)
			for i := range sp.Traits {
				x := &sp.Traits[i]
				if x.AllYear {
					continue
				}
				for d := civil.Of(2026, 1, 1); d < civil.Of(2027, 2, 1); d += 5 {
					want, dated := 0.0, false
					year := phenology.SeasonAt(o.Site, d).Year
					for season := year - 1; season <= year+1; season++ {
						if s, ok := eager.Spell(x.From, x.To, season); ok {
							want, dated = want+s.On(d), true
						}
					}
					if p, ok := lazy.Visible(x, d); p != min(want, 1) || ok != dated {
						t.Fatalf("%s: %s %s on %s: found %v, %v, want %v, %v", sp.ID, x.Organ, x.Name, d, p, ok,
							min(want, 1), dated)
					}
				}
			}
		}
	}
}

// Near by the chances are the phases that are near by their dates.
func TestWatchKnowsWhatIsNear(t *testing.T) {
	const days = 7
	temps := phenology.NewTemperatures(here, madeUp(civil.Of(1996, 1, 1), civil.Of(2026, 4, 20), 1))
	for _, o := range []*phenology.Outlook{{Site: here, Temps: temps}, {Site: school}} {
		for _, sp := range profiles.Builtin().All() {
			in := o.Estimate(sp, 2026)
			w := traits.NewWatch(o.Site, sp, func(int) phenology.Estimates { return in })
			for d := civil.Of(2026, 1, 1); d <= civil.Of(2026, 12, 31); d += 3 {
				var want []phenology.Phase
				for _, e := range in.List {
					if e.HasDate() && e.P10()-days <= d && d <= e.P90()+days {
						want = append(want, e.Phase)
					}
				}
				if got := w.Near(d, days); !slices.Equal(got, want) {
					t.Fatalf("%s on %s: found %v, want %v", sp.ID, d, got, want)
				}
			}
		}
	}
}
