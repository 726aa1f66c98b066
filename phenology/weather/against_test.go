package weather

import (
	"math"
	"strings"
	"testing"
	"time"

	"treewhen/phenology/civil"
)

// Monthly normals 1991-2020 of the grid cell at each place. Source: CRU CL 2.0 (New and others 2002, Climate Research
// 21:1-25), brought to 1991-2020 by NOAA's gridded climate normals, as a quarter-degree grid; its error east of 100 W is
// 0.73, against nine series of stations.
const gridError = 0.73

func gridCell(elevation float64, low, high [12]float64) Normals {
	return Normals{Station: Station{Elevation: &elevation}, Min: low, Max: high}
}

var (
	montrealGrid = gridCell(41, [12]float64{-13.9, -12.8, -6.6, 0.7, 7.1, 12.3, 15.2, 14.0, 9.3, 3.6, -1.6, -10.0},
		[12]float64{-4.7, -3.2, 2.5, 10.9, 18.7, 23.6, 26.4, 24.8, 19.8, 13.0, 5.6, -1.8})
	harvardGrid = gridCell(324, [12]float64{-10.8, -9.8, -4.8, 0.2, 6.1, 11.2, 14.1, 13.2, 8.7, 2.8, -1.3, -7.5},
		[12]float64{0.1, 1.5, 6.4, 13.2, 20.0, 24.5, 27.1, 25.9, 21.6, 15.8, 8.8, 2.0})
)

// climateRecord is a real record beside its climate.
type climateRecord struct {
	name      string
	series    Series
	elevation float64
	normals   Normals
}

func climateRecords(t *testing.T) []climateRecord {
	automatic, manual := harvard(t)
	return []climateRecord{
		{"Montreal", mergeAll(montreal(t)), 36, montrealGrid},
		{"Harvard Forest, automatic", automatic.Series, 340, harvardGrid},
		{"Harvard Forest, by hand", manual.Series, 340, harvardGrid},
	}
}

func (r climateRecord) against(s Series) Verdict {
	return Against(r.normals, gridError, Source{Name: r.name, Series: s, Elevation: &r.elevation})
}

// windows are all stretches of so many whole months.
func windows(s Series, months int) (list []Series) {
	y, m, _ := s.First.Date()
	for ; ; m++ {
		from, to := civil.Of(y, m, 1), civil.Of(y, m+time.Month(months), 1)-1
		if to > s.Last() {
			return list
		}
		if from >= s.First {
			list = append(list, clip(s, civil.Span{First: from, Last: to}))
		}
	}
}

func altered(s Series, alter func(d Day) Day) Series {
	out := Series{First: s.First, Days: make([]Day, len(s.Days))}
	for i, d := range s.Days {
		out.Days[i] = alter(d)
	}
	return out
}

// slipsOfClimate are the faults that can be put into a record, and what each must be found as.
var slipsOfClimate = []struct {
	kind  Mismatch
	alter func(s Series) Series
}{
	{FahrenheitRead, func(s Series) Series {
		return altered(s, func(d Day) Day { return Day{Min: d.Min*1.8 + 32, Max: d.Max*1.8 + 32, Flags: d.Flags} })
	}},
	{CelsiusConverted, func(s Series) Series {
		return altered(s, func(d Day) Day { return Day{Min: (d.Min - 32) / 1.8, Max: (d.Max - 32) / 1.8, Flags: d.Flags} })
	}},
	{SwappedExtremes, func(s Series) Series {
		return altered(s, func(d Day) Day { return Day{Min: d.Max, Max: d.Min, Flags: d.Flags} })
	}},
	{OtherHemisphere, func(s Series) Series { // half a year on
		return Series{First: civil.Of(s.First.Year(), s.First.Month()+6, 1), Days: s.Days}
	}},
	{WarmerThanClimate, func(s Series) Series {
		return altered(s, func(d Day) Day { return Day{Min: d.Min + 8, Max: d.Max + 8, Flags: d.Flags} })
	}},
	{ColderThanClimate, func(s Series) Series {
		return altered(s, func(d Day) Day { return Day{Min: d.Min - 8, Max: d.Max - 8, Flags: d.Flags} })
	}},
}

