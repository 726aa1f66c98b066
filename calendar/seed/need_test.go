package seed_test

import (
	"math"
	"slices"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/seed"
	"treewhen/phenology/civil"
)

// What 10,000 seedlings take, of which 70 in 100 of what comes up live: 14,286 seeds that germinate. Beside it, by
// hand, the same from the Woody Plant Seed Manual (Agriculture Handbook 727, 2008): germination, cleaned seeds a
// kilogram and yield of the tables of each genus, the middles of runs taken as the square root of their ends' product.
// Where the profiles go by another source for the seeds in a kilogram, such as Prunus, whose figures in the manual look
// low, the row has theirs.
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

// A target of a seed zone goes with that zone's stands alone; one of none with all; without a figure nothing is made
// up.
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

// What is in hand counts: by its weight and its test, else by the fruit gathered; not what was lost, what is of another
// zone, or what is of an earlier season and sown. The zone's 10,000 cherries take 14,286 / 0.88 / 8090 = 2.0 kg of
// clean seed, by hand of the middles that TestTenThousandSeedlings names.
func TestLotsInHandCount(t *testing.T) {
	kg := func(n calendar.LotNote, x float64) calendar.LotNote {
		n.Quantity, n.Unit, n.SeedZone = x, "kg", "A"
		return n
	}
	percent := note(t, "BC-1", "2027-09-10", calendar.LotTested)
	percent.Quantity, percent.Unit = 44, "percent"
	water := percent
	water.Unit = "percent-water"
	up := note(t, "BC-1", "2028-06-01", calendar.LotCameUp)
	up.Quantity, up.Unit = 10_000, "seedlings"
	collected, cleaned := note(t, "BC-1", "2027-08-20", calendar.LotCollected), note(t, "BC-1", "2027-08-23", calendar.LotCleaned)
	old := note(t, "BC-0", "2026-08-20", calendar.LotCollected)
	elsewhere := kg(note(t, "BC-9", "2027-08-20", calendar.LotCollected), 40)
	elsewhere.SeedZone = "B"
	for _, row := range []struct {
		name string
		book []calendar.LotNote
		want float64 // kilograms of clean seed in hand; below 0: nothing in hand
	}{
		{"nothing", nil, -1},
		{"cleaned", []calendar.LotNote{kg(collected, 9), kg(cleaned, 1.5)}, 1.5},
		{"by fruit", []calendar.LotNote{kg(collected, 5)}, 5 * 0.21}, // Prunus, table 4: 13 to 33 % of the fruit
		{"half of what it should be germinates", []calendar.LotNote{kg(collected, 9), kg(cleaned, 1.5), percent}, 0.75},
		{"how wet it is counts for nothing", []calendar.LotNote{kg(collected, 9), kg(cleaned, 1.5), water}, 1.5},
		{"seedlings", []calendar.LotNote{kg(collected, 9), kg(cleaned, 1.5), up}, 0.7 * 2.0},
		{"not weighed", []calendar.LotNote{collected}, 0},
		{"lost", []calendar.LotNote{kg(collected, 9), note(t, "BC-1", "2027-09-01", calendar.LotDiscarded)}, -1},
		{"kept from the year before", []calendar.LotNote{kg(old, 5), kg(cleaned, 1.5)}, 5 * 0.21},
		{
			"of the year before and sown",
			[]calendar.LotNote{kg(old, 5), note(t, "BC-0", "2027-05-01", calendar.LotSown)}, -1,
		},
		{"another zone's", []calendar.LotNote{elsewhere}, -1},
	} {
		p := calendartest.Nursery()
		p.Stands = stands(t, "black cherry")
		p.Stands[0].SeedZone, p.Stands[1].SeedZone = "A", "A"
		target := calendar.Target{Species: "prunus-serotina", SeedZone: "A", Seedlings: 10_000}
		for _, n := range row.book {
			if n.SeedZone != "B" {
				target.Lots = append(target.Lots, n)
			}
		}
		if row.name == "kept from the year before" {
			target.Lots = target.Lots[:1]
		}
		p.Options.Seed.Targets = []calendar.Target{target}
		for _, e := range only(buildSeed(p), "prunus-serotina", 2027, calendar.TaskCollect) {
			n := e.Facts.(*seed.Collection).Need
			if row.want < 0 {
				if n.InHand != nil || math.Abs(n.CleanKG.Mid/2-1) > 0.05 {
					t.Errorf("%s: found %+v in hand, %+v to bring, want none and 2.0 kg", row.name, n.InHand, n.CleanKG)
				}
				continue
			}
			if n.InHand == nil || math.Abs(n.InHand.CleanKG-row.want) > 0.05*row.want {
				t.Errorf("%s: found %+v in hand, want %.2f kg", row.name, n.InHand, row.want)
				continue
			}
			all, left := n.InHand.InAll, n.Quantities
			want := max(0, all.CleanKG.Mid-n.InHand.CleanKG)
			if math.Abs(left.CleanKG.Mid-want) > 1e-9 || math.Abs(left.FruitKG.Mid/all.FruitKG.Mid-want/all.CleanKG.Mid) > 1e-9 {
				t.Errorf("%s: found %+v of %+v left", row.name, left, all)
			}
		}
	}
}

// Where all is collected and it is too little, that is told; where a stand is still to come, it is not.
func TestShortOfATarget(t *testing.T) {
	for _, row := range []struct {
		gathered float64 // kilograms of fruit
		zones    string
		want     bool
	}{{2, "AB", true}, {2, "AA", false}, {30, "AB", false}} {
		p := calendartest.Nursery()
		p.Stands = stands(t, "black cherry")
		p.Stands[0].SeedZone, p.Stands[1].SeedZone = row.zones[:1], row.zones[1:]
		n := note(t, "BC-1", "2027-08-20", calendar.LotCollected)
		n.Quantity, n.Unit, n.SeedZone = row.gathered, "kg", "A"
		p.Lots = []calendar.LotNote{n}
		p.Options.Seed.Targets = []calendar.Target{{Species: "prunus-serotina", SeedZone: "A", Seedlings: 10_000, Lots: p.Lots}}
		asOf := calendartest.Day("2027-08-22")
		s := buildtest.Schedule(&calendar.Plan{
			AsOf: asOf, Span: civil.Span{First: asOf, Last: asOf + 300}, Places: []*calendar.Place{p},
		})
		found := slices.ContainsFunc(s.Notes, func(n calendar.Note) bool { _, ok := n.Says.(*seed.Short); return ok })
		if found != row.want {
			t.Errorf("%g kg, zones %s: found it told: %v", row.gathered, row.zones, found)
		}
	}
}
