package busy

import (
	"slices"
)

// State is what an event leaves of its days.
type State string

// The states.
const (
	Taken State = "taken" // nothing
	Half  State = "half"  // a part: the morning or the afternoon
	Free  State = "free"  // all
)

// Basis is what decided the state of an event.
type Basis int

// What can decide, in the order in which it is asked.
const (
	ByPlan         Basis = iota + 1 // the plan's own words
	ByCancellation                  // the event was called off: by its STATUS, or by its title
	ByTitle                         // words in the title
	ByText                          // words in the categories or the beginning of the description
	ByHours                         // an event with hours takes them
	ByTransparency                  // TRANSP says free; or there is no title to go by
	ByMark                          // a day that is not understood, and was marked as busy by hand
	ByNothing                       // a day that is not understood
)

// Understood reports whether words or hours decided, and not only the lack of them.
func (b Basis) Understood() bool { return b != ByMark && b != ByNothing }

// reading is the state of an event and what decided it.
type reading struct {
	State      State
	Basis      Basis
	MarkedFree bool // by TRANSP
	whole      bool // an event with hours takes, or leaves half of, the whole of its days
	half       halves
}

// Words are a plan's own words for the titles of its calendars. They come before the rules that are built in; of
// several that fit, the longest decides. A half day loses its afternoon, unless its title says late or delayed.
type Words struct{ Taken, Free, Half []string }

// judge decides what events take.
type judge struct {
	own  []ownWords
	book *phrasebook
}

// ownWords are words of a plan.
type ownWords struct {
	state State
	words []string
}

func newJudge(w Words) *judge {
	j := &judge{book: builtIn()}
	for _, list := range []struct {
		state State
		texts []string
	}{{Taken, w.Taken}, {Half, w.Half}, {Free, w.Free}} {
		for _, text := range list.texts {
			if words := wordsOf(text); len(words) > 0 {
				j.own = append(j.own, ownWords{list.state, words})
			}
		}
	}
	slices.SortStableFunc(j.own, func(a, b ownWords) int { return len(b.words) - len(a.words) })
	return j
}

// byPlan returns what the plan's own words say of a title, "" if none fits.
func (j *judge) byPlan(text string) State {
	if len(j.own) == 0 {
		return ""
	}
	title := wordsOf(text)
	for _, own := range j.own {
		for at := 0; at+len(own.words) <= len(title); at++ {
			if slices.Equal(own.words, title[at:at+len(own.words)]) {
				return own.state
			}
		}
	}
	return ""
}

// facts are what an event says of itself.
type facts struct {
	title               string
	more                func() []string // what else it says, asked for where the title does not tell
	cancelled           bool
	transparent, opaque bool // as it is written; neither where TRANSP is missing
	marked              bool // as busy or away, by a property that some programs add
	whole               bool // days and no hours
	days                int  // of whole days
}

// read decides by ten rules, of which the first that fits wins:
//
//  1. an event that was called off takes nothing;
//  2. nor does one that says that there is school;
//  3. words that only look like those of a rule are left out of account;
//  4. "no school" and the like take the day, whatever hours they have;
//  5. an early release, a late start and half days take a half;
//  6. report cards, a day's name within a cycle and the like take nothing;
//  7. days for the staff alone, holidays and breaks take the day, if they are whole days;
//  8. tests take their days or their hours;
//  9. the words of rules 4 and 5 count in the categories and at the beginning of the description as well;
//  10. of what is left, whole days are free, and events with hours are what TRANSP says.
//
// The plan's own words come before them all. TRANSP decides nothing for whole days, since programs set it without
// asking: some write every new one as free, others as busy or not at all (RFC 5545 section 3.8.2.7 makes that
// busy). It decides where there is no title.
func (j *judge) read(e facts) reading {
	found := j.book.read(e.title)
	if own := j.byPlan(e.title); own != "" && !e.cancelled {
		return reading{State: own, Basis: ByPlan, whole: e.whole || own == Half, half: found.halves()}
	}
	says := func(r rule) bool { return found.at[r] >= 0 }
	switch {
	case e.cancelled || says(ruleCalledOff):
		return reading{State: Free, Basis: ByCancellation}
	case says(ruleInSession):
		return reading{State: Free, Basis: ByTitle}
	}
	if r, ok := found.closing(ByTitle); ok {
		return r
	}
	switch {
	case says(ruleCycle), e.whole && says(ruleOrdinary):
		return reading{State: Free, Basis: ByTitle}
	case e.whole && (says(ruleStaff) || says(ruleSeason) || says(ruleHoliday)), says(ruleExam):
		return reading{State: Taken, Basis: ByTitle, whole: e.whole}
	case !e.whole && e.transparent:
		return reading{State: Free, Basis: ByTransparency}
	case !e.whole:
		return reading{State: Taken, Basis: ByHours}
	}
	for _, text := range e.more() {
		if r, ok := j.book.read(text).closing(ByText); ok {
			return r
		}
	}
	switch {
	case e.title == "" && !e.transparent:
		return reading{State: Taken, Basis: ByTransparency, whole: true}
	case e.title == "":
		return reading{State: Free, Basis: ByTransparency}
	case e.opaque && e.marked && e.days == 1:
		return reading{State: Taken, Basis: ByMark, whole: true}
	default:
		return reading{State: Free, Basis: ByNothing}
	}
}

// closing returns what rules 4 and 5 say of a text.
func (f found) closing(by Basis) (reading, bool) {
	switch {
	case f.at[ruleClosed] >= 0:
		return reading{State: Taken, Basis: by, whole: true}, true
	case f.at[ruleRelease] >= 0 || f.at[ruleLate] >= 0:
		return reading{State: Half, Basis: by, whole: true, half: f.halves()}, true
	default:
		return reading{}, false
	}
}
