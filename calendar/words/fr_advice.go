package words

import (
	"fmt"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology/civil"
)

// runDays are what shares are of.
const frenchRunDays = "des journées de coulée"

// part writes a share as a whole percentage.
func part(s tapping.Share) string { return french.Percent(float64(s)) }

func (inFrench) wellTimed() string {
	return "d'un bon jour" + french.Colon + "au moins 4/5 de ce que donnerait le meilleur"
}

func (f inFrench) tapVerdict(t *tapping.TapFacts) string {
	tapDay := t.TapDay.Or(t.AsOf)
	day, asOf := french.The(tapDay), french.The(t.AsOf)
	done := fmt.Sprintf("C'est fait? Notez le jour au plan (tapped: %s).", tapDay)
	switch t.Advice {
	case tapping.Tapped:
		return f.holesTapped(t)
	case tapping.NoRecord:
		none := "Sans relevés, pas de jour d'entaillage."
		if n := t.Evidence.Years; n > 0 {
			none = fmt.Sprintf("Seulement %s de relevés%spas de jour d'entaillage.", french.Count(n, "année", "années"),
				french.Colon)
		}
		return fmt.Sprintf("%s Ici, la coulée commence %s, 8 années sur 10. Préparez-vous et entaillez d'après les "+
			"prévisions.",
			none, french.Between(civil.Span{First: t.Start.P10, Last: t.Start.P90}))
	case tapping.Over:
		return "Il ne reste rien à gagner à entailler cette saison."
	case tapping.TooLate:
		late := fmt.Sprintf("%senviron %s %s étaient passées %s.", french.Colon, part(t.Gone), frenchRunDays, asOf)
		if since, ok := t.Since.Get(); ok {
			return fmt.Sprintf("Conseillé depuis %s. %s Sinon, il est trop tard%s", french.The(since), done, late)
		}
		return "Trop tard pour entailler" + late
	case tapping.TakenDone:
		return f.takenDone(t, day, asOf) + " " + done
	case tapping.WaitAgain:
		return fmt.Sprintf("Pas encore entaillé? %s La situation a changé depuis %s. %s %s", f.howToWait(t), day,
			f.waiting(t),
			done)
	case tapping.TapNow:
		if since := t.Since.Or(t.AsOf); since < t.AsOf {
			return fmt.Sprintf("Pas encore entaillé? Allez-y%sc'est conseillé depuis %s. %s", french.Colon,
				french.The(since),
				done)
		}
		return fmt.Sprintf("Entaillez %s. Attendre ne donnera sans doute pas plus.", french.TheWeekday(t.AsOf))
	case tapping.PlanAhead:
		return fmt.Sprintf("Prévoyez d'entailler vers %s (%s). À partir du %s, la date suit la météo.",
			french.The(t.Best),
			pastYears(t.Evidence.Years), french.Day(t.CountedFrom))
	case tapping.TapOrWait:
		little := fmt.Sprintf("à votre choix%sl'écart est de moins de %s de la récolte.", french.Colon,
			french.Percent(tapping.Plateau))
		if from, ok := t.RunFrom.Get(); ok {
			return fmt.Sprintf("Entaillez %s ou le lendemain de la première journée de coulée à partir du %s, %s", asOf,
				french.Day(from-1), little)
		}
		if last := t.Later.Or(t.Best); last > t.AsOf {
			return fmt.Sprintf("Entaillez %s, %s", french.Between(civil.Span{First: t.AsOf, Last: last}), little)
		}
		return fmt.Sprintf("Entaillez %s, %s", asOf, little)
	default:
		return f.howToWait(t) + " " + f.waiting(t)
	}
}

// takenDone says since when holes are taken to be in.
func (inFrench) takenDone(t *tapping.TapFacts, day, asOf string) string {
	which := "le jour habituel"
	if t.TapDayAdvised {
		which = "premier jour conseillé"
	}
	if seen, ok := t.SapSeen.Get(); ok {
		text := fmt.Sprintf("Vous avez vu couler l'eau %s. Hypothèse%sentaillé %s", french.The(seen), french.Colon, day)
		if t.TapDayAdvised {
			text += ", " + which
		}
		return text + "."
	}
	return fmt.Sprintf("Hypothèse%sentaillé %s, %s. Sinon, entailler %s donne encore %s %s.", french.Colon, day, which,
		asOf,
		part(t.Today), frenchRunDays)
}

func pastYears(n int) string { return french.Count(n, "année passée", "années passées") }

func (inFrench) howToWait(t *tapping.TapFacts) string {
	if from, ok := t.RunFrom.Get(); ok {
		return fmt.Sprintf("Attendez la première journée de coulée à partir du %s; entaillez le lendemain matin.",
			french.Day(from-1))
	}
	return "Attendez " + french.TheWeekday(t.Later.Or(t.Best)) + "."
}

func (inFrench) waiting(t *tapping.TapFacts) string {
	return fmt.Sprintf("En entaillant ce jour-là, vous aurez %s %s de la saison; %s, %s.", part(t.Waiting),
		frenchRunDays,
		french.The(t.AsOf), part(t.Today))
}

func (f inFrench) tapBasis(e tapping.Evidence) string {
	var list []string
	if day, ok := e.SeasonTo.Get(); ok {
		list = append(list, "cette saison jusqu'au "+french.Day(day))
	}
	if day, ok := e.ForecastTo.Get(); ok {
		list = append(list, "prévisions jusqu'au "+french.Day(day))
	}
	years := pastYears(e.Years)
	if e.Drawn {
		years = french.Count(e.Years, "année tirée", "années tirées") + " des normales mensuelles"
		if e.BuiltIn {
			years = french.Count(e.Years, "année tirée", "années tirées") + " du climat intégré au programme"
		}
	}
	return strings.Join(append(list, years), ", ")
}

