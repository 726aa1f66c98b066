package text

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
)

// WriteSpecies writes what is known of a species for people to read, each figure with its source. Sources are numbered
// and listed at the end.
func WriteSpecies(w io.Writer, sp *phenology.Species) error {
	s := &speciesWriter{textWriter: textWriter{w: bufio.NewWriter(w)}}
	head := sp.Name() + " (" + sp.Botanical + ")"
	if sp.Family != "" {
		head += ", " + sp.Family
	}
	s.line(head)
	if len(sp.Common) > 1 {
		s.field("also called", phrase.Join(sp.Common[1:]))
	}
	s.field("id", sp.ID)
	if r := sp.Range; r != nil {
		text := "roughly " + boxText(r)
		if n := len(r.Parts); n > 0 {
			text += fmt.Sprintf(", in %d parts", n)
		}
		if r.Naturalized != nil {
			text += "; gone wild at " + boxText(r.Naturalized)
		}
		if r.Note != "" {
			text += "; " + strings.TrimSuffix(r.Note, ".")
		}
		s.field("range", text+" "+s.cite(r.Source))
	}
	s.sap(&sp.Sap)
	s.phases(sp)
	s.seed(sp)
	s.traits(sp)
	for _, c := range sp.Cautions {
		s.field("caution", c.Text+" "+s.cite(c.Source))
	}
	for _, r := range sp.Regulated {
		text := r.Where + ": " + r.Text
		if r.Collecting {
			text += " Collecting its seed can itself be forbidden."
		}
		s.field("regulated", text+" "+s.cite(r.Source))
	}
	for _, d := range sp.Disputes {
		s.field("sources differ", fmt.Sprintf("%s: used %s; another says %s %s. %s", d.About, d.Used, d.Other,
			s.cite(d.Source), phrase.Sentence(d.Why)))
	}
	s.line("")
	for i, text := range s.sources {
		s.indent(fmt.Sprintf("  [%d] %s", i+1, text), 6)
	}
	return s.w.Flush()
}

type speciesWriter struct {
	textWriter
	sources []string
}

// cite returns a source's number.
func (s *speciesWriter) cite(src phenology.Source) string {
	text := src.String()
	if src.Mark == phenology.MarkSeen {
		text += " (seen)"
	}
	i := slices.Index(s.sources, text)
	if i < 0 {
		s.sources = append(s.sources, text)
		i = len(s.sources) - 1
	}
	return fmt.Sprintf("[%d]", i+1)
}

func (s *speciesWriter) field(label, text string) {
	s.indent(fmt.Sprintf("  %-14s %s", label, text), 17)
}

func (s *speciesWriter) sap(sap *phenology.Sap) {
	text := map[phenology.TapPractice]string{
		phenology.TappedCommonly: "commonly", phenology.TappedSometimes: "sometimes", phenology.TappedNever: "no",
	}[sap.Tapped]
	if sap.Note != "" {
		text += "; " + strings.TrimSuffix(sap.Note, ".")
	}
	s.field("tapped", text+" "+s.cite(sap.Source))
	if q := sap.SugarPercent; q != nil {
		s.field("sap sugar", phrase.Range(q.Low, q.High, 1)+" % "+s.cite(q.Source))
	}
	if r := sap.Run; r != nil {
		s.field("run day", strings.TrimSuffix(words.RunDay(r, phrase.Speech{}), ".")+" "+s.cite(r.Source))
	}
}

func (s *speciesWriter) phases(sp *phenology.Species) {
	for _, r := range sp.Phases {
		s.field(r.Phase.String(), r.Meaning)
		for _, ref := range r.References {
			day := phenology.Season{Year: 2001}.Nearest(ref.Day)
			text := fmt.Sprintf("%s, ± %g days, %s", day.Format("2 Jan"), ref.Spread, ref.Place)
			if ref.Years != "" {
				text += ", " + ref.Years
			}
			s.field("", text+" "+s.cite(ref.Source))
		}
		if m := r.Months; m != nil {
			s.field("", fmt.Sprintf("over its range: %s %s", phrase.Months(m.From, m.To), s.cite(m.Source)))
		}
		if d := r.Model; d != nil {
			text := modelText(d)
			if _, isLag := d.Models[0].(phenology.Lag); d.Residual > 0 && !isLag {
				text += fmt.Sprintf("; off by %g days (one standard deviation)", d.Residual)
			}
			if d.Score != nil { // without one, the residual is no test on years that were left out
				text += fmt.Sprintf(" on years not fitted to; over %d such years RMSE %.1f days, mean date %.1f",
					d.Score.Years, d.Score.RMSE, d.Score.MeanRMSE)
			}
			s.field("", text+" "+s.cite(d.Source))
		}
	}
}

