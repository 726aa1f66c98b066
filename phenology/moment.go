package phenology

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"treewhen/phenology/civil"
)

// Moment is when in a season something begins or ceases to be seen: on the date of a phase, some days after it, or with
// a month, which is how handbooks date what no phase marks. Leaves can be told by their outline from about a week after
// bud break on, which is no phase of its own.
type Moment struct {
	Phase Phase
	After int        // days after the phase's date
	Month time.Month // 0: it is the phase that counts
}

// monthSpread is the standard deviation, in days, of what a source dates by a month: our own choice.
const monthSpread = 6

// ParseMoment reads a phase with or without days after it, or a month: "bud-break", "bud-break+7", "august".
func ParseMoment(s string) (Moment, error) {
	for m := time.January; m <= time.December; m++ {
		if strings.ToLower(m.String()) == s {
			return Moment{Month: m}, nil
		}
	}
	name, days, counted := strings.Cut(s, "+")
	m := Moment{}
	if counted {
		n, err := strconv.Atoi(days)
		if err != nil || n < 1 || n > 60 {
			return m, fmt.Errorf("found %q, want 1 to 60 days after a phase, such as bud-break+7", s)
		}
		m.After = n
	}
	i := slices.Index(phaseNames[:], name)
	if i < 0 {
		return m, fmt.Errorf("found %q, want a phase, a phase and days such as bud-break+7, or a month such as august",
			s)
	}
	m.Phase = Phase(i)
	return m, nil
}

// String returns the moment as [ParseMoment] reads it.
func (m Moment) String() string {
	switch {
	case m.Month != 0:
		return strings.ToLower(m.Month.String())
	case m.After != 0:
		return fmt.Sprintf("%s+%d", m.Phase, m.After)
	}
	return m.Phase.String()
}

// Begin returns when the moment comes in a season, Over when it is past: they differ for a month alone. South of the
// equator months are half a year on, as seasons are, so that August stands for February there.
func (e Estimates) Begin(m Moment) Estimate { return e.moment(m, m.Month) }

// Over returns when the moment is past: see [Estimates.Begin].
func (e Estimates) Over(m Moment) Estimate { return e.moment(m, m.Month+1) }

func (e Estimates) moment(m Moment, month time.Month) Estimate {
	if m.Month == 0 {
		est := e.Get(m.Phase)
		if m.After != 0 && est.HasDate() {
			est.Dist = est.Dist.Later(float64(m.After), 0)
		}
		return est
	}
	const anyCommonYear = 2027
	first := civil.Of(anyCommonYear, month, 1) - civil.Of(anyCommonYear, time.January, 1)
	return Estimate{Season: e.Season, Basis: BasisPlace,
		Dist: Distribution{{Mean: float64(first), SD: monthSpread, Weight: 1}}}
}
