package seed

import (
	"math"
	"math/rand/v2"
	"testing"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

func normalAt(p phenology.Phase, day, sd float64) phenology.Estimate {
	return phenology.Estimate{Phase: p, Season: phenology.Season{Year: 2027}, Basis: phenology.BasisPlace,
		Dist: phenology.Distribution{{Mean: day, SD: sd, Weight: 1}}}
}

func estimatesOf(list ...phenology.Estimate) phenology.Estimates {
	return phenology.Estimates{Species: &phenology.Species{ID: "arbor-exempli", Common: []string{"example tree"}}, Season: phenology.Season{Year: 2027}, List: list}
}

// The chances against a simulation that draws the opening day and the stay and counts.
func TestSeedTimeAgainstASimulation(t *testing.T) {
	// Ripe on day 140 give or take 9; half down midway between a fall 5+-3 days later and an end 14+-5 days after that.
	est := estimatesOf(normalAt(phenology.FruitRipe, 140, 9), normalAt(phenology.SeedFall, 145, math.Hypot(9, 3)),
		normalAt(phenology.SeedFallEnd, 159, math.Hypot(9, math.Hypot(3, 5))))
	st, ok := seedTimeOf(est, phenology.WhileFalling)
	if !ok {
		t.Fatal("no dates")
	}
	if want := 5 + 14/2.; math.Abs(st.stay-want) > 1e-9 {
		t.Errorf("it stays for %v days, want %v", st.stay, want)
	}
	if want := math.Sqrt(9 + 25/4.); math.Abs(st.sd-want) > 1e-9 { // above a quarter of the stay
		t.Errorf("give or take %v days, want %v", st.sd, want)
	}
	best, visit := st.best()
	window := st.window()
	r := rand.New(rand.NewPCG(1, 2))
	const n = 200_000
	onBest, inWindow := 0, 0
	season := phenology.Season{Year: 2027}
	for range n {
		opens := season.Nearest(140 + 9*r.NormFloat64())
		last := opens
		for stay := 12 + st.sd*r.NormFloat64(); float64(last-opens)+1 < stay; {
			last++
		}
		if opens <= best && best <= last {
			onBest++
		}
		if opens <= window.Last && last >= window.First {
			inWindow++
		}
	}
	// Half a percent is four standard errors of the simulation.
	if got := float64(onBest) / n; math.Abs(got-visit) > 0.005 {
		t.Errorf("one visit on %s: %.4f, the simulation has %.4f", best, visit, got)
	}
	if got, p := float64(inWindow)/n, st.within(window); math.Abs(got-p) > 0.005 {
		t.Errorf("some day of %v: %.4f, the simulation has %.4f", window, p, got)
	}
}

func TestSeedTimeByGathering(t *testing.T) {
	est := estimatesOf(normalAt(phenology.FruitRipe, 250, 8), normalAt(phenology.SeedFall, 262, 9), normalAt(phenology.SeedFallEnd, 302, 13))
	var windows []civil.Span
	for _, g := range []phenology.Gathering{phenology.BeforeFall, phenology.WhileFalling, phenology.OnceFallen} {
		st, ok := seedTimeOf(est, g)
		if !ok {
			t.Fatal(g, "has no dates")
		}
		windows = append(windows, st.window())
	}
	cones, keys, nuts := windows[0], windows[1], windows[2]
	if cones.Last >= keys.Last || cones.First > keys.First {
		t.Errorf("cones before they open %v, samaras while they fall %v", cones, keys)
	}
	if nuts.First <= keys.First || nuts.First < (phenology.Season{Year: 2027}).Date(250) {
		t.Errorf("nuts from the ground %v, samaras from the tree %v", nuts, keys)
	}
	if _, ok := seedTimeOf(estimatesOf(normalAt(phenology.FruitRipe, 250, 8)), phenology.WhileFalling); ok {
		t.Error("dated although nobody knows when it falls")
	}
}

// A ripe date that was seen leaves no doubt: the best day is that day.
func TestSeedTimeOfWhatWasSeen(t *testing.T) {
	ripe := normalAt(phenology.FruitRipe, 140, 0)
	ripe.Basis = phenology.BasisSeen
	st, _ := seedTimeOf(estimatesOf(ripe, normalAt(phenology.SeedFall, 145, 3), normalAt(phenology.SeedFallEnd, 159, 6)), phenology.WhileFalling)
	on := phenology.Season{Year: 2027}.Date(140)
	best, visit := st.best()
	if best != on || visit < 0.999 {
		t.Errorf("best %s with %v, want %s and certainty", best, visit, on)
	}
	if w := st.window(); w.First != on || w.Last < on+9 || w.Last > on+15 {
		t.Errorf("window %v, want from %s for the twelve days that it stays", w, on)
	}
}

func TestFitTreatment(t *testing.T) {
	cold := func(lo, hi int) phenology.TreatmentStep {
		return phenology.TreatmentStep{Kind: phenology.ColdStratify, MinDays: lo, MaxDays: hi}
	}
	warm := func(lo, hi int) phenology.TreatmentStep {
		return phenology.TreatmentStep{Kind: phenology.WarmStratify, MinDays: lo, MaxDays: hi}
	}
	long := phenology.Pretreatment{Steps: []phenology.TreatmentStep{warm(60, 60), cold(210, 210)}} // green ash, deep
	short := phenology.Pretreatment{Steps: []phenology.TreatmentStep{cold(60, 150)}}               // green ash, Agriculture Handbook 727
	for _, tt := range []struct {
		name     string
		list     []phenology.Pretreatment
		days     int
		want     []int
		squeezed bool
		fits     bool
	}{
		{"time for the middle", []phenology.Pretreatment{short}, 200, []int{105}, false, true},
		{"the middle to the day", []phenology.Pretreatment{short}, 105, []int{105}, false, true},
		{"between least and middle", []phenology.Pretreatment{short}, 80, []int{80}, true, true},
		{"the least to the day", []phenology.Pretreatment{short}, 60, []int{60}, true, true},
		{"a day short", []phenology.Pretreatment{short}, 59, nil, false, false},
		{"the first of two", []phenology.Pretreatment{long, short}, 270, []int{60, 210}, false, true},
		{"no time for the first of two", []phenology.Pretreatment{long, short}, 269, []int{105}, false, true},
	} {
		got, fits := fitTreatment(tt.list, tt.days)
		if fits != tt.fits {
			t.Errorf("%s: fits %v, want %v", tt.name, fits, tt.fits)
			continue
		}
		if !fits {
			if got.least != 60 {
				t.Errorf("%s: it needs at least %d, want 60", tt.name, got.least)
			}
			continue
		}
		if got.Squeezed != tt.squeezed || len(got.Steps) != len(tt.want) {
			t.Errorf("%s: %+v, want steps of %v days", tt.name, got, tt.want)
			continue
		}
		total := 0
		for i, s := range got.Steps {
			total += s.Days
			if s.Days != tt.want[i] || s.Days < s.Of.MinDays || s.Days > s.Of.MaxDays {
				t.Errorf("%s: step %d takes %d days, want %d", tt.name, i+1, s.Days, tt.want[i])
			}
		}
		if total > tt.days {
			t.Errorf("%s: takes %d days of %d", tt.name, total, tt.days)
		}
	}
}
