package traits_test

import (
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
				}
			}
		}
	}
}
