package weather

import (
	"math"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"treewhen/phenology/civil"
)

// inland are normals of an invented place.
var inland = Normals{
	Min: [12]float64{-13, -12, -6, 1, 7, 12.5, 15, 14, 9.5, 3.5, -2, -9},
	Max: [12]float64{-3, -1, 5, 12.5, 20, 25, 27.5, 26, 21, 13.5, 6, -0.5},
}

func normalsOf(s Series) (n Normals) {
	var days [12]float64
	for i, d := range s.Days {
		if d.Complete() {
			m := (s.First + civil.Date(i)).Month() - 1
			n.Min[m], n.Max[m] = n.Min[m]+d.Min, n.Max[m]+d.Max
			days[m]++
		}
	}
	for m := range days {
		n.Min[m], n.Max[m] = n.Min[m]/days[m], n.Max[m]/days[m]
	}
	return n
}

func TestSynthesizeKeepsTheNormals(t *testing.T) {
	for _, c := range []struct {
		name  string
		first string
		years int
		tol   float64 // degrees Celsius
	}{
		{"thirty years", "1991-01-01", 30, 0.05},
		{"from spring on", "1991-04-10", 30, 0.1}, // the first and the last month are parts
		{"two years", "1991-01-01", 2, 0.2},
	} {
		s := Synthesize(inland, date(c.first), c.years, 7)
		got := normalsOf(s)
		for m := range 12 {
			if math.Abs(got.Min[m]-inland.Min[m]) > c.tol || math.Abs(got.Max[m]-inland.Max[m]) > c.tol {
				t.Errorf("%s: month %d has %.2f to %.2f, want %.1f to %.1f", c.name, m+1, got.Min[m], got.Max[m], inland.Min[m], inland.Max[m])
			}
		}
		if want := date(c.first).AddYears(c.years) - 1; s.First != date(c.first) || s.Last() != want {
			t.Errorf("%s: covers %v", c.name, s.Span())
		}
		for i, d := range s.Days {
			if !(d.Min <= d.Max) || d.Flags != Synthetic || math.Abs(d.Min*10-math.Round(d.Min*10)) > 1e-9 {
				t.Fatalf("%s: day %d: %+v", c.name, i, d)
			}
		}
	}
	if s := Synthesize(inland, 0, 0, 1); len(s.Days) != 0 {
		t.Error("days without years")
	}
	if s := Synthesize(inland, 0, 1, 1); len(s.Days) != 365 || !s.Days[200].Complete() {
		t.Error("one year is not whole")
	}
}

// The days must never change: a plan's dates rest on them. These were written down when the function was.
func TestSynthesizeIsTheSameForGood(t *testing.T) {
	s := Synthesize(inland, date("1991-01-01"), 30, 1)
	got := []Day{s.Days[0], s.Days[1], s.At(date("2000-02-29")), s.At(date("2010-07-01")), s.Days[len(s.Days)-1]}
	for i := range got {
		got[i].Flags = 0
	}
	want := []Day{{Min: -5, Max: 5.6}, {Min: -6.8, Max: 1.5}, {Min: -20.3, Max: -8.2}, {Min: 12, Max: 21.6}, {Min: -18.6, Max: -6.5}}
	if diff := cmp.Diff(want, got, sameDays); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	other := Synthesize(inland, date("1991-01-01"), 30, 2)
	if other.Days[0] == s.Days[0] && other.Days[1] == s.Days[1] {
		t.Error("another seed gives the same days")
	}
}

// weatherOf is what the spread of a year's dates depends on.
type weatherOf struct {
	january, july float64 // standard deviation of daily means about the day's normal, degrees Celsius
	lag1          float64 // correlation of daily means from one day to the next
	monthly       float64 // standard deviation of monthly means between years, mean square over the months
	spring        float64 // standard deviation of the day on which 150 degree-days above 4 C from 15 March are reached
	springs       int
	marchRuns     float64 // share of days in March below -2 and above +2
}

func measureWeather(s Series) (w weatherOf) {
	n := normalsOf(s)
	curve := newNormalCurve(n)
	var sum, count [12]float64
	byMonth := map[int][]float64{}
	off := make([]float64, len(s.Days))
	runs, march := 0.0, 0.0
	for i, d := range s.Days {
		day := s.First + civil.Date(i)
		low, high, _ := curve.on(daysOfYear(day, 1)[0])
		off[i] = d.Mean() - (low+high)/2
		if math.IsNaN(off[i]) {
			continue
		}
		m := int(day.Month()) - 1
		sum[m], count[m] = sum[m]+off[i]*off[i], count[m]+1
		key := day.Year()*12 + m
		byMonth[key] = append(byMonth[key], off[i])
		if m == 2 {
			march++
			if d.Min < -2 && d.Max > 2 {
				runs++
			}
		}
	}
	w.january, w.july, w.marchRuns = math.Sqrt(sum[0]/count[0]), math.Sqrt(sum[6]/count[6]), runs/march
	var product, square float64
	for i := 1; i < len(off); i++ {
		if v := off[i] * off[i-1]; !math.IsNaN(v) {
			product, square = product+v, square+(off[i]*off[i]+off[i-1]*off[i-1])/2
		}
	}
	w.lag1 = product / square
	months := 0.0
	for _, days := range byMonth {
		if len(days) >= 25 {
			w.monthly += mean(days) * mean(days)
			months++
		}
	}
	w.monthly = math.Sqrt(w.monthly / months)
	var dates []float64
	for y := s.First.Year(); y <= s.Last().Year(); y++ {
		total, d := 0.0, civil.Of(y, time.March, 15)
		for ; total < 150 && d <= s.Last(); d++ {
			total += max(s.At(d).Mean()-4, 0) // a missing day makes it NaN, and the year drops out
		}
		if total >= 150 {
			dates = append(dates, float64(d.YearDay()))
		}
	}
	m := mean(dates)
	for _, d := range dates {
		w.spring += (d - m) * (d - m)
	}
	w.springs = len(dates)
	w.spring = math.Sqrt(w.spring / float64(len(dates)-1))
	return w
}

