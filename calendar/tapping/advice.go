package tapping

import "math"

// Advice is what to do about tapping, in a word for programs. [Season.Verdict] says it to people.
type Advice string

// What to do.
const (
	AdviceTapNow    Advice = "tap-now"
	AdviceWaitAgain Advice = "wait-again"  // it was advised some days ago; who has not tapped had better wait now
	AdviceTapOrWait Advice = "tap-or-wait" // as suits: the difference is within the Plateau
	AdviceWait      Advice = "wait"
	AdvicePlan      Advice = "plan"       // the season has not begun
	AdviceTapped    Advice = "tapped"     // the plan says so
	AdvicePast      Advice = "taken-done" // the time to tap is past, and the plan does not say that it was done
	AdviceTooLate   Advice = "too-late"
	AdviceNothing   Advice = "over"      // nothing is left to tap for
	AdviceNoRecord  Advice = "no-record" // nothing to decide by
)

// Advice says what to do, as [Season.Verdict] does.
func (s *Season) Advice() Advice {
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
