package profiles

import (
	"slices"
	"strings"

	"treewhen/phenology"
	"treewhen/phenology/problem"
	"treewhen/profiles/strictyaml"
)

// phases reads the phases in whatever order the file has them, and puts them in the order of the year.
func (p *profile) phases(m *strictyaml.Map) []*phenology.PhaseRecord {
	names := make([]string, len(phenology.Phases()))
	for i, phase := range phenology.Phases() {
		names[i] = phase.String()
	}
	var records []*phenology.PhaseRecord
	for key, v := range m.All() {
		phase, err := phenology.ParsePhase(key)
		if err != nil {
			if near := problem.Nearest(key, names); near != "" {
				v.Report("found unknown phase %q; did you mean %q?", key, near)
			} else {
				v.Report("found unknown phase %q, want one of %s", key, strings.Join(names, ", "))
			}
			continue
		}
		if body, ok := v.Map(); ok {
			records = append(records, p.phase(phase, body))
		}
	}
	slices.SortFunc(records, func(a, b *phenology.PhaseRecord) int { return int(a.Phase) - int(b.Phase) })
	return records
}

func (p *profile) phase(phase phenology.Phase, m *strictyaml.Map) *phenology.PhaseRecord {
	defer m.Done()
	m.Required("meaning", "moves")
	r := &phenology.PhaseRecord{Phase: phase}
	r.Meaning, _ = m.Text("meaning")
	r.Moves, _ = strictyaml.GetOneOf(m, "moves", phenology.MovesLater, phenology.MovesEarlier, phenology.MovesNot)
	if g, ok := m.Map("gradient"); ok {
		g.Required("north")
		r.Gradient = &phenology.Gradient{Source: p.source(g), North: value(g.FloatIn("north", -15, 15))}
		r.Gradient.Up, r.Gradient.OfHeight = g.FloatIn("up", -10, 10)
		g.Done()
	}
	r.References = each(m, "references", p.reference)
	if months, ok := m.Map("months"); ok {
		months.Required("from", "to")
		r.Months = &phenology.Months{
			Source: p.source(months), From: value(months.IntIn("from", 1, 12)), To: value(months.IntIn("to", 1, 12)),
		}
		months.Done()
	}
	if dating, ok := m.Map("dating"); ok {
		r.Model = p.dating(phase, dating)
	}
	return r
}

func (p *profile) reference(m *strictyaml.Map) (r phenology.Reference) {
	m.Required("place", "latitude", "longitude", "elevation", "date", "spread")
	r.Place, _ = m.Text("place")
	r.Latitude, _ = m.FloatIn("latitude", -90, 90)
	r.Longitude, _ = m.FloatIn("longitude", -180, 180)
	r.Elevation, _ = m.Quantity("elevation", strictyaml.Length)
	if day, ok := m.MonthDay("date"); ok && r.Latitude < 0 {
		r.Day = southernDay(day.YearDay()).End()
	} else if ok {
		r.Day = phenology.SeasonDay(day.YearDay()).End()
	}
	if later, ok := m.Bool("following-year"); ok && later {
		r.Day += 365
	}
	r.Spread, _ = m.Float("spread")
	r.Years, _ = m.Text("years")
	r.Source = p.source(m)
	return r
}

// southernDay turns a day of the calendar year into the day of a southern growing year, which begins on 2 July: see
// [phenology.Season].
func southernDay(yearDay int) phenology.SeasonDay {
	const before = 182 // days of the calendar year before 2 July
	if yearDay > before {
		return phenology.SeasonDay(yearDay - before)
	}
	return phenology.SeasonDay(yearDay-before) + 365
}

func (p *profile) dating(phase phenology.Phase, m *strictyaml.Map) *phenology.PhaseModel {
	defer m.Done()
	m.Required("models", "residual")
	d := &phenology.PhaseModel{}
	models, _ := m.Maps("models")
	for _, body := range models {
		if model := p.model(phase, body); model != nil {
			d.Models = append(d.Models, model)
		}
	}
	d.Residual, _ = m.Float("residual")
	if score, ok := m.Map("score"); ok {
		score.Required("years", "rmse", "mean-date-rmse")
		d.Score = &phenology.Score{
			Years: value(score.IntIn("years", 1, 1000)), RMSE: value(score.Float("rmse")),
			MeanRMSE: value(score.Float("mean-date-rmse")),
		}
		score.Done()
	}
	d.Source = p.source(m)
	return d
}
