package phenology

import "treewhen/phenology/civil"

// Progress returns how far a phase had come by the end of a day, for a phase that is dated by thermal time: the warmth
// so far as a share of what it takes, 1 and more once that is met; of several models the mean. Ok is false for phases
// that are dated otherwise, and where the record and the forecast lack days of it.
func (o *Outlook) Progress(sp *Species, phase Phase, season int, by civil.Date) (share float64, ok bool) {
	r, t := sp.Phase(phase), o.Temps
	if r == nil || r.Model == nil || t == nil {
		return 0, false
	}
	s := o.Site.Season(season)
	for _, m := range r.ModelAt(o.Site).Models {
		heat, ok := m.(ThermalTime)
		if !ok {
			return 0, false
		}
		first := s.Date(heat.Start)
		if by < first {
			continue
		}
		if !t.covered(first, by) {
			return 0, false
		}
		sums := t.sum(heat.forcing())
		share += (sums[t.index(by)+1] - sums[t.index(first)]) / heat.Requirement
	}
	n := len(r.Model.Models)
	return share / float64(max(1, n)), n > 0
}
