package outing

import (
	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// What a reader must know of a place's outings: see [calendar.Note].
type (
	// NoDayLeft says that the plan leaves no day for a trip in a school year.
	NoDayLeft struct{ Taken *Taken }

	// NothingToSee says that nothing of what the class is to see in a school year can be dated.
	NothingToSee struct{ YearFrom civil.Date }

	// PlannedFrom says that a school year is under way, and that no trip of it is known to have been made.
	PlannedFrom struct {
		Trips          int
		YearFrom, From civil.Date
	}

	// FewerTrips says that a school year has fewer trips than were asked for.
	FewerTrips struct {
		Trips, Wanted int
		YearFrom      civil.Date
		Why           Fewer
	}

	// Undated says that a species shows a sight on days that cannot be told here. There is one for each species and
	// sight.
	Undated struct {
		See     calendar.Sight
		Species *phenology.Species
	}

	// NeverBare says that a species is in no survey, since leaf fall or bud swell cannot be dated here.
	NeverBare struct{ Species *phenology.Species }

	// NoSurvey says that the winter after a season has no survey.
	NoSurvey struct {
		Season int
		Term   bool // the plan's terms have none of its days
		LeftOut
	}
)

// Fewer is why there are fewer trips than asked for.
type Fewer uint8

// The reasons.
const (
	NoRoom        Fewer = iota // no more days fit the plan's spacing, months and calendars
	AddNothing                 // more would add next to nothing
	NothingLikely              // on no day left can anything be expected
)
