package tapping

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"treewhen/phenology"
)

func TestCrewTakesTheBushesInTurn(t *testing.T) {
	curve := func(best phenology.SeasonDay, slope float64) *Decision {
		d := &Decision{Terms: Terms{Today: 40}, Best: best, Caught: 1}
		for day := phenology.SeasonDay(40); day < 120; day++ {
			d.Curve = append(d.Curve, 1-slope*math.Abs(float64(day-best)))
		}
		return d
	}
	for _, c := range []struct {
		name string
		jobs []crewJob
		want []phenology.SeasonDay
	}{
		// Begun on day 60 the first loses nothing and the second, on day 64, two days; begun on 58 it is the other way
		// round, and the earlier of days as good is taken.
		{"in each other's way", []crewJob{newCrewJob(4, 1, curve(60, 0.01)), newCrewJob(4, 1, curve(62, 0.01))},
			[]phenology.SeasonDay{58, 62}},
		{"the second has more taps", []crewJob{newCrewJob(4, 100, curve(60, 0.01)),
			newCrewJob(4, 900, curve(62, 0.01))}, []phenology.SeasonDay{58, 62}},
		{"the first has more taps", []crewJob{newCrewJob(4, 900, curve(60, 0.01)),
			newCrewJob(4, 100, curve(62, 0.01))}, []phenology.SeasonDay{60, 64}},
		{"a rest between two", []crewJob{newCrewJob(4, 1, curve(60, 0.01)), newCrewJob(4, 1, curve(80, 0.01))},
			[]phenology.SeasonDay{60, 80}},
		{"three in a row", []crewJob{newCrewJob(5, 1, curve(60, 0.01)), newCrewJob(5, 1, curve(60, 0.01)),
			newCrewJob(5, 1, curve(60, 0.01))}, []phenology.SeasonDay{55, 60, 65}},
		{"best today, nothing before it", []crewJob{newCrewJob(3, 1, curve(40, 0.01)),
			newCrewJob(3, 1, curve(41, 0.01))}, []phenology.SeasonDay{40, 43}},
		{"two species of a bush", []crewJob{newCrewJob(2, 1, curve(60, 0.01), curve(70, 0.03)),
			newCrewJob(2, 1, curve(90, 0.01))}, []phenology.SeasonDay{70, 90}},
	} {
		if got := crewDays(c.jobs); !slices.Equal(got, c.want) {
			t.Errorf("%s: begin on %v, want %v", c.name, got, c.want)
		}
	}
}

// What [crewDays] finds loses no more than any other days do, tried one by one.
func TestCrewLosesTheLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var jobs []crewJob
		for range rapid.IntRange(1, 3).Draw(t, "bushes") {
			d := &Decision{Terms: Terms{Today: 50},
				Curve: rapid.SliceOfN(rapid.Float64Range(0, 1), 1, 9).Draw(t, "curve")}
			jobs = append(jobs, newCrewJob(rapid.IntRange(1, 3).Draw(t, "days"),
				float64(rapid.IntRange(1, 900).Draw(t, "taps")), d))
		}
		loss := func(days []phenology.SeasonDay) (sum float64) {
			for i := range jobs {
				sum += jobs[i].weight * jobs[i].lost(days[i])
			}
			return sum
		}
		got := crewDays(jobs)
		for i := 1; i < len(got); i++ {
			if got[i] < got[i-1]+phenology.SeasonDay(jobs[i-1].days) {
				t.Fatalf("days %v overlap", got)
			}
		}
		var try func(days []phenology.SeasonDay, free phenology.SeasonDay)
		try = func(days []phenology.SeasonDay, free phenology.SeasonDay) {
			if len(days) == len(jobs) {
				if loss(days) < loss(got)-1e-6 {
					t.Fatalf("%v loses %v, %v only %v", got, loss(got), days, loss(days))
				}
				return
			}
			for day := free; day <= 62; day++ {
				try(append(slices.Clone(days), day), day+phenology.SeasonDay(jobs[len(days)].days))
			}
		}
		try(nil, 50)
	})
}
