package seed_test

import (
	"math"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/seed"
)

// What 10,000 seedlings take, of which 70 in 100 of what comes up live: 14,286 seeds that germinate. Beside it, by hand,
// the same from the Woody Plant Seed Manual (Agriculture Handbook 727, 2008): germination, cleaned seeds a kilogram and
// yield of the tables of each genus, the middles of runs taken as the square root of their ends' product. Where the
// profiles go by another source for the seeds in a kilogram, such as Prunus, whose figures in the manual look low, the row
// has theirs.
func TestTenThousandSeedlings(t *testing.T) {
	mid := func(low, high float64) float64 { return math.Sqrt(low * high) }
	for _, row := range []struct {
		species           string
		germinates, perKG float64 // percent; seeds
		percent, perHL    float64 // clean seed of the fruit's weight; kilograms of clean seed a hectolitre; 0: not in the manual
	}{
		{"flowering dogwood", mid(14, 45), mid(7300, 13600), mid(17, 41), 0},           // Cornus, tables 4 and 6
		{"red-osier dogwood", 57, mid(30400, 58700), mid(13, 18), 0},                   // Cornus
		{"black cherry", mid(86, 90), mid(5500, 11900), mid(6./45*100, 15./45*100), 0}, // Prunus, tables 4 and 6
		{"chokecherry", 77, mid(12300, 16300), mid(8./45*100, 11./45*100), 0},          // Prunus
		{"common elderberry", 63, mid(385000, 713000), mid(3.2/45*100, 8.2/45*100), 0}, // Sambucus, table 4
		{"eastern redbud", mid(67, 100), mid(30870, 55100), mid(20, 35), 0},            // Cercis, table 4
		{"northern red oak", mid(39, 85), mid(165, 565), 0, mid(28, 134)},              // Quercus, tables 4 and 5
		{"white oak", mid(50, 99), mid(155, 465), 0, mid(58, 129)},                     // Quercus
		{"black oak", 47, mid(275, 882), 0, mid(53, 63)},                               // Quercus
		{"bur oak", mid(28, 85), mid(90, 300), 0, mid(39, 45)},                         // Quercus
		{"shagbark hickory", mid(73, 80), mid(176, 331), 0, mid(38, 49)},               // Carya
		{"bitternut hickory", mid(55, 60), 344, 0, 51},                                 // Carya
		{"pignut hickory", 85, mid(143, 496), 0, 51},                                   // Carya
	} {
		sp := find(t, row.species)[0]
		n := seed.NeedOf(sp, calendar.Target{Species: sp.ID, Seedlings: 10_000}, 0.7)
		seeds := 10_000 / 0.7 / (row.germinates / 100)
		clean := seeds / row.perKG
		near := func(what string, a seed.Amount, want float64) {
			if math.Abs(a.Mid/want-1) > 0.08 { // profiles round what the tables print
				t.Errorf("%s: found %.4g %s, want %.4g", row.species, a.Mid, what, want)
			}
			if !(a.Low < a.Mid && a.Mid < a.High && a.High < 10*a.Low) {
				t.Errorf("%s: found %s of %.3g to %.3g, want a spread, and not one of ten times", row.species, what, a.Low, a.High)
			}
		}
		near("seeds", n.Seeds, seeds)
		near("kg of clean seed", n.CleanKG, clean)
		if row.percent > 0 {
			near("kg of fruit", n.FruitKG, clean/(row.percent/100))
		}
		if row.perHL > 0 {
			near("l of fruit", n.FruitL, clean/(row.perHL/100))
		}
		t.Logf("%-18s %7.0f seeds, %7.2f kg clean (%.2f to %.2f), fruit %.0f kg, %.0f l", row.species, n.Seeds.Mid,
			n.CleanKG.Mid, n.CleanKG.Low, n.CleanKG.High, n.FruitKG.Mid, n.FruitL.Mid)
	}
}

// A target of a seed zone goes with that zone's stands alone; one of none with all; without a figure nothing is made up.
func TestTargetsByZone(t *testing.T) {
	p := calendartest.Nursery()
	p.Stands = stands(t, "black cherry", "American beech")
	p.Stands[0].SeedZone, p.Stands[1].SeedZone = "A", "B"
	p.Options.Seed.Targets = []calendar.Target{
		{Species: "prunus-serotina", SeedZone: "B", Seedlings: 500}, {Species: "fagus-grandifolia", Seedlings: 100},
	}
	s := buildSeed(p)
	for _, e := range only(s, "prunus-serotina", 2027, calendar.TaskCollect) {
		n := e.Facts.(*seed.Collection).Need
		if wanted := e.Stand.SeedZone == "B"; (n != nil) != wanted {
			t.Errorf("zone %s: found a need %v", e.Stand.SeedZone, n)
		}
	}
	for _, e := range only(s, "fagus-grandifolia", 2027, calendar.TaskCollect) {
		if n := e.Facts.(*seed.Collection).Need; n == nil || n.Seeds.Known() || n.CleanKG.Known() {
			t.Errorf("beech, of whose germination the profile says nothing: found %+v", n)
		}
	}
}
