package phenology

import "treewhen/phenology/civil"

// sapSpoilsFirst reports whether a season of sap is, as likely as not, over before it has begun.
func (e *Estimates) sapSpoilsFirst() bool {
	start, end := e.Get(SapStart), e.Get(SapEnd)
	return start.HasDate() && end.HasDate() && start.P50() >= end.P50()
}

// withoutSap takes away the dates of a season of sap that is likely over before it has begun where that is so in most
// years: where frost is rare, sap spoils before it has run in earnest, and two dates in the wrong order would say
// nothing. Elsewhere it is this one spring's warmth, which nobody must be left alone with: the end is put behind the
// start.
func (o *Outlook) withoutSap(e *Estimates, observed civil.Date) {
	start, end := e.at(SapStart), e.at(SapEnd)
	if before := e.Season.Date(0); observed > before {
		usual := &Outlook{Site: o.Site, Temps: o.Temps, Sightings: o.Sightings, Known: o.Known, Normals: o.Normals,
			Until: &before}
		if past := usual.Estimate(e.Species, e.Season.Year); !past.sapSpoilsFirst() && past.Get(SapStart).HasDate() {
			end.Dist = end.Dist.Later(float64(start.P50()-end.P50()+1), 0)
			return
		}
	}
	lack := Lack{Kind: LackWinter, Start: start.P50(), End: end.P50()}
	for _, est := range []*Estimate{start, end} {
		lack.Phase = est.Phase
		*est = Estimate{Phase: est.Phase, Season: e.Season, Basis: BasisNone, Lack: lack}
	}
}