// Real records against the grid: no month, season or year of a sound one is doubted; of one with a slip, every year is,
// and named rightly. Sources: as in TestPublishedFiles.
func TestAgainstRealRecords(t *testing.T) {
	for _, r := range climateRecords(t) {
		if v := r.against(r.series); v.Kind != Agrees || math.Abs(v.Off()) > 1.2 {
			t.Errorf("%s, all of it: %+v", r.name, v)
		}
		for _, months := range []int{1, 2, 3, 6, 12} {
			judged := 0
			for _, s := range windows(r.series, months) {
				if v := r.against(s); v.Kind != Unjudged {
					judged++
					if v.Kind != Agrees {
						t.Errorf("%s, %v: %+v", r.name, s.Span(), v)
					}
				}
			}
			if judged < 100 {
				t.Errorf("%s: only %d stretches of %d months", r.name, judged, months)
			}
		}
		for _, slip := range slipsOfClimate {
			for _, months := range []int{1, 3, 6, 12, len(r.series.Days) / 31} {
				found, named, judged := 0, 0, 0
				for _, s := range windows(r.series, months) {
					v := r.against(slip.alter(s))
					if v.Kind == Unjudged {
						continue
					}
					judged++
					if v.Kind != Agrees {
						found++
					}
					if v.Kind == slip.kind {
						named++
					} else if months >= 12 {
						t.Errorf("%s, %s in %v: %+v", r.name, slip.kind, s.Span(), v)
					}
				}
				t.Logf("%s, %s, %d months: %d of %d found, %d named", r.name, slip.kind, months, found, judged, named)
			}
		}
	}
}

// Of an invented place everything is known: its normals, and by how much the thermometer is off.
func TestAgainstTellsByHowMuch(t *testing.T) {
	var n Normals
	for m := range 12 {
		mid := float64(yearDay(civil.Of(2027, time.Month(m+1), 15)))
		mean := 7 - 14*math.Cos(2*math.Pi*(mid-20)/365)
		n.Min[m], n.Max[m] = mean-5, mean+5
	}
	s := inventedWeather(3, firstOf1990, 20)
	for _, c := range []struct {
		name     string
		min, max float64
		climb    float64
		want     Mismatch
	}{
		{name: "sound", want: Agrees},
		{name: "a little warm", min: 1.5, max: 1.5, want: Agrees},
		{name: "warm", min: 4, max: 4, want: WarmerThanClimate},
		{name: "cold", min: -4, max: -4, want: ColderThanClimate},
		{name: "in the sun", max: 5, want: WarmerThanClimate},
		{name: "in a hollow", min: -5, want: ColderThanClimate},
		{name: "stretched", min: -6, max: 6, want: UnlikeThisClimate},
		{name: "a mountain's own", min: -4, max: -6, climb: 1000, want: Agrees},
		{name: "a mountain whose height is not told", min: -4, max: -6, want: ColderThanClimate},
	} {
		t.Run(c.name, func(t *testing.T) {
			low, high := 100.0, 100+c.climb
			n.Station.Elevation = &low
			v := Against(n, 0.5, Source{Elevation: &high, Series: altered(s, func(d Day) Day { return Day{Min: d.Min + c.min, Max: d.Max + c.max} })})
			if v.Kind != c.want {
				t.Errorf("found %+v, want %q", v, c.want)
			}
			if c.climb == 0 && (math.Abs(v.Min-c.min) > 0.5 || math.Abs(v.Max-c.max) > 0.5) {
				t.Errorf("found it %.2f and %.2f off, put in %g and %g", v.Min, v.Max, c.min, c.max)
			}
		})
	}
	for _, slip := range slipsOfClimate {
		v := Against(n, 0.5, Source{Series: slip.alter(s)})
		f, ok := v.Finding("yard.csv")
		if v.Kind != slip.kind || !ok || f.Kind != FindingClimate || !strings.HasPrefix(f.String(), "yard.csv: i") {
			t.Errorf("%s: found %+v, %v", slip.kind, v, f)
		}
		if slip.kind == FahrenheitRead && f.Suggest != "unit: F" {
			t.Errorf("suggests %q", f.Suggest)
		}
	}
	if v := Against(n, 0.5, Source{Series: Series{First: s.First, Days: s.Days[:14]}}); v.Kind != Unjudged {
		t.Errorf("fourteen days: %+v", v)
	}
	if _, ok := Against(n, 0.5, Source{Series: s}).Finding("yard.csv"); ok {
		t.Error("a sound record has a finding")
	}
}

// Where there are no seasons, or they are the other way round, a sound record is one.
func TestAgainstOtherClimates(t *testing.T) {
	var level, southern Normals
	for m := range 12 {
		level.Min[m], level.Max[m] = 20, 29
		mean := 14 + 8*math.Cos(2*math.Pi*(float64(m)-0.2)/12)
		southern.Min[m], southern.Max[m] = mean-6, mean+6
	}
	for name, n := range map[string]Normals{"level": level, "southern": southern} {
		for seed := range uint64(20) {
			s := Synthesize(n, firstOf1990, 1, seed)
			for i := range s.Days {
				s.Days[i].Flags = 0
			}
			if v := Against(n, 1, Source{Series: s}); v.Kind != Agrees {
				t.Errorf("%s: %+v", name, v)
			}
			half := Series{First: s.First + 182, Days: s.Days}
			want := map[string]Mismatch{"level": Agrees, "southern": OtherHemisphere}[name]
			if v := Against(n, 1, Source{Series: half}); v.Kind != want {
				t.Errorf("%s, half a year on: %+v", name, v)
			}
		}
	}
}
