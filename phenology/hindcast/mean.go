package hindcast

import "math"

// Mean is the mean over the rows of several phases that could be dated.
type Mean struct {
	Phases   int     // that could be dated at the last of the leads
	MeanDate float64 // of these, root mean square errors of the mean date, in days; NaN for none
	Leads    []LeadMean
}

// LeadMean is the mean at one lead.
type LeadMean struct {
	Phases   int     // that could be dated
	RMSE     float64 // days; NaN for none
	Coverage float64 // weighted by cases; NaN for none
}

// MeanOf returns the mean of rows at each of their leads. Rows come phase by phase, each lead by lead, as [Run] gives
// them.
func MeanOf(rows []Row, leads []int) Mean {
	m := Mean{Leads: make([]LeadMean, len(leads))}
	weights := make([]float64, len(leads))
	for k, r := range rows {
		i := k % len(leads)
		if math.IsNaN(r.RMSE) {
			continue
		}
		one, n := &m.Leads[i], float64(len(r.Cases))
		one.Phases++
		one.RMSE += r.RMSE
		one.Coverage += n * r.Coverage
		weights[i] += n
		if i == len(leads)-1 {
			m.Phases++
			m.MeanDate += r.MeanRMSE
		}
	}
	m.MeanDate /= float64(m.Phases)
	for i := range m.Leads {
		m.Leads[i].RMSE /= float64(m.Leads[i].Phases)
		m.Leads[i].Coverage /= weights[i]
	}
	return m
}
