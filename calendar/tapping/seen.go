package tapping

import (
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// seeSap takes holes to be in once the user has seen the species' sap run at the place: from nothing else does it run
// that a producer would write down. They were drilled by that day at the latest; where it was advised to tap on a day
// before it, that is taken to be the day.
func (s *Season) seeSap() {
	if s.Tapped || s.Start.Basis != phenology.BasisSeen {
		return
	}
	seen := s.Start.P50()
	if seen > s.AsOf {
		return
	}
	advised := s.Since
	if s.TapDayAdvised {
		advised = s.TapDay
	}
	day, ok := advised.Get()
	s.TapDayAdvised = ok && day <= seen
	if s.TapDayAdvised {
		s.TapDay = advised
	} else {
		s.TapDay = civil.Some(seen)
	}
	s.SapSeen, s.Past, s.Since, s.Withdrawn = civil.Some(seen), true, civil.Maybe{}, false
}
