package text

import (
	"fmt"
	"math"
	"strings"

	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// modelText says how a phase is dated. Models that differ in start and requirement alone are told together.
func modelText(d *phenology.PhaseModel) string {
	if text, ok := sameButStart(d.Models); ok {
		return text
	}
	var parts []string
	for _, m := range d.Models {
		parts = append(parts, oneModelText(m))
	}
	if len(parts) == 1 {
		return parts[0]
	}
	return "mean of: " + strings.Join(parts, "; ")
}

// sameButStart tells several thermal-time models of one base in one sentence.
func sameButStart(models []phenology.Model) (string, bool) {
	if len(models) < 2 {
		return "", false
	}
	var starts []string
	var first phenology.ThermalTime
	for i, m := range models {
		t, ok := m.(phenology.ThermalTime)
		if !ok {
			return "", false
		}
		starts = append(starts, fmt.Sprintf("%.0f from %s", t.Requirement, seasonDay(t.Start)))
		t.Start, t.Requirement = 0, 0
		if i == 0 {
			first = t
		} else if t != first {
			return "", false
		}
	}
	return fmt.Sprintf("mean of %d thermal times: degree-days %s, %s", len(models), warmthText(first),
		strings.Join(starts, ", ")), true
}

// warmthText says how warmth is reckoned.
func warmthText(t phenology.ThermalTime) string {
	text := fmt.Sprintf("over %g °C", t.Base)
	text += methodText(t.Method)
	if t.Cutoff != "" {
		text += fmt.Sprintf(" with a %s cut-off at %g °C", t.Cutoff, t.Upper)
	}
	if t.DayLengthExponent != 0 {
		text += fmt.Sprintf(" weighted by (day length/12 h)^%g", t.DayLengthExponent)
	}
	return text
}

func methodText(m phenology.ForcingMethod) string {
	switch m {
	case phenology.AverageForcing:
		return " by the simple average"
	case phenology.TriangleForcing:
		return " by straight lines"
	}
	return ""
}

// chillingText says what chilling is summed.
func chillingText(m phenology.ChillingThenForcing) string {
	switch m.ChillingBy {
	case phenology.ChillingByHours:
		return fmt.Sprintf("%g chilling hours (0 to 7.2 °C)", m.ChillRequirement)
	case phenology.ChillingByUnits:
		return fmt.Sprintf("%g chill units", m.ChillRequirement)
	}
	return fmt.Sprintf("%g days of full chilling", m.ChillRequirement)
}

func seasonDay(day phenology.SeasonDay) string {
	return phenology.Season{Year: 2001}.Date(day).Format("2 Jan") // no leap year
}

func oneModelText(m phenology.Model) string {
	switch m := m.(type) {
	case phenology.ThermalTime:
		return fmt.Sprintf("%.0f degree-days %s from %s", m.Requirement, warmthText(m), seasonDay(m.Start))
	case phenology.ChillingThermalTime:
		return fmt.Sprintf("degree-days over %g °C from %s, %.0f where no day was cold down to %.0f after a cold "+
			"winter: chill days up to %g °C count from %s",
			m.Base, seasonDay(m.Start), m.Requirement+m.Extra, m.Requirement, m.ChillBelow, seasonDay(m.ChillStart))
	case phenology.ChillingThenForcing:
		forcing := fmt.Sprintf("%.0f units of forcing", m.Requirement)
		if m.Method != "" {
			forcing = fmt.Sprintf("%.0f degree-days over %g °C%s", m.Requirement, m.Base, methodText(m.Method))
		}
		return fmt.Sprintf("%s from %s, then %s", chillingText(m), seasonDay(m.ChillStart), forcing)
	case phenology.DegreeDayLag:
		return fmt.Sprintf("%.0f degree-days over %g °C%s after %s", m.Requirement, m.Base, methodText(m.Method),
			m.After)
	case phenology.AutumnCooling:
		return fmt.Sprintf("cold below %g °C on days shorter than %g h, summed to %.3g", m.Base, m.DayLength,
			m.Requirement)
	case phenology.WarmthShift:
		way := "later"
		if m.DaysPerDegree < 0 {
			way = "earlier"
		}
		return fmt.Sprintf("the mean date, %.1f days %s for each °C by which %s to %s is warmer than usual here",
			math.Abs(m.DaysPerDegree), way, seasonDay(m.From), seasonDay(m.To))
	case phenology.Lag:
		if m.Days < 0 {
			return fmt.Sprintf("%g days before %s, ± %g", -m.Days, m.After, m.Spread)
		}
		return fmt.Sprintf("%g days after %s, ± %g", m.Days, m.After, m.Spread)
	case phenology.RunCount:
		return fmt.Sprintf("when %g run days have come", m.Runs)
	case phenology.RunShare:
		return fmt.Sprintf("when %s of the run days before %s have come", phrase.Percent(m.Share), m.Before)
	case phenology.LastRun:
		return fmt.Sprintf("the last likely run day before %s", m.Before)
	}
	return m.Kind()
}
