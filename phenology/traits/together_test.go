package traits_test

import (
	"errors"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"treewhen/cmd/fitprofiles/opendata"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
)

// normalSpell is a spell whose ends are normally distributed over days of 2027; an end far off is day 360.
func normalSpell(from, fromSD, to, toSD float64) *traits.Spell {
	season := school.Season(2027)
	end := func(mean, sd float64) phenology.Estimate {
		return phenology.Estimate{Season: season, Basis: phenology.BasisRecord,
			Dist: phenology.Distribution{{Mean: mean, SD: sd, Weight: 1}}}
	}
	return &traits.Spell{From: end(from, fromSD), To: end(to, toSD)}
}

// Whatever species have to do with each other, at least one of them shows a thing no less likely than the likeliest
// does and no more likely than all chances together; all of them no more likely than the least likely (Fréchet's
// bounds).
func TestTogetherKeepsToTheBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := civil.Of(2027, 4, 1) + civil.Date(rapid.IntRange(0, 60).Draw(t, "day"))
		var spells []*traits.Spell
		sum, most, least := 0.0, 0.0, 1.0
		for range rapid.IntRange(1, 8).Draw(t, "species") {
			from := rapid.Float64Range(80, 150).Draw(t, "from")
			s := normalSpell(from, rapid.Float64Range(0, 12).Draw(t, "sd"),
				from+rapid.Float64Range(3, 40).Draw(t, "length"), rapid.Float64Range(0, 12).Draw(t, "end"))
			spells = append(spells, s)
			p := s.On(d)
			sum, most, least = sum+p, max(most, p), min(least, p)
		}
		const numeric = 0.02 // 64 seasons
		if p := traits.AnyOn(spells, d); p < most-numeric || p > min(1, sum)+numeric || p > 1 {
			t.Errorf("any: found %v, want %v to %v", p, most, min(1, sum))
		}
		all := traits.AllOn(spells, d, 0)
		if all < max(0, sum-float64(len(spells)-1))-numeric || all > least+numeric || all < 0 {
			t.Errorf("all: found %v, want at most %v", all, least)
		}
		enough := rapid.Float64Range(0, 1).Draw(t, "enough")
		if p := traits.AllOn(spells, d, enough); p != all && (p >= enough || all >= enough) {
			t.Errorf("all: found %v where %v is enough, want %v", p, enough, all)
		}
		if len(spells) == 1 && traits.AnyOn(spells, d) != spells[0].On(d) {
			t.Error("one species: found another chance than its own")
		}
	})
}

// The same by drawing seasons: every species' deviate is part common and part its own, with the correlation of the doc
// comment.
func TestTogetherBySimulation(t *testing.T) {
	spells := []*traits.Spell{
		normalSpell(95, 8, 104, 9), normalSpell(104, 7, 114, 8), normalSpell(113, 6, 125, 8),
		normalSpell(117, 6, 128, 8),
	}
	random := rand.New(rand.NewPCG(1, 2))
	const draws, rho = 40_000, 0.65
	for _, d := range []civil.Date{civil.Of(2027, 4, 12), civil.Of(2027, 4, 22), civil.Of(2027, 5, 3)} {
		anyOf, all := 0, 0
		for range draws {
			z := random.NormFloat64()
			n := 0
			for _, s := range spells {
				u := 0.5 * math.Erfc(-(math.Sqrt(rho)*z+math.Sqrt(1-rho)*random.NormFloat64())/math.Sqrt2)
				if s.Gone(d) < u && u <= s.Come(d) {
					n++
				}
			}
			if n > 0 {
				anyOf++
			}
			if n == len(spells) {
				all++
			}
		}
		// Three standard errors of the draws, and what 64 seasons leave.
		const tolerance = 0.012
		if got, want := traits.AnyOn(spells, d), float64(anyOf)/draws; math.Abs(got-want) > tolerance {
			t.Errorf("%v: any: found %.3f, drawn %.3f", d, got, want)
		}
		if got, want := traits.AllOn(spells, d, 0), float64(all)/draws; math.Abs(got-want) > tolerance {
			t.Errorf("%v: all: found %.3f, drawn %.3f", d, got, want)
		}
	}
}