func (s *speciesWriter) seed(sp *phenology.Species) {
	of := sp.Seed
	if of == nil {
		return
	}
	s.field("fruit", string(of.Fruit))
	for _, m := range of.MaturitySigns {
		s.field("ripe when", m.Text+" "+s.cite(m.Source))
	}
	if of.CollectFrom.Text != "" {
		s.field("collect from", of.CollectFrom.Text+" "+s.cite(of.CollectFrom.Source))
	}
	if d := of.Dispersal; d != nil {
		s.field("carried off by", string(d.Agent)+"; "+gatherText(d.Gather)+" "+s.cite(d.Source))
	}
	for _, p := range of.Processing {
		text := p.Text
		if p.MaxDays > 0 {
			text += " (" + phrase.Days(p.MinDays, p.MaxDays) + ")"
		}
		s.field("processing", text+" "+s.cite(p.Source))
	}
	if of.Storage != "" {
		s.field("storage", string(of.Storage)+" "+s.cite(of.StorageSource))
	}
	if of.Keep != nil {
		s.field("keep", of.Keep.Text+" "+s.cite(of.Keep.Source))
	}
	for i := range of.Pretreatments {
		p, text := &of.Pretreatments[i], "none"
		if of.Storage == phenology.Recalcitrant {
			text = "none: sow at once"
		}
		if len(p.Steps) > 0 {
			text = words.Treatment(p, phrase.Speech{})
		}
		if p.Note != "" {
			text += "; " + p.Note
		}
		s.field("pre-treatment", text+" "+s.cite(p.Source))
	}
	if q := of.CropInterval; q != nil {
		s.field("good crops", "every "+phrase.Years(q.Low, q.High)+" "+s.cite(q.Source))
	}
	if q := of.SeedAge; q != nil {
		s.field("bears from", phrase.Range(q.Low, q.High, 0)+" years of age "+s.cite(q.Source))
	}
	if q := of.SeedsPerKg; q != nil {
		s.field("seeds per kg", phrase.Thousands(q.Low, q.High)+", cleaned "+s.cite(q.Source))
	}
	if q := of.Germination; q != nil {
		s.field("germination", phrase.Range(q.Low, q.High, 0)+" % once treated "+s.cite(q.Source))
	}
	if q := of.SeedPerFruit; q != nil {
		s.field("yield", asGiven(q.Low, q.High)+" % of the fruit's weight is clean seed "+s.cite(q.Source))
	}
	if q := of.SeedPerHL; q != nil {
		s.field("yield", asGiven(q.Low, q.High)+" kg of clean seed in 100 l of fruit "+s.cite(q.Source))
	}
}

// asGiven says a quantity, or a run of them, in the digits of its source.
func asGiven(low, high float64) string {
	if low == high {
		return fmt.Sprintf("%g", low)
	}
	return fmt.Sprintf("%g to %g", low, high)
}

func (s *speciesWriter) traits(sp *phenology.Species) {
	for _, t := range sp.Traits {
		text := words.Trait(&t, phrase.Speech{})
		when := "all year"
		if !t.AllYear {
			when = fmt.Sprintf("%s to %s", t.From, t.To)
		}
		cites := s.cite(t.Source)
		for _, src := range t.Also {
			cites += s.cite(src)
		}
		s.field(t.Organ, fmt.Sprintf("%s (%s) %s", text, when, cites))
	}
}

// gatherText says when seed can be had.
func gatherText(g phenology.Gathering) string {
	switch g {
	case phenology.BeforeFall:
		return "gathered before it begins to fall"
	case phenology.OnceFallen:
		return "gathered once it has fallen"
	default:
		return "gathered until half of it is down"
	}
}

// boxText says a box of degrees as people write them: 35 to 49° N, 97 to 60° W.
func boxText(r *phenology.Range) string {
	side := func(a, b float64, plus, minus string) string {
		switch {
		case a >= 0 && b >= 0:
			return fmt.Sprintf("%g to %g° %s", a, b, plus)
		case a <= 0 && b <= 0:
			return fmt.Sprintf("%g to %g° %s", -a, -b, minus)
		}
		return fmt.Sprintf("%g° %s to %g° %s", -a, minus, b, plus)
	}
	return side(r.South, r.North, "N", "S") + ", " + side(r.West, r.East, "E", "W")
}
