// Package words says what was decided: every sentence that a person reads is written here, one file a craft. It reads
// facts and decides nothing. Whatever is changed here changes no identifier, no date and no revision of a published
// event.
package words

import (
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/seed"
	"treewhen/calendar/tapping"
	"treewhen/phenology/civil"
)

// Text is an entry as it is said to people. Texts are plain, of one line each.
type Text struct {
	Summary   string   // without the site: "Tap sugar maple"
	Headline  string   // the title in a calendar, where that says more: "Small run very likely 18 Mar"; "" for Summary
	Fact      string   // in place of how sure: "measured", "done" where nothing is still to come, or a condition
	Word      string   // how sure it is in a word or two; a Fact goes before it
	Verdict   string   // what to do, and when, in words a crew can act on
	ChanceOf  string   // what the probability is of, behind "95 % chance": "that seed is ripe and has not fallen"
	Basis     string   // what the days rest on, with the number of years and the last day observed
	Doubts    []string // what is wrong with the temperatures behind it; said before all else
	Reasons   []string // why these days, each a sentence
	LookFor   []string // what to look for in the field
	Kit       []string // what to bring
	Cautions  []Caution
	Care      string   // the dangers by a word or two each, where there is room for no more
	Sources   []string // citations
	Reminders []string // what each reminder of the entry says, in their order; "", or none, for the summary

	Rain   *civil.Date // of a trip: the day to fall back on; nil if there is none
	chance float64
	as     phrase.Speech // how its plan speaks
	same   bool          // its title is the same all season: no Fact stands in it
	named  int           // characters of Headline that say what it is; the rest follows the season
}

// Speaker is implemented by facts of a craft that is not this program's: they say their entry themselves. How sure it
// is and, unless they say it, what it rests on, is said for them.
type Speaker interface {
	calendar.Facts
	Say(*calendar.Entry) Text
}

// Say says an entry.
func Say(e *calendar.Entry) Text {
	t := Brief(e)
	t.Doubts = Doubts(e.Doubts, e.Speech)
	switch f := e.Facts.(type) {
	case tapping.Facts:
		sayTapping(&t, e, f)
	case seed.Facts:
		saySeed(&t, e, f)
	case outing.Facts:
		sayOuting(&t, e, f)
	default:
		return t
	}
	t.Cautions = Cautions(e)
	return t
}

// Brief says what a line of an entry shows: what it is, how sure that is and what it rests on.
func Brief(e *calendar.Entry) Text {
	t := Text{as: e.Speech}
	switch f := e.Facts.(type) {
	case tapping.Facts:
		briefTapping(&t, e, f)
	case seed.Facts:
		t.Summary = seedSummary(e, f)
		if seed.Follows(f) && !e.State.Over() {
			t.Fact = seedThere(e.Lot)
			if e.Lot != nil && e.Lot.ID != "" {
				t.Basis = "the book of lots"
			}
		}
	case outing.Facts:
		briefOuting(&t, f)
	case Speaker:
		t = f.Say(e)
	}
	if t.Fact == "" {
		t.Fact = overWord(e.State, e.Speech)
	}
	if t.Basis == "" {
		t.Basis = Basis(e.Rests, e.Speech)
	}
	t.Word, t.chance, t.as = tongue{e.Speech}.confidence(e.Probability), e.Probability, e.Speech
	return t
}

// overWord says in a word what an entry is of which nothing is still to come.
func overWord(s calendar.State, as phrase.Speech) string {
	switch s {
	case calendar.Done:
		return in(as, "done", "fait")
	case calendar.Observed:
		return in(as, "measured", "mesuré")
	}
	return ""
}

// Cautions are what is to be minded with an entry.
func Cautions(e *calendar.Entry) []Caution {
	switch f := e.Facts.(type) {
	case tapping.Facts:
		return tappingCautions(e)
	case seed.Facts:
		return seedCautions(e, f)
	case outing.Facts:
		return outingCautions(f.OfDay(), e.Activity, e.Speech)
	case Speaker:
		return f.Say(e).Cautions
	}
	return nil
}

// remind says the same in every reminder of an entry.
func (t *Text) remind(e *calendar.Entry, text string) {
	for range e.Reminders {
		t.Reminders = append(t.Reminders, text)
	}
}

// Sure says how sure an entry is: a probability in words and figures, or that it is a fact.
func (t *Text) Sure() string {
	if t.Fact != "" {
		return t.Fact
	}
	return t.SureWord() + ", " + Chance(t.chance, t.as)
}

// Chance says how likely what is, as a sentence; "" of what has happened.
func (t *Text) Chance() string {
	if t.Fact != "" {
		return ""
	}
	return strings.TrimSpace(Chance(t.chance, t.as)+" "+t.ChanceOf) + "."
}

// Chance says a probability in a figure.
func Chance(p float64, as phrase.Speech) string {
	if isFrench(as) {
		return french.Chance(p)
	}
	return phrase.Percent(p) + " chance"
}

// ChanceAlone is how sure an entry is in a figure; "" where no chance is told of it.
func (t *Text) ChanceAlone() string {
	if t.Fact != "" || t.Word == "" {
		return ""
	}
	return phrase.Percent(t.chance)
}

// SureWord is how sure an entry is in a word or two.
func (t *Text) SureWord() string {
	if t.Fact != "" {
		return t.Fact
	}
	return t.Word
}