func (inFrench) tapPrice(t *tapping.TapFacts, weeks bool) string {
	p := t.Price
	text := fmt.Sprintf("Entailler %s donne %s %s, en moyenne sur %s%s%s de ce que donnerait le meilleur jour de "+
		"chacune.",
		french.The(p.Best), part(p.Caught), frenchRunDays, french.Count(t.Evidence.Years, "année", "années"),
		french.Colon,
		part(p.OfHindsight))
	if weeks && !p.WeekEarlier.IsZero() {
		text += fmt.Sprintf(" Une semaine plus tôt%s%s.", french.Colon, part(p.WeekEarlier))
	}
	if weeks && !p.WeekLater.IsZero() {
		text += fmt.Sprintf(" Une semaine plus tard%s%s.", french.Colon, part(p.WeekLater))
	}
	if p.Gone >= 0.005 {
		text += fmt.Sprintf(" %s %s étaient passées %s.", part(p.Gone), frenchRunDays, french.The(t.AsOf))
	}
	first := "la première coulée de deux jours ou plus depuis " + french.The(p.CountedFrom)
	switch p.Missed {
	case 0:
		return text + " Ce jour-là, vous aurez aussi " + first + "."
	case 1:
		return text + " " + phrase.Capital(first) + " est passée; aucun jour ne peut la rattraper."
	}
	return text + fmt.Sprintf(" Dans %s des années passées, ce jour manque %s.", part(p.Missed), first)
}

func (inFrench) weekPrice(t *tapping.TapFacts) string {
	p := t.Price
	if p == nil || p.Caught.IsZero() {
		return ""
	}
	text := fmt.Sprintf("Entailler %s donne %s %s de la saison", french.The(p.Best), part(p.Caught), frenchRunDays)
	var weeks []string
	if !p.WeekEarlier.IsZero() && p.Best-7 >= t.AsOf {
		weeks = append(weeks, "une semaine plus tôt, "+part(p.WeekEarlier))
	}
	if !p.WeekLater.IsZero() {
		weeks = append(weeks, "une semaine plus tard, "+part(p.WeekLater))
	}
	return strings.Join(append([]string{text}, weeks...), "; ") + "."
}

func (inFrench) catches(good civil.Span) string {
	return fmt.Sprintf("Jours à moins de %s du meilleur%s%s. La récolte du meilleur jour est celle du meilleur jour "+
		"propre à chaque année, connu après coup. Les heures sont celles d'une entaille fraîche.",
		french.Percent(tapping.Plateau), french.Colon,
		french.Span(good))
}

// collection says how sap leaves the tree.
func (inFrench) collection(c calendar.Collection) string {
	if c == calendar.Vacuum {
		return "sous vide"
	}
	return "par gravité"
}

func (f inFrench) holesTapped(t *tapping.TapFacts) string {
	text := "Entaillé " + french.The(t.TapDay.Or(t.AsOf)) + "."
	if h := t.Fading; h != nil {
		text += fmt.Sprintf(" Hypothèse%sbon débit jusqu'au %s, moitié %s, à sec %s (%s).", french.Colon,
			french.Day(h.Well), french.The(h.Half), french.The(h.Dry), f.collection(t.Hole.Collection))
	}
	return text
}

// headline says in a few words what is advised, where an entry of tapping is the next thing to do; "" of other advice.
func (f inFrench) headline(e *calendar.Entry, t *tapping.TapFacts) string {
	the := f.tree(e.Species[0]).the()
	switch t.Advice {
	case tapping.TapNow:
		return "Entaillez " + the + " maintenant"
	case tapping.Wait, tapping.WaitAgain:
		if from, ok := t.RunFrom.Get(); ok {
			return fmt.Sprintf("Entaillez %s après la première journée de coulée à partir du %s", the, french.Day(from))
		}
		return fmt.Sprintf("Attendez %s pour entailler %s", french.TheWeekday(t.Later.Or(t.Best)), the)
	case tapping.TapOrWait:
		return fmt.Sprintf("Entaillez %s aujourd'hui, ou attendez jusqu'au %s", the, french.Day(t.Later.Or(t.Best)))
	case tapping.PlanAhead:
		return fmt.Sprintf("Prévoyez d'entailler %s vers %s", the, french.The(t.Best))
	case tapping.NoRecord:
		return "Entaillez " + the + " d'après les prévisions"
	}
	return ""
}

// frenchSize is how large a run is, before coulée.
func frenchSize(s tapping.RunSize) string {
	switch s {
	case tapping.SizeSmall:
		return "petite coulée"
	case tapping.SizeMiddling:
		return "moyenne coulée"
	case tapping.SizeLarge:
		return "grosse coulée"
	}
	return "coulée"
}

// runTitle is the title of a run that is still to come, and how many letters of it say what it is.
func (inFrench) runTitle(size tapping.RunSize, p float64, days civil.Span) (title string, named int) {
	run := phrase.Capital(frenchSize(size))
	when := french.ShortSpan(days)
	sure := french.Confidence(p, true)
	if days.First == days.Last {
		return french.Fitting(room, run+" "+sure+" "+french.ShortWeekday(days.First), run+" "+sure+" "+when,
			run+", "+when), len([]rune(run))
	}
	return french.Fitting(room, run+" "+sure+", "+when, run+", "+when), len([]rune(run))
}
