package words

import (
	"fmt"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

func (f inFrench) tapVerdictOf(a *tapping.Account) string {
	return phrase.Capital(f.tree(a.Species).noun) + french.Colon + phrase.Uncapital(f.tapVerdict(a.Tap))
}

func (f inFrench) brings(v *tapping.Volume) string {
	return fmt.Sprintf("très approximativement %s pour %s", f.volumes(v.Range), entailles(v.Taps))
}

func (f inFrench) runAhead(e *calendar.Entry) string {
	said := Brief(e)
	text := said.Summary + ", " + french.Span(e.Window) + " (" + said.Sure() + ")"
	if r, ok := e.Facts.(*tapping.RunFacts); ok && r.Volume != nil {
		text += french.Colon + f.brings(r.Volume)
	}
	return text + "."
}

func (inFrench) budsBrief(b *tapping.Buds) string {
	by := "Bourgeons, au " + french.Day(b.By) + french.Colon
	if b.Share < hardlyAny && b.P50 < hardlyAny {
		return by + "presque pas de chaleur encore, comme d'habitude."
	}
	far := part(b.Share) + " de la chaleur qui les gonfle"
	if b.Share >= 1 {
		far = "assez de chaleur pour se gonfler; regardez-les"
	}
	return fmt.Sprintf("%s%s; d'habitude à cette date, %s.", by, far, part(met(b.P50)))
}

func (inFrench) runHow(r *tapping.RunFacts) string {
	if best := r.BestDay(); best.Forecast {
		return french.Chance(float64(best.Likelihood))
	}
	return "mesurée"
}

func (inFrench) shareOf(d tapping.DayShare, p *tapping.Price) string {
	switch d.Weeks {
	case -2:
		return "deux semaines plus tôt"
	case -1:
		return "une semaine plus tôt"
	case 1:
		return "une semaine plus tard"
	case 2:
		return "deux semaines plus tard"
	}
	return fmt.Sprintf("au mieux; %s, à moins de %s", french.ShortSpan(civil.Span{First: p.First, Last: p.Last}),
		french.Percent(tapping.Plateau))
}

func (inFrench) notUpToDate(why Trouble, since time.Time, asOf civil.Date) Notice {
	what, log := "les fichiers qu'il lui faut sont illisibles", "Le journal du serveur dit quel fichier, et ce qui "+
		"n'y va pas."
	if why == Overdue {
		what, log = "le calcul se fait attendre", ""
	}
	zone, _ := since.Zone()
	return Notice{"Pas à jour.", fmt.Sprintf("Depuis le %s à %s (%s), %s; on voit ici ce qui a été calculé avant, "+
		"en date du %s.", french.Dated(civil.FromTime(since)), french.Clock(since.Hour()*60+since.Minute()), zone, what,
		french.Dated(asOf)), log}
}

func (inFrench) pageDay(asOf civil.Date, file bool) string {
	if file {
		return "Aujourd'hui est pris pour le " + french.Full(asOf)
	}
	return phrase.Capital(french.Full(asOf))
}

func (inFrench) wallFoot(asOf civil.Date, left int) string {
	text := "Une barre contient les jours du travail, aussi pleine qu'il est probable; le jour nommé est le " +
		"meilleur. Calculé le " +
		french.Dated(asOf) + french.Colon + "les dates changent."
	if left > 0 {
		text += " " + french.Count(left, "autre travail", "autres travaux") + " dans le calendrier."
	}
	return text
}

func (inFrench) spellName(p phenology.Phase) string {
	switch p {
	case phenology.SapStart:
		return "coulée"
	case phenology.BudSwell:
		return "bourgeons"
	case phenology.Flowering:
		return "fleurs"
	case phenology.BudBreak:
		return "jeunes feuilles"
	case phenology.LeafOut:
		return "en feuilles"
	case phenology.FruitRipe:
		return "samares mûres"
	case phenology.SeedFall:
		return "chute des samares"
	case phenology.LeafColor:
		return "couleurs"
	}
	return "sans feuilles"
}

func (f inFrench) rowName(t calendar.Task, sp *phenology.Species) string {
	tree := ""
	if sp != nil {
		tree = ", " + f.tree(sp).noun
	}
	switch t {
	case calendar.TaskTap:
		return "Entaillage" + tree
	case calendar.TaskRun:
		return "Coulées"
	case calendar.TaskWarmSpell:
		return "Redoux"
	case calendar.TaskFreezeUp:
		return "Gros gels"
	case calendar.TaskGather:
		return "Saison des sucres" + tree
	case calendar.TaskLast:
		return "Fin de saison" + tree
	}
	return "Désentaillage" + tree
}

func (inFrench) daysTo(n int) string {
	switch {
	case n < 0:
		return "il y a " + french.Count(-n, "jour", "jours")
	case n == 0:
		return "aujourd'hui"
	case n == 1:
		return "demain"
	}
	return "dans " + french.Count(n, "jour", "jours")
}

func (inFrench) ahead(days int) string {
	switch {
	case days > 0:
		return french.Count(days, "jour", "jours") + " d'avance"
	case days < 0:
		return french.Count(-days, "jour", "jours") + " de retard"
	}
	return "comme d'habitude"
}

func (f inFrench) springAhead(days int) string {
	if days == 0 {
		return f.ahead(0)
	}
	return f.ahead(days) + " sur l'habitude"
}

func (f inFrench) spring(s SpringDay) string {
	text := fmt.Sprintf("%s, %s%s", phrase.Capital(f.tree(s.Species).noun), f.phase(s.Phase), french.Colon)
	if s.Come {
		text += french.The(s.Middle)
	} else {
		text += fmt.Sprintf("vers %s (8 années sur 10%s%s)", french.The(s.Middle), french.Colon,
			french.Span(civil.Span{First: s.Early, Last: s.Late}))
	}
	return text + fmt.Sprintf(". D'habitude%s%s (%s).", french.Colon, french.The(s.Usual), pastYears(s.Years))
}

func (f inFrench) heatSoFar(by civil.Date, base, now, usual float64, years int) string {
	head := "Chaleur jusqu'au " + french.Day(by) + french.Colon
	switch least := max(now, usual); {
	case least < 5 && (now < usual-2 || now > usual+2):
		return head + "presque rien encore."
	case least < 5:
		return head + "presque rien encore, comme d'habitude."
	}
	return fmt.Sprintf("%s%s degrés-jours au-dessus de %s; d'habitude à cette date, %s (%s).", head, f.DegreeDays(now),
		f.degrees(base), f.DegreeDays(usual), pastYears(years))
}

func (f inFrench) movedBy(e *calendar.Entry, days int, since string) string {
	text := "Changé " + since
	switch {
	case days > 0:
		text = french.Count(days, "jour", "jours") + " plus tard " + since
	case days < 0:
		text = french.Count(-days, "jour", "jours") + " plus tôt " + since
	}
	return text + "; avant" + french.Colon + was(e, e.Moved)
}
