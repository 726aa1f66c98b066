package traits_test

import (
	"slices"
	"testing"

	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
)

// What floras say of pairs that a table of characters easily gets wrong.
func TestPairsThatTablesGetWrong(t *testing.T) {
	pair := func(d civil.Date, a, b string) traits.Pair {
		return settled(traits.NewSeparator(watches(t, school, a, b)), d)[0]
	}
	winter, spring, july := keyDays[0], keyDays[1], keyDays[2]
	// Paper birch's chalk-white bark peels in sheets, yellow birch's is yellow-gray and in thin curls, whatever the age
	// (Otis 1915, Dame & Brooks 1904): nobody needs to scrape a twig.
	for _, d := range keyDays {
		if p := pair(d, "betula-papyrifera", "betula-alleghaniensis"); p.Ease != traits.Apart {
			t.Errorf("%v: paper and yellow birch: found %v by %v", d, p.Ease, names(p.By))
		}
	}
	// Striped maple's white stripes (Otis 1915; Common Trees of Pennsylvania).
	if p := pair(july, "acer-pensylvanicum", "acer-rubrum"); p.Ease != traits.Apart {
		t.Errorf("striped and red maple in July: found %v by %v", p.Ease, names(p.By))
	}
	// Silver maple's leaf is cut deep and silvery below (Otis 1915, Common Trees of Pennsylvania, Go Botany); the teeth
	// of its edge are the weakest of the three.
	by := names(pair(july, "acer-rubrum", "acer-saccharinum").By)
	edge, underside := slices.Index(by, "leaf edge"), slices.Index(by, "leaf underside")
	if by[0] != "leaf lobe-depth" || edge >= 0 && edge < underside {
		t.Errorf("red and silver maple in July: found %v, want the lobes first and the edge behind the underside", by)
	}
	// White ash's leaf is whitish or paler below, green ash's green, in some trees paler as well (Otis 1915; Dame &
	// Brooks 1904).
	by = names(pair(july, "fraxinus-americana", "fraxinus-pennsylvanica").By)
	if slices.Contains(by, "leaf underside") {
		t.Errorf("white and green ash in July: found %v", by)
	}
	// Needles: five in white pine's bundles, two in red pine's (Otis 1915); single and flat against bundled; scales
	// against needles.
	for _, row := range [][3]string{
		{"pinus-strobus", "pinus-resinosa", "leaf needles"}, {"abies-balsamea", "pinus-strobus", "leaf arrangement"},
		{"picea-rubens", "pinus-resinosa", "leaf arrangement"}, {"thuja-occidentalis", "tsuga-canadensis", "leaf form"},
		{"abies-balsamea", "picea-glauca", "leaf needle-section"},
	} {
		if p := pair(spring, row[0], row[1]); p.Ease != traits.Apart || !slices.Contains(names(p.By), row[2]) {
			t.Errorf("%s and %s in May: found %v by %v, want %s", row[0], row[1], p.Ease, names(p.By), row[2])
		}
	}
	// Fruit that hangs on one of two tells the tree that bears it, and nothing of the other: with care.
	p := pair(civil.Of(2027, 8, 20), "acer-rubrum", "acer-saccharum")
	i := slices.IndexFunc(p.By, func(s traits.Split) bool { return s.Doubt == traits.Presence })
	if i < 0 {
		t.Errorf("red and sugar maple in August: found %v, want sugar maple's keys among them", names(p.By))
	}
	// What is there today is not promised for tomorrow.
	for d := winter; d < winter+60; d++ {
		if p := pair(d, "acer-rubrum", "acer-saccharinum"); p.Settle != nil && p.Settle.A.Name == "smell" {
			t.Fatalf("%v: red and silver maple: found smell to settle it from %v on", d, p.Settle.Span.First)
		}
	}
}
