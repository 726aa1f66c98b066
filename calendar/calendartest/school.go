package calendartest

import (
	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// School is a plan for field trips of an invented school in New Hampshire that has five maples and no thermometer, as
// of 12 March 2027. Its place is as change leaves it, unless that is nil. It panics if the library has no maples.
func School(change func(*calendar.Place)) *calendar.Plan {
	p := &calendar.Place{
		Outlook: &phenology.Outlook{Site: phenology.Site{
			ID: "weir-street", Name: "Weir Street school", Latitude: 43.2, Longitude: -71.5, Elevation: 120,
			Zone: Zone("America/New_York"),
		}},
		Activities: []calendar.Activity{calendar.FieldTrip}, Options: calendar.DefaultOptions(),
	}
	p.Species = species("acer-saccharum", "acer-rubrum", "acer-saccharinum", "acer-platanoides", "acer-negundo")
	o := &p.Options.Trip
	o.Trips, o.Spacing, o.MostMonth = 4, 10, 2
	o.YearStarts = civil.MonthDay{Month: 1, Day: 1} // spring and autumn are one choice
	o.Hours = calendar.Hours{Start: 9 * 60, End: 11*60 + 30}
	o.Terms = []civil.Span{Span("2027-03-15", "2027-06-15"), Span("2027-08-30", "2027-12-17")}
	if change != nil {
		change(p)
	}
	return &calendar.Plan{
		Title: "School", FeedID: FeedID, AsOf: Day("2027-03-12"), Span: Span("2027-03-12", "2028-03-11"),
		Places: []*calendar.Place{p},
	}
}
