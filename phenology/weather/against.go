package weather

import (
	"fmt"
	"math"

	"treewhen/phenology/civil"
)

// Mismatch is how a record differs from the climate of its place.
type Mismatch string

// What [Against] can find. A record that agrees has the empty Mismatch.
const (
	Agrees         Mismatch = ""
	Unjudged       Mismatch = "unjudged"              // no month of the record has enough days
	FahrenheitRead Mismatch = "fahrenheit-as-celsius" // degrees Fahrenheit that were read as Celsius
	// degrees Celsius that were converted as if they were Fahrenheit
	CelsiusConverted  Mismatch = "celsius-as-fahrenheit"
	SwappedExtremes   Mismatch = "swapped"          // minima for maxima and the reverse
	OtherHemisphere   Mismatch = "other-hemisphere" // seasons half a year off
	WarmerThanClimate Mismatch = "warmer"
	ColderThanClimate Mismatch = "colder"
	UnlikeThisClimate Mismatch = "unlike" // far off, and no one of these slips explains it
)

// FindingClimate is the kind of a [Finding] made of a [Verdict].
const FindingClimate FindingKind = "climate"

// Verdict is what [Against] makes of a record. All differences are degrees Celsius (kelvins), record less normals.
type Verdict struct {
	Kind     Mismatch
	Months   int        // of the record, that were judged: those with 15 measured days or more
	Span     civil.Span // from the first of them to the last
	Min, Max float64    // mean difference of the minima and of the maxima, as read
	Limit    float64    // up to which either is taken to be chance and the normals' own error
}

// Off is by how much the record is warmer than the normals, mean of minima and maxima.
func (v Verdict) Off() float64 { return (v.Min + v.Max) / 2 }

// How far a sound record may be off. The spread of a month's mean from year to year follows from the climate's own
// range: that of daily means within a month is -0.36 + 0.211 J in January and 1.71 + 0.035 J in July, with J the July
// mean less the January mean (fitted to 19 stations of North America, our own), and a month's mean has 0.45 of it.
// That gives 2.8 and 1.2 at J = 31, where Montreal and Harvard Forest have 2.7 to 3.0 and 1.0 to 1.1.
const (
	monthOfDaily   = 0.45
	leastSpread    = 0.8 // degrees Celsius, of a month's mean: where there are no seasons
	monthsTogether = 1.5 // by which a year's months, not being independent, are fewer than they seem
	// Standard deviation of a month's mean daily range about the normals': 1.1 to 1.6 in the records looked at, about a
	// mean that is up to 1.6 off, since normals of a grid do not know the hollow a thermometer stands in.
	rangeSpread = 2.0
	lapseError  = 1.5 // degrees Celsius a kilometre, of the rates below
	// In standard errors. Of 639 single months of Montreal 1995-2013 and of Harvard Forest's two stations, against a
	// grid, the farthest is 3.5 off; of 612 stretches of a year, 3.3. The bound on the misfit, too, was put well
	// beyond them: they reach 0.6 of it.
	levelBound = 4.0
	slipGain   = 0.5 // an undone slip must leave no more than this part of the misfit
)

// The rates by which normals are moved to the thermometer's height: rough means of the year, degrees Celsius a
// kilometre.
const (
	minLapse = 4.0
	maxLapse = 6.0
)

// misfitBound is how large the misfit of so many months of a sound record may be.
func misfitBound(months int) float64 { return 1.5 + 2.5/math.Sqrt(float64(months)) }

// Against holds a record against monthly normals of its place and says whether it looks like a record of that
// climate, and if not, which slip explains it: see [Mismatch].
//
// The normals may be of a station or of a grid: rms is their error, root mean square over the 24 values, in degrees
// Celsius (for a grid, 0.7 where land is flat; where it is 3, only gross slips are found). Where both normals and s
// have an elevation, the normals are moved to the thermometer's by 4 degrees a kilometre for minima and 6 for maxima.
// Only days that were measured count; a single month of 15 suffices, and is then judged loosely. A record is not told
// from one of another climate that is as alike as years are: in a place without seasons no hemisphere is found out.
func Against(n Normals, rms float64, s Source) Verdict {
	a := against{rms: rms}
	climb := 0.0
	if n.Station.Elevation != nil && s.Elevation != nil {
		climb = (*s.Elevation - *n.Station.Elevation) / 1000
	}
	a.rms = math.Hypot(rms, lapseError*climb)
	for m := range 12 {
		a.low[m], a.high[m] = n.Min[m]-minLapse*climb, n.Max[m]-maxLapse*climb
	}
	a.spread = monthSpreads(a.low, a.high)
	months := monthMeans(s.Series)
	if len(months) == 0 {
		return Verdict{Kind: Unjudged, Span: noDays}
	}
	read := a.fit(months, func(low, high float64) (float64, float64) { return low, high }, 0)
	v := Verdict{
		Months: len(months), Span: civil.Span{First: months[0].span.First, Last: months[len(months)-1].span.Last},
		Min: read.min, Max: read.max, Limit: read.limit,
	}
	if read.sound() {
		return v
	}
	v.Kind = UnlikeThisClimate
	best := read.misfit * slipGain
	for _, slip := range []struct {
		kind  Mismatch
		undo  func(low, high float64) (float64, float64)
		shift int // months
	}{
		{FahrenheitRead, func(low, high float64) (float64, float64) { return (low - 32) / 1.8, (high - 32) / 1.8 }, 0},
		{CelsiusConverted, func(low, high float64) (float64, float64) { return low*1.8 + 32, high*1.8 + 32 }, 0},
		{SwappedExtremes, func(low, high float64) (float64, float64) { return high, low }, 0},
		{OtherHemisphere, func(low, high float64) (float64, float64) { return low, high }, 6},
	} {
		if f := a.fit(months, slip.undo, slip.shift); f.sound() && f.misfit < best {
			v.Kind, best = slip.kind, f.misfit
		}
	}
	if v.Kind != UnlikeThisClimate {
		return v
	}
	level := a.fit(months, func(low, high float64) (float64, float64) { return low - read.min, high - read.max }, 0)
	warm, cold := max(read.min, read.max) > read.limit, min(read.min, read.max) < -read.limit
	if level.sound() && warm != cold {
		v.Kind = WarmerThanClimate
		if cold {
			v.Kind = ColderThanClimate
		}
	}
	return v
}

