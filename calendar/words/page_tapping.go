package words

import (
	"fmt"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology/civil"
)

// TapVerdictOf says what to do about the tapping of one of several species.
func TapVerdictOf(a *tapping.Account) string {
	l := tongue{a.Speech}
	tree, verdict := phrase.Capital(l.tree(a.Species)), TapVerdict(a.Tap, a.Speech)
	return in(a.Speech, tree+": "+phrase.Uncapital(verdict), tree+". "+verdict) // a verdict may have its own colon
}

// RunAhead says which run of sap comes, when, how likely, and how much it may bring.
func RunAhead(e *calendar.Entry) string {
	l, said := tongue{e.Speech}, Brief(e)
	text := said.Summary + ", " + l.span(e.Window) + " (" + said.Sure() + ")"
	if f, ok := e.Facts.(*tapping.RunFacts); ok && f.Volume != nil {
		text += l.colon() + Volume(f.Volume, e.Speech)
	}
	return text + "."
}

// hardlyAny is up to which share of the warmth that swells buds none is spoken of. Our own choice: half of the least
// that is told.
const hardlyAny = 0.005

// BudsBrief says how far the buds are in a line.
func BudsBrief(b *tapping.Buds, as phrase.Speech) string {
	l := tongue{as}
	if b.Share < hardlyAny && b.P50 < hardlyAny {
		return l.say("Buds by %s: hardly any warmth yet, as is usual.",
			"Bourgeons, au %s\u00a0: presque pas de chaleur encore, comme d'habitude.", l.day(b.By))
	}
	far := l.say("%s of the warmth that swells them", "%s de la chaleur qui les gonfle", l.share(b.Share))
	if b.Share >= 1 {
		far = in(as, "warm enough to swell; look at them", "assez de chaleur pour se gonfler; regardez-les")
	}
	return l.say("Buds by %s: %s; usual by then %s.", "Bourgeons, au %s\u00a0: %s; d'habitude à cette date, %s.",
		l.day(b.By), far, l.share(met(b.P50)))
}

// BookedSoFar says what a place's book has of this season.
func BookedSoFar(b *tapping.Book, as phrase.Speech) string { return Book(b, as)[0] }

// SapHeading names a season of sap.
func SapHeading(a *tapping.Account) string {
	if isFrench(a.Speech) {
		return SapHead(a.Species, a.Season.Year, a.Speech)
	}
	return fmt.Sprintf("Sap of %s, %d", a.Species.Name(), a.Season.Year)
}

// RunHow says how a run is known: it was measured, or how likely it is on its best day.
func RunHow(r *tapping.RunFacts, as phrase.Speech) string {
	if best := r.BestDay(); best.Forecast {
		return Chance(float64(best.Likelihood), as)
	}
	return in(as, "measured", "mesurée")
}

// ShareOf says which day it is, of those that a season prices.
func ShareOf(d tapping.DayShare, p *tapping.Price, as phrase.Speech) string {
	l := tongue{as}
	switch d.Weeks {
	case -2:
		return in(as, "two weeks earlier", "deux semaines plus tôt")
	case -1:
		return in(as, "a week earlier", "une semaine plus tôt")
	case 1:
		return in(as, "a week later", "une semaine plus tard")
	case 2:
		return in(as, "two weeks later", "deux semaines plus tard")
	}
	good := in(as, phrase.ShortDate(p.First)+" to "+phrase.ShortDate(p.Last),
		french.ShortSpan(civil.Span{First: p.First, Last: p.Last}))
	return l.say("best; %s are within %s of it", "au mieux; %s, à moins de %s du meilleur", good,
		l.share(tapping.Plateau))
}

// BudsScale names the end of the line on which it is drawn how far buds are.
func BudsScale(as phrase.Speech) string { return in(as, "buds swell", "gonflement") }