// How often the last and the first of several species had come by a day, in the years of Harvard Forest's archive
// (HF003, CC BY), against what each species' own mean and spread give: closer than if every species had a spring of its
// own, and closer than if all were early or late in step.
func TestTogetherAtHarvardForest(t *testing.T) {
	forest, err := opendata.HarvardForest(os.DirFS("../../../shared/data/harvard-forest"))
	if errors.Is(err, fs.ErrNotExist) {
		t.Skip("the open data are not beside the project")
	}
	if err != nil {
		t.Fatal(err)
	}
	var total [3]float64
	for _, phase := range []phenology.Phase{phenology.BudBreak, phenology.Flowering, phenology.LeafOut,
		phenology.LeafColor, phenology.LeafFall} {
		// Species seen in the same years: one that was not seen has not come.
		var seen []map[int]float64
		var years []int
		for _, id := range []string{"acer-rubrum", "acer-saccharum", "acer-pensylvanicum", "betula-alleghaniensis",
			"fagus-grandifolia", "fraxinus-americana", "quercus-rubra"} {
			if y := forest.Years(id, phase); len(y) >= 12 {
				seen = append(seen, y)
			}
		}
		for y := 1990; y <= 2005; y++ {
			if !slices.ContainsFunc(seen, func(s map[int]float64) bool { _, ok := s[y]; return !ok }) {
				years = append(years, y)
			}
		}
		if len(seen) < 3 || len(years) < 8 {
			t.Logf("%v: %d species in %d years, too few", phase, len(seen), len(years))
			continue
		}
		var spells []*traits.Spell
		for _, s := range seen {
			mean, square := 0.0, 0.0
			for _, y := range years {
				mean += s[y] / float64(len(years))
			}
			for _, y := range years {
				square += (s[y] - mean) * (s[y] - mean)
			}
			spells = append(spells, normalSpell(mean, math.Sqrt(square/float64(len(years)-1)), 3000, 1))
		}
		var ours, apart, inStep float64
		for d := civil.Of(2027, 1, 1); d <= civil.Of(2027, 12, 31); d++ {
			anyOf, all := 0.0, 0.0
			for _, y := range years {
				n := 0
				for _, s := range seen {
					if s[y] <= float64(d.YearDay()) {
						n++
					}
				}
				if n > 0 {
					anyOf += 1 / float64(len(years))
				}
				if n == len(seen) {
					all += 1 / float64(len(years))
				}
			}
			none, every, least, most := 1.0, 1.0, 1.0, 0.0
			for _, s := range spells {
				p := s.On(d)
				none, every, least, most = none*(1-p), every*p, min(least, p), max(most, p)
			}
			ours += math.Abs(traits.AnyOn(spells, d)-anyOf) + math.Abs(traits.AllOn(spells, d, 0)-all)
			apart += math.Abs(1-none-anyOf) + math.Abs(every-all)
			inStep += math.Abs(most-anyOf) + math.Abs(least-all)
		}
		t.Logf("%v, %d species, %d years: %.1f days off together, %.1f each by itself, %.1f in step", phase, len(seen),
			len(years), ours, apart, inStep)
		if ours > apart {
			t.Errorf("%v: %.1f days off, each species by itself %.1f", phase, ours, apart)
		}
		total[0], total[1], total[2] = total[0]+ours, total[1]+apart, total[2]+inStep
	}
	// Bud break alone is nearer to being in step.
	if total[0] > total[1] || total[0] > total[2] {
		t.Errorf("all phases: %.1f days off, each species by itself %.1f, in step %.1f", total[0], total[1], total[2])
	}
}