// against is a climate that records are held against, at their height.
type against struct {
	low, high, spread [12]float64
	rms               float64
}

// climateFit is how far months are off a climate.
type climateFit struct {
	min, max, limit float64
	misfit          float64 // differences over what is to be expected, root mean square; near 1 in a sound record
	months          int
}

func (f climateFit) sound() bool {
	return math.Abs(f.min) <= f.limit && math.Abs(f.max) <= f.limit && f.misfit <= misfitBound(f.months)
}

// fit holds months, with a slip undone and moved by so many months of the year, against the climate.
func (a *against) fit(months []monthMean, undo func(low, high float64) (float64, float64), shift int) climateFit {
	f := climateFit{months: len(months)}
	chance, square := 0.0, 0.0
	for _, m := range months {
		k := (int(m.span.First.Month()) - 1 + shift) % 12
		low, high := undo(m.max-m.dayRange, m.max)
		low, high = low-a.low[k], high-a.high[k]
		f.min, f.max = f.min+low, f.max+high
		chance += a.spread[k] * a.spread[k]
		level, stretch := (low+high)/2/math.Hypot(a.rms, a.spread[k]), (high-low)/math.Hypot(a.rms, rangeSpread)
		square += (level*level + stretch*stretch) / 2
	}
	n := float64(len(months))
	f.min, f.max, f.misfit = f.min/n, f.max/n, math.Sqrt(square/n)
	f.limit = levelBound * math.Sqrt(a.rms*a.rms+chance/n*min(monthsTogether/n, 1))
	return f
}

// monthSpreads returns the standard deviation of each month's mean from year to year: largest in the coldest month.
func monthSpreads(low, high [12]float64) (spread [12]float64) {
	coldest, hottest := 0, 0
	for m := range 12 {
		if low[m]+high[m] < low[coldest]+high[coldest] {
			coldest = m
		}
		if low[m]+high[m] > low[hottest]+high[hottest] {
			hottest = m
		}
	}
	j := (low[hottest] + high[hottest] - low[coldest] - high[coldest]) / 2
	winter, summer := monthOfDaily*(-0.36+0.211*j), monthOfDaily*(1.71+0.035*j)
	for m := range 12 {
		wave := math.Cos(2 * math.Pi * float64(m-coldest) / 12)
		spread[m] = max((winter+summer)/2+(winter-summer)/2*wave, leastSpread)
	}
	return spread
}

// Finding puts a verdict as [Check] puts what it finds; false where the record agrees or could not be judged.
func (v Verdict) Finding(file string) (Finding, bool) {
	f := Finding{Kind: FindingClimate, File: file, Span: v.Span}
	than := fmt.Sprintf("minima %s and maxima %s than the climate of the place gives, over %s; %s would be chance",
		warmer(v.Min), warmer(v.Max), plural(v.Months, "month"), degrees(v.Limit))
	switch v.Kind {
	case Agrees, Unjudged:
		return Finding{}, false
	case FahrenheitRead:
		f.Text = "its temperatures look like degrees Fahrenheit read as Celsius: " + than
		f.Suggest = "unit: F"
	case CelsiusConverted:
		f.Text = "its temperatures look like degrees Celsius taken for Fahrenheit: " + than
		f.Suggest = "unit: C"
	case SwappedExtremes:
		f.Text = "its minima look like maxima and its maxima like minima: " + than
	case OtherHemisphere:
		f.Text = "its seasons look half a year off: a station of the other hemisphere, or a latitude without its " +
			"sign; " + than
	case WarmerThanClimate, ColderThanClimate:
		f.Text = "it is off the climate of the place: " + than +
			"; another place, another height, or a thermometer badly placed"
	default:
		f.Text = "it is not like the climate of the place, and no slip in unit, columns or hemisphere explains it: " +
			than
	}
	return f, true
}