// A synthetic record drawn from the normals of a real one spreads its days, months and springs as the real one does.
// Sources: Environment and Climate Change Canada, daily data of Montreal Trudeau 1995-2013; Harvard Forest Data Archive,
// HF000 and HF001, 1980-2013, joined, the former's maxima moved to their days.
func TestSynthesizeIsLikeTheRealPlaces(t *testing.T) {
	fisher, shaler := harvard(t)
	shaler.Series, _ = Correction{ShiftMax: -1}.Apply(shaler.Series)
	joined, _ := Join([]Source{fisher, shaler})
	for _, c := range []struct {
		name string
		real Series
	}{{"Montreal", Fill(mergeAll(montreal(t)))}, {"Harvard Forest", Fill(joined)}} {
		real, drawn := measureWeather(c.real), measureWeather(Synthesize(normalsOf(c.real), date("1901-01-01"), 200, 3))
		t.Logf("%s: real %+v", c.name, real)
		t.Logf("%s: drawn %+v", c.name, drawn)
		// The standard deviation of n springs is itself known to 1 in sqrt(2 (n-1)); twice that is allowed.
		if tol := 2 * real.spring / math.Sqrt(2*float64(real.springs-1)); math.Abs(drawn.spring-real.spring) > tol {
			t.Errorf("%s: springs spread by %.1f days, in the record by %.1f over %d years (tolerance %.1f)",
				c.name, drawn.spring, real.spring, real.springs, tol)
		}
		for _, v := range []struct {
			what             string
			real, drawn, tol float64
		}{
			{"daily means in January", real.january, drawn.january, 1},
			{"daily means in July", real.july, drawn.july, 0.5},
			{"correlation from day to day", real.lag1, drawn.lag1, 0.05},
			{"monthly means", real.monthly, drawn.monthly, 0.3},
			{"share of freeze-thaw days in March", real.marchRuns, drawn.marchRuns, 0.08},
		} {
			if math.Abs(v.drawn-v.real) > v.tol {
				t.Errorf("%s: %s: %.2f, in the record %.2f", c.name, v.what, v.drawn, v.real)
			}
		}
	}
}

// Elsewhere the year's swing tells how unsteady the days are, and the seasons follow the normals, not the calendar.
func TestSynthesizeElsewhere(t *testing.T) {
	southern, equator := Normals{}, Normals{}
	for m := range 12 {
		southern.Min[m], southern.Max[m] = inland.Min[(m+6)%12], inland.Max[(m+6)%12]
		equator.Min[m], equator.Max[m] = 22, 30
	}
	w := measureWeather(Synthesize(southern, date("1950-01-01"), 60, 4))
	if !(w.july > w.january+2) {
		t.Errorf("southern hemisphere: July spreads by %.1f, January by %.1f", w.july, w.january)
	}
	w = measureWeather(Synthesize(equator, date("1950-01-01"), 60, 4))
	if w.january > 2 || w.july > 2 {
		t.Errorf("equator: days spread by %.1f and %.1f", w.january, w.july)
	}
}

// A drawn record passes for a clean one.
func TestSynthesizeIsClean(t *testing.T) {
	s := Synthesize(inland, date("1961-01-01"), 60, 5)
	for i := range s.Days {
		s.Days[i].Flags = 0 // else it would not be looked at
	}
	if found := Check([]Source{{Name: "drawn", Series: s}}); len(found) > 0 {
		t.Errorf("found %v", found)
	}
	if late, ok := dateAlone(s).says(); late != 0 || !ok {
		t.Errorf("its maxima look %d days late (%v)", late, ok)
	}
}

// Lebanon Airport, New Hampshire: U.S. Climate Normals 1991-2020, NOAA NCEI. In the published file, which is in degrees
// Fahrenheit, July has the mean 69.8 F, 21.0 C.
func TestSynthesizeFromPublishedNormals(t *testing.T) {
	const name = "normals/monthly_1991-2020_USW00094765.csv"
	n, err := ReadNormals(openShared(t, name), filepath.Base(name), Options{})
	if err != nil {
		t.Fatal(err)
	}
	got := normalsOf(Synthesize(*n, date("1991-01-01"), 30, 1))
	for m := range 12 {
		if math.Abs(got.Min[m]-n.Min[m]) > 0.3 || math.Abs(got.Max[m]-n.Max[m]) > 0.3 {
			t.Errorf("month %d: %.2f to %.2f, want %.2f to %.2f", m+1, got.Min[m], got.Max[m], n.Min[m], n.Max[m])
		}
	}
}

func BenchmarkSynthesize(b *testing.B) {
	for b.Loop() {
		Synthesize(inland, firstOf1990, 30, 1)
	}
}
