package tapping

import "math"

// Advice is what to do about tapping: one decision, which the sentence for people, the word in tables and an entry's
// facts all read. What it rests on is in [TapFacts].
type Advice string

// What to do.
const (
	TapNow    Advice = "tap-now"
	WaitAgain Advice = "wait-again"  // it was advised some days ago; who has not tapped had better wait now
	TapOrWait Advice = "tap-or-wait" // as suits: the difference is within the Plateau
	Wait      Advice = "wait"
	PlanAhead Advice = "plan"       // the season has not begun
	Tapped    Advice = "tapped"     // the plan says so
	TakenDone Advice = "taken-done" // its time is past, or sap ran, and the plan does not say that it is done
	TooLate   Advice = "too-late"   // hardly any run is still to come; it may have been advised some days ago
	Over      Advice = "over"       // nothing is left to tap for
	NoRecord  Advice = "no-record"  // nothing to decide by
)

// advise decides what to do.
func (s *Season) advise() Advice {
	d := s.Decision
	switch {
	case s.Tapped:
		return Tapped
	case s.SapSeen.Known() && (d != nil || s.ByPlace()):
		return TakenDone
	case s.ByPlace():
		return NoRecord
	case d == nil:
		return Over
	case d.Late:
		return TooLate
	case s.Past:
		return TakenDone
	}
	today := d.Share(s.Season.Day(s.AsOf))
	advised := s.Since.Known()
	switch {
	case s.Withdrawn:
		return WaitAgain
	case advised:
		return TapNow
	case math.IsNaN(today):
		return PlanAhead
	case today >= d.Waiting*(1-Plateau):
		return TapOrWait
	default:
		return Wait
	}
}

// IsOpen reports whether the advice is to tap, today or on a day to come, and nothing says that it is done.
func (s *Season) IsOpen() bool {
	switch s.Advice {
	case TapNow, WaitAgain, TapOrWait, Wait, PlanAhead:
		return true
	}
	return false
}

// Stands reports whether it was advised to tap some days ago and is too late by now: what was published stays to its
// end.
func (s *Season) Stands() bool { return s.Advice == TooLate && s.Since.Known() }
