package words

import (
	"fmt"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
)

// TapVerdictOf says what to do about the tapping of one of several species.
func TapVerdictOf(a *tapping.Account) string {
	if isFrench(a.Speech) {
		return inFrench{a.Speech}.tapVerdictOf(a)
	}
	return phrase.Capital(a.Species.Name()) + ": " + phrase.Uncapital(TapVerdict(a.Tap, a.Speech))
}

// RunAhead says which run of sap comes, when, how likely, and how much it may bring.
func RunAhead(e *calendar.Entry) string {
	if isFrench(e.Speech) {
		return inFrench{e.Speech}.runAhead(e)
	}
	said := Brief(e)
	text := said.Summary + ", " + phrase.Span(e.Window) + " (" + said.Sure() + ")"
	if f, ok := e.Facts.(*tapping.RunFacts); ok && f.Volume != nil {
		text += ": " + Volume(f.Volume, e.Speech)
	}
	return text + "."
}

// hardlyAny is up to which share of the warmth that swells buds none is spoken of. Our own choice: half of the least that
// is told.
const hardlyAny = 0.005

// BudsBrief says how far the buds are in a line.
func BudsBrief(b *tapping.Buds, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.budsBrief(b)
	}
	by := phrase.ShortDate(b.By)
	if b.Share < hardlyAny && b.P50 < hardlyAny {
		return fmt.Sprintf("Buds by %s: hardly any warmth yet, as is usual.", by)
	}
	far := share(b.Share) + " of the warmth that swells them"
	if b.Share >= 1 {
		far = "warm enough to swell; look at them"
	}
	return fmt.Sprintf("Buds by %s: %s; usual by then %s.", by, far, share(met(b.P50)))
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
	if isFrench(as) {
		return inFrench{as}.runHow(r)
	}
	if best := r.BestDay(); best.Forecast {
		return share(best.Likelihood) + " chance"
	}
	return "measured"
}

// ShareOf says which day it is, of those that a season prices.
func ShareOf(d tapping.DayShare, p *tapping.Price, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.shareOf(d, p)
	}
	switch d.Weeks {
	case -2:
		return "two weeks earlier"
	case -1:
		return "a week earlier"
	case 1:
		return "a week later"
	case 2:
		return "two weeks later"
	}
	return fmt.Sprintf("best; %s to %s are within %s of it", phrase.ShortDate(p.First), phrase.ShortDate(p.Last),
		phrase.Percent(tapping.Plateau))
}

// BudsScale names the end of the line on which it is drawn how far buds are.
func BudsScale(as phrase.Speech) string {
	if isFrench(as) {
		return "gonflement"
	}
	return "buds swell"
}
