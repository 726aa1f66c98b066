package phenology_test

import (
	"math"
	"testing"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Of two dates of one bud break four months apart, one is a slip: it is left out and told, the other stays as it is,
// and leaves do not come before the buds break. Two that are three weeks apart are both used, and are less sure.
func TestContradictingSightings(t *testing.T) {
	temps := phenology.NewTemperatures(here, madeUp(civil.Of(2000, 1, 1), civil.Of(2020, 12, 31), 9))
	maple := find(t, "acer-saccharum")
	plain := (&phenology.Outlook{Site: here, Temps: temps}).Estimate(maple, 2018).Get(phenology.BudBreak).P50()
	seen := func(days ...civil.Date) *phenology.Outlook {
		o := &phenology.Outlook{Site: here, Temps: temps, Known: []*phenology.Species{maple}}
		for _, d := range days {
			o.Sightings = append(o.Sightings, phenology.Sighting{Date: plain + d, Site: here.ID, Species: maple.ID,
				Phase: phenology.BudBreak})
		}
		return o
	}
	slip := seen(0, 122)
	e := slip.Estimate(maple, 2018)
	if b := e.Get(phenology.BudBreak); b.Basis != phenology.BasisSeen || b.P50() != plain || b.Dist.SD() != 0 {
		t.Errorf("with a slip bud break is %s, %v days about %s, want %s as seen", b.P50(), b.Dist.SD(), b.P50(), plain)
	}
	doubts := slip.DoubtfulSightings()
	if len(doubts) != 1 || !doubts[0].LeftOut || doubts[0].Date != plain+122 || math.Abs(doubts[0].Late-122) > 3 {
		t.Errorf("doubts %+v, want the later date left out, 122 days late", doubts)
	}
	alone := seen(150) // in its season's autumn
	if b := alone.Estimate(maple, 2018).Get(phenology.BudBreak); b.Basis == phenology.BasisSeen {
		t.Errorf("bud break in autumn is taken as seen on %s", b.P50())
	}
	both := seen(-11, 11)
	b := both.Estimate(maple, 2018).Get(phenology.BudBreak)
	if sd := b.Dist.SD(); b.P50() != plain || sd < 8 || sd > 20 {
		t.Errorf("22 days apart: %s, %.1f days of spread, want the middle and their disagreement", b.P50(), sd)
	}
	if doubts := both.DoubtfulSightings(); len(doubts) != 2 || doubts[0].LeftOut || doubts[0].Apart != 22 {
		t.Errorf("22 days apart: doubts %+v, want both and neither left out", doubts)
	}
	if doubts := seen(-4, 5).DoubtfulSightings(); len(doubts) != 0 {
		t.Errorf("9 days apart: doubts %+v, want none", doubts)
	}
	for _, late := range []civil.Date{20, 28} {
		e := seen(late).Estimate(maple, 2018)
		if leaf := e.Get(phenology.LeafOut); leaf.P10() < plain+late {
			t.Errorf("bud break seen on %s, leaves from %s", plain+late, leaf.P10())
		}
		if swell := e.Get(phenology.BudSwell); swell.P90() > plain+late {
			t.Errorf("bud break seen on %s, buds swell to %s", plain+late, swell.P90())
		}
	}
}

// The first bud is a week before half of them, the first leaf about with them; what is moved is less sure.
func TestStagesAreMoved(t *testing.T) {
	temps := phenology.NewTemperatures(here, madeUp(civil.Of(2000, 1, 1), civil.Of(2020, 12, 31), 9))
	maple := find(t, "acer-saccharum")
	day := civil.Of(2018, 5, 1)
	for _, row := range []struct {
		stage phenology.Stage
		later civil.Date
		sd    float64
	}{{"", 0, 0}, {phenology.StageHalf, 0, 0}, {phenology.StageFirstBud, 7, 4}, {phenology.StageFirstLeaf, -2, 3.5}} {
		o := &phenology.Outlook{Site: here, Temps: temps, Known: []*phenology.Species{maple}, Sightings: phenology.Sightings{
			{Date: day, Site: here.ID, Species: maple.ID, Phase: phenology.BudBreak, Stage: row.stage}}}
		e := o.Estimate(maple, 2018).Get(phenology.BudBreak)
		if e.P50() != day+row.later || math.Abs(e.Dist.SD()-row.sd) > 1e-9 {
			t.Errorf("%q seen on %s: half of the buds on %s, spread %.1f", row.stage, day, e.P50(), e.Dist.SD())
		}
	}
}

// What one observer's other trees teach goes over to a tree that was never seen there, and the tree's own sightings
// then tell more. On drawn springs of the built-in climate as on a record.
func TestHabitOfAnObserver(t *testing.T) {
	site := phenology.Site{ID: "far", Latitude: 40.2, Longitude: -86.4, Elevation: 220, Zone: here.Zone}
	temps, ok := phenology.NormalTemperatures(site)
	if !ok {
		t.Fatal("no climate in Indiana")
	}
	trees := []string{"acer-saccharum", "acer-rubrum", "quercus-alba", "fagus-grandifolia"}
	oak := find(t, "quercus-rubra")
	shift := func(own bool) float64 {
		o := &phenology.Outlook{Site: site, Temps: temps, Known: []*phenology.Species{oak}}
		bare := (&phenology.Outlook{Site: site, Temps: temps})
		late := func(sp *phenology.Species) {
			for year := 2019; year <= 2026; year++ {
				usual := bare.Estimate(sp, year).Get(phenology.BudBreak).P50()
				o.Sightings = append(o.Sightings, phenology.Sighting{Date: usual - 12, Site: site.ID, Species: sp.ID,
					Phase: phenology.BudBreak})
			}
		}
		for _, id := range trees {
			sp := find(t, id)
			o.Known = append(o.Known, sp)
			late(sp)
		}
		if own {
			late(oak)
		}
		e := o.Estimate(oak, 2027).Get(phenology.BudBreak)
		if e.Habit != len(trees) {
			t.Errorf("learnt of %d other species, want %d", e.Habit, len(trees))
		}
		return e.Dist.Mean() - bare.Estimate(oak, 2027).Get(phenology.BudBreak).Dist.Mean()
	}
	others, own := shift(false), shift(true)
	if others > -4 || others < -11 || own > others-1 || own < -12.5 {
		t.Errorf("trees dated 12 days early move another by %.1f days, with its own dates by %.1f", others, own)
	}
}
