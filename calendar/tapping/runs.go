package tapping

import (
	"maps"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// Run is a run of sap: days in a row on which it is more likely than not to run. A day between that is at least
// half as likely does not end it.
type Run struct {
	Number int        `json:"number"` // in its season, from 1
	Span   civil.Span `json:"-"`
	Size   RunSize    `json:"size,omitempty"`
	Hours  Hours      `json:"hours"` // for which sap may be expected to run, over all its days
	Over   bool       `json:"over"`  // all of its days are observed, and past
	Days   []RunDay   `json:"days"`

	told  bool  // a feed tells of it already
	takes []int // numbers of others that a feed tells of, of which days to come are this one's now
}

// RunDay is one day of a run.
type RunDay struct {
	Date       civil.Date `json:"date"`
	Min        Celsius    `json:"min"`
	Max        Celsius    `json:"max"`
	Likelihood Share      `json:"likelihood"` // that sap runs
	// for which it may be expected to: the likelihood times the hours above freezing
	Hours    Hours `json:"hours"`
	Forecast bool  `json:"forecast"`
}

// RunSize is how large a run is, roughly, beside the site's own past runs.
type RunSize string

// The sizes. A fifth of a season's days brought three quarters of its sap at four sites in Quebec in 2022 (iForest
// 17:323-330, 2024): large are the largest fifth of past runs, small the smaller half.
const (
	SizeUnknown  RunSize = "" // too few past runs to compare with
	SizeSmall    RunSize = "small"
	SizeMiddling RunSize = "middling"
	SizeLarge    RunSize = "large"
)

const (
	likelyRunDay = 0.5  // from here on a day is called a run day
	bridgeDay    = 0.25 // and from here on it does not end a run
	fewestRuns   = 20   // past runs needed to speak of sizes
)

// lastRunDay is the last day of the season on which runs are looked for: the end of June in the north.
const lastRunDay = 181

// longestPressed is after how many days a run by root pressure is taken to be over: the two to four weeks for which
// producers' accounts say that birch runs. By freeze and thaw runs end by themselves.
const longestPressed = 28

// findRuns finds the season's own runs, and compares them with those of past seasons. What a run is, which one it is
// and how large is told by the rule alone, over the same days of every season, and so is the same for all species that
// share the rule; of these runs a species' season has those that begin in it.
func (s *Season) findRuns(known map[int]calendar.Memory, past pastSizes) {
	t := s.Place.Outlook.Temps
	if t == nil {
		return
	}
	rule := *s.Species.Sap.Run
	last := s.spread(s.End).P90
	runs := runsIn(t, rule, s.Season, known)
	list := make([]numbered, len(runs))
	for i := range runs {
		// A row of today, be it in the record, is not all of the day to whoever reads it in the morning.
		runs[i].Over = runs[i].Over && runs[i].Span.Last < s.AsOf
		list[i] = numbered{&runs[i].Number, runs[i].Span, runs[i].Over}
	}
	renumber(list, known)
	for _, r := range runs {
		// A run that was told of is not called off for an end of the season that the next forecast puts off again.
		m, held := known[r.Number]
		r.told = held && !m.Cancelled
		if !r.told && r.Span.First > last {
			continue
		}
		for _, n := range slices.Sorted(maps.Keys(known)) {
			m := known[n]
			m.Window.First = max(m.Window.First, s.AsOf)
			stands := slices.ContainsFunc(runs, func(other Run) bool { return other.Number == n })
			if !m.Cancelled && !stands && !m.Window.Empty() && m.Window.Overlaps(r.Span) {
				r.takes = append(r.takes, n)
			}
		}
		s.Runs = append(s.Runs, r)
	}
	if len(s.Runs) == 0 {
		return
	}
	b := past(t, rule, s.Season)
	if b == nil {
		return
	}
	for i := range s.Runs {
		r := &s.Runs[i]
		r.Size = b.size(float64(r.Hours))
		if !r.Over {
			r.Size = b.held(float64(r.Hours), RunSize(known[r.Number].Told[factSize]))
		}
	}
}

// pastSizes returns how large the runs of a rule were in the seasons before one; nil where there were too few.
type pastSizes func(*phenology.Temperatures, phenology.RunRule, phenology.Season) *sizeBounds

func sizesBefore(t *phenology.Temperatures, rule phenology.RunRule, season phenology.Season) *sizeBounds {
	var hours []float64
	for season.Year--; season.Date(FirstRunDay) >= t.Series().First; season.Year-- {
		for _, r := range runsIn(t, rule, season, nil) {
			hours = append(hours, float64(r.Hours))
		}
	}
	if len(hours) < fewestRuns {
		return nil
	}
	return &sizeBounds{phenology.QuantileOf(hours, 0.5), phenology.QuantileOf(hours, 0.8)}
}

// sizeHeld is to which share of its bound a run to come must shrink to be called smaller than it was told to be: what
// it grows to is told at once, since it rings. Our own choice.
const sizeHeld = 0.75

// sizeBounds are the hours from which on a run is of middling size, and large.
type sizeBounds struct{ middling, large float64 }

func (b sizeBounds) size(hours float64) RunSize {
	switch {
	case hours < b.middling:
		return SizeSmall
	case hours < b.large:
		return SizeMiddling
	default:
		return SizeLarge
	}
}

// held returns the size of a run that was told to be of a size: smaller than that only if it is so by [sizeHeld].
func (b sizeBounds) held(hours float64, said RunSize) RunSize {
	size := b.size(hours)
	if said.larger(size) {
		if size = b.size(hours / sizeHeld); size.larger(said) {
			size = said
		}
	}
	return size
}

// AtLeast reports whether a size is another or more; every size is at least one that is unknown.
func (s RunSize) AtLeast(least RunSize) bool { return !least.larger(s) }

// larger reports whether one size is larger than another; one that is unknown is smallest.
func (s RunSize) larger(than RunSize) bool {
	order := []RunSize{SizeUnknown, SizeSmall, SizeMiddling, SizeLarge}
	return slices.Index(order, s) > slices.Index(order, than)
}

// runsIn finds the runs of a season, as far as its days are known. On days of a run that has been told of, it is
// enough that it may run, for as long as they lie ahead: what a forecast gives one morning and takes the next is
// kept, with its chance, until the days have been measured.
func runsIn(
	t *phenology.Temperatures, rule phenology.RunRule, season phenology.Season, known map[int]calendar.Memory,
) []Run {
	series := t.Series()
	var runs []Run
	told := func(day civil.Date) bool {
		for _, m := range known {
			if !m.Cancelled && m.Window.Contains(day) {
				return true
			}
		}
		return false
	}
	// doubtful reports whether a day on which sap may run is not one on which it is likely to.
	doubtful := func(d RunDay) bool { return d.Likelihood < likelyRunDay && !(d.Forecast && told(d.Date)) }
	var open *Run
	closeRun := func() {
		if open == nil {
			return
		}
		for doubtful(open.Days[len(open.Days)-1]) { // bridges that led nowhere
			open.Days = open.Days[:len(open.Days)-1]
		}
		last := open.Days[len(open.Days)-1]
		open.Span, open.Over = civil.Span{First: open.Days[0].Date, Last: last.Date}, !last.Forecast
		for _, d := range open.Days {
			open.Hours += d.Hours
		}
		open.Number = len(runs) + 1
		runs = append(runs, *open)
		open = nil
	}
	first, last := max(season.Date(FirstRunDay), series.First), min(season.Date(lastRunDay), t.Last())
	runOn := t.RunsBy(rule)
	for day := first; day <= last; day++ {
		run, ok := runOn(day)
		d := series.At(day)
		is := RunDay{Date: day, Min: Celsius(d.Min), Max: Celsius(d.Max), Likelihood: Share(run.Likelihood),
			Hours: Hours(run.Hours), Forecast: d.Flags&weather.Forecast != 0}
		switch {
		case !ok || d.Flags&weather.Synthetic != 0 || run.Likelihood < bridgeDay:
			closeRun()
			continue
		case !doubtful(is) && open == nil:
			open = &Run{}
		case open == nil:
			continue
		}
		open.Days = append(open.Days, is)
		n := len(open.Days)
		switch {
		case n > 1 && doubtful(is) && doubtful(open.Days[n-2]):
			closeRun() // two doubtful days in a row end it
		case n == longestPressed && rule.Drive == phenology.RootPressure:
			closeRun()
		}
	}
	closeRun()
	return runs
}

// BestDay returns the day on which most sap is to be expected, of those not yet observed where there are any.
func (r *Run) BestDay() RunDay {
	var best RunDay
	for _, d := range r.Days {
		if d.Forecast && !best.Forecast || d.Forecast == best.Forecast && d.Hours > best.Hours {
			best = d
		}
	}
	return best
}

// Begun reports whether its first day is observed, so that there is no doubt left that it runs.
func (r *Run) Begun() bool { return !r.Days[0].Forecast }

// runsAhead is how many of the runs in a forecast are made entries of: more would be noise, and less sure.
const runsAhead = 2

// runsTold returns the runs of which entries are made: those that holes could catch, the next of the forecast and all
// before them, which are records by now; and any that a feed tells of already. Where holes are not drilled yet, these
// are the ones from the best day on.
func (s *Season) runsTold() []Run {
	var list []Run
	ahead := 0
	tapDay, ok := s.TapDay.Get()
	if !ok {
		return nil
	}
	for _, r := range s.Runs {
		if r.Span.Last < tapDay || r.Span.First > s.Dry.Or(r.Span.First) {
			continue
		}
		if !r.Over {
			if ahead++; ahead > runsAhead && !r.told {
				continue
			}
		}
		list = append(list, r)
	}
	return list
}
