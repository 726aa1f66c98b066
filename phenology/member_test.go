package phenology

import (
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"pgregory.net/rapid"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// The sum of the two parts is measured, so that what a day surprises by is shared out among them whole.
func TestFilterGainSharesTheWholeSurprise(t *testing.T) {
	if sum := filterGain[0] + filterGain[1]; math.Abs(sum-1) > 1e-9 || filterGain[1] < 0.01 || filterGain[1] > 0.1 {
		t.Errorf("gain %v", filterGain)
	}
}

// warmSpell is a record at 0 degrees but for a warm spell.
func warmSpell(first, last civil.Date, warm civil.Span, by float64) *Temperatures {
	s := weather.Series{First: first}
	for d := first; d <= last; d++ {
		mean := 0.0
		if warm.Contains(d) {
			mean = by
		}
		s.Put(d, weather.Day{Min: mean - 5, Max: mean + 5})
	}
	return NewTemperatures(Site{ID: "here", Latitude: 43, Longitude: -72, Zone: time.UTC}, s)
}

// daysAhead are the days of a member that differ from the donor's.
func daysAhead(t *Temperatures, mem member) []weather.Day {
	days, _ := newEnsemble(t, nil).daysAhead(mem, 0)
	return days
}

// One warm day is nearly forgotten within the week; of a warm two months something is left two months later.
func TestDaysAheadRemember(t *testing.T) {
	cut := civil.Of(2020, 4, 1)
	ahead := func(spell int) []float64 {
		temps := warmSpell(civil.Of(2010, 1, 1), civil.Of(2020, 12, 31),
			civil.Span{First: cut - civil.Date(spell) + 1, Last: cut}, 8)
		season := Season{Year: 2020}
		var means []float64
		for _, mem := range temps.members(season, cut) {
			if mem.donor == 2015 {
				for _, d := range daysAhead(temps, mem) {
					means = append(means, d.Mean())
				}
			}
		}
		return means
	}
	one, many := ahead(1), ahead(60)
	if want := 8 * (filterGain[0]*dayMemory + filterGain[1]*monthMemory); math.Abs(one[0]-want) > 1e-9 {
		t.Errorf("the day after a day 8 degrees warmer is %.3f warmer, want %.3f", one[0], want)
	}
	if len(one) > 6 && one[6] > 0.8 {
		t.Errorf("a week after one warm day it is still %.1f warmer", one[6])
	}
	if len(many) < 60 || many[59] < 0.5 || many[59] > 4 {
		t.Errorf("two months after two warm months: %d days, %.2f warmer", len(many), many[min(59, len(many)-1)])
	}
	for k := 1; k < len(many); k++ {
		if many[k] > many[k-1] {
			t.Fatalf("day %d ahead is warmer than the one before", k+1)
		}
	}
}

// Search and sums along a member agree with adding up its days one by one.
func TestRouteIsItsDaysOneByOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first := civil.Of(2010, 1, 1)
		s := weather.Series{First: first}
		noise := rapid.SliceOfN(rapid.Float64Range(-8, 8), 40, 40).Draw(t, "noise")
		for d := first; d <= civil.Of(2016, 12, 31); d++ {
			mean := 8 - 14*math.Cos(2*math.Pi*float64(d.YearDay())/365) + noise[(int(d)*7+int(d)/40)%40]
			s.Put(d, weather.Day{Min: mean - 4, Max: mean + 4})
		}
		temps := NewTemperatures(Site{ID: "here", Latitude: 43, Longitude: -72, Zone: time.UTC}, s)
		season := Season{Year: rapid.IntRange(2011, 2015).Draw(t, "year")}
		cut := season.Date(SeasonDay(rapid.IntRange(1, 200).Draw(t, "cut")))
		f := forcing{method: SineForcing, base: 4}
		members := temps.members(season, cut)
		i := rapid.IntRange(0, len(members)-1).Draw(t, "member")
		mem := members[i]
		r := memberSums{mem, temps.sum(f), newEnsemble(temps, members).sum(f)[i]}
		ahead := daysAhead(temps, mem)
		on := func(d civil.Date) float64 {
			switch k := int(d - mem.cut - 1); {
			case k < 0:
				return f.of(temps.series.At(d), 0)
			case k < len(ahead):
				return f.of(ahead[k], 0)
			}
			return f.of(temps.series.At(d+mem.shift), 0)
		}
		start := season.Date(SeasonDay(rapid.IntRange(1, 250).Draw(t, "start")))
		end := min(season.Date(lastDay), temps.Last()-max(mem.shift, 0))
		need := rapid.Float64Range(1, 900).Draw(t, "requirement")
		sum, want := 0.0, civil.Date(0)
		for d := start; d <= end; d++ {
			if got := temps.on(r, d); math.Abs(got-on(d)) > 1e-6 {
				t.Fatalf("%v adds %g, want %g", d, got, on(d))
			}
			before := sum
			sum += on(d)
			if got := temps.along(r, start, d); math.Abs(got-sum) > 1e-6 {
				t.Fatalf("%v to %v: %g, want %g", start, d, got, sum)
			}
			if want == 0 && sum >= need && before < need-1e-6 && sum > need+1e-6 {
				want = d
			}
		}
		got, part, ok := temps.crossing(r, start, end, need)
		if ok != (want != 0) && math.Abs(sum-need) > 1e-5 || ok && want != 0 && got != want ||
			ok && (part < 0 || part > 1) {
			t.Fatalf("%g from %v on: %v, %v, %t; want %v", need, start, got, part, ok, want)
		}
	})
}

