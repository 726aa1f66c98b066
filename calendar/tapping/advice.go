package tapping

import "math"

// SapAdvice is what to do about tapping, in a word for programs. [SapSeason.Verdict] says it to people.
type SapAdvice string

// What to do.
const (
	AdviceTapNow    SapAdvice = "tap-now"
	AdviceWaitAgain SapAdvice = "wait-again"  // it was advised some days ago; who has not tapped had better wait now
	AdviceTapOrWait SapAdvice = "tap-or-wait" // as suits: the difference is within the Plateau
	AdviceWait      SapAdvice = "wait"
	AdvicePlan      SapAdvice = "plan"       // the season has not begun
	AdviceTapped    SapAdvice = "tapped"     // the plan says so
	AdvicePast      SapAdvice = "taken-done" // the time to tap is past, and the plan does not say that it was done
	AdviceTooLate   SapAdvice = "too-late"
	AdviceNothing   SapAdvice = "over"      // nothing is left to tap for
	AdviceNoRecord  SapAdvice = "no-record" // nothing to decide by
)

// Advice says what to do, as [SapSeason.Verdict] does.
func (s *SapSeason) Advice() SapAdvice {
	d := s.Decision
	switch {
	case s.Tapped:
		return AdviceTapped
	case s.ByPlace():
		return AdviceNoRecord
	case d == nil:
		return AdviceNothing
	case d.Late:
		return AdviceTooLate
	case s.Past:
		return AdvicePast
	case s.WaitAgain():
		return AdviceWaitAgain
	case s.Since.Known():
		return AdviceTapNow
	}
	today := d.Share(s.Season.Day(s.AsOf))
	switch {
	case math.IsNaN(today):
		return AdvicePlan
	case today >= d.Waiting*(1-Plateau):
		return AdviceTapOrWait
	default:
		return AdviceWait
	}
}
