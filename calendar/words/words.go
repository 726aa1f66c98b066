// Package words says what was decided: every sentence that a person reads is written here, one file a craft. It reads facts
// and decides nothing. Whatever is changed here changes no identifier, no date and no revision of a published event.
package words

import (
	"treewhen/calendar"
	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
	"treewhen/calendar/tapping"
	"treewhen/phenology/civil"
)

// Text is an entry as it is said to people. Texts are plain, of one line each.
type Text struct {
	Summary   string   // without the site: "Tap sugar maple"
	Fact      string   // what it is in a word where nothing of it is still to come, "observed" or "done", in place of how sure
	Word      string   // how sure it is in a word or two; a Fact goes before it
	ChanceOf  string   // what the probability is of: "that seed is ripe and has not fallen"; with a Fact, a sentence of it
	Basis     string   // what the days rest on, with the number of years and the last day observed
	Reasons   []string // why these days, each a sentence
	LookFor   []string // what to look for in the field
	Kit       []string // what to bring
	Cautions  []string
	Sources   []string // citations
	Reminders []string // what each reminder of the entry says, in their order; "" for the summary

	Rain   *civil.Date // of a trip: the day to fall back on; nil if there is none
	chance float64
}

// Say says an entry.
func Say(e *calendar.Entry) Text {
	t := say(e)
	t.Word, t.chance = phrase.Confidence(e.Probability), e.Probability
	if e.Task == calendar.TaskTrip {
		t.Rain = outing.RainDate(e)
	}
	return t
}

// say says of an entry what its craft has to say.
func say(e *calendar.Entry) Text {
	if f, ok := e.Facts.(tapping.Facts); ok {
		return sayTapping(e, f)
	}
	t := Text{
		Summary: e.Summary, Fact: e.Fact, ChanceOf: e.ProbabilityOf, Basis: e.BasisText,
		Reasons: e.Reasons, LookFor: e.LookFor, Kit: e.Kit, Cautions: e.Cautions, Sources: e.Sources,
	}
	for _, r := range e.Reminders {
		t.Reminders = append(t.Reminders, r.Text)
	}
	switch f := e.Facts.(type) {
	case seed.Facts:
		saySeed(&t, e, f)
	case outing.Facts:
		sayOuting(&t, e, f)
	}
	if t.Basis == "" {
		t.Basis = Basis(e.Rests)
	}
	return t
}

// Sure says how sure an entry is: a probability in words and figures, or that it is a fact.
func (t *Text) Sure() string {
	if t.Fact != "" {
		return t.Fact
	}
	return t.SureWord() + ", " + phrase.Percent(t.chance)
}

// SureWord is how sure an entry is in a word or two.
func (t *Text) SureWord() string {
	if t.Fact != "" {
		return t.Fact
	}
	return t.Word
}