// Held against what came, at a place and in years whose weather is on record, the days ahead are nearer than those of
// the other years as they were. Source: Environment and Climate Change Canada, station Montreal Trudeau, daily data
// 1995 to 2013.
func TestDaysAheadAtMontreal(t *testing.T) {
	files, _ := filepath.Glob("../../shared/data/montreal/*7025250*.csv")
	if len(files) == 0 {
		t.Skip("the open observations are not here")
	}
	var parts []weather.Series
	for _, name := range files {
		data, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		rec, err := weather.Read(data, name, weather.Options{})
		data.Close()
		if err != nil {
			t.Fatal(err)
		}
		parts = append(parts, rec.Series)
	}
	temps := NewTemperatures(Site{ID: "dorval", Latitude: 45.47, Longitude: -73.75, Zone: time.UTC},
		weather.Fill(weather.Merge(parts...)))
	for _, spring := range []struct {
		days int
		less float64 // share of the squared error that memory must take away
	}{{7, 0.08}, {14, 0.05}, {30, 0.05}} {
		var with, without float64
		for year := 1996; year <= 2012; year++ {
			season := Season{Year: year}
			for day := 40; day <= 130; day += 3 {
				cut := season.Date(SeasonDay(day))
				came, told, plain, n := 0.0, 0.0, 0.0, 0.0
				for k := 1; k <= spring.days; k++ {
					came += temps.series.At(cut + civil.Date(k)).Mean()
				}
				for _, mem := range temps.members(season, cut) {
					if mem.cut+mem.shift+civil.Date(spring.days) > temps.Last() ||
						mem.cut+mem.shift < temps.series.First {
						continue
					}
					n++
					ahead := daysAhead(temps, mem)
					for _, d := range ahead[:min(len(ahead), spring.days)] {
						told += d.Mean()
					}
					for j := 1; j <= spring.days; j++ {
						mean := temps.series.At(cut + mem.shift + civil.Date(j)).Mean()
						plain += mean
						if j > len(ahead) {
							told += mean
						}
					}
				}
				with += (told/n - came) * (told/n - came)
				without += (plain/n - came) * (plain/n - came)
			}
		}
		t.Logf("next %d days: %.1f %% of the squared error taken away", spring.days, 100*(1-with/without))
		if with > (1-spring.less)*without {
			t.Errorf("next %d days: squared error %.0f, by other years as they were %.0f", spring.days, with, without)
		}
	}
}
