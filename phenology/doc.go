// Package phenology answers: when does each thing happen at this site, and how sure is that?
//
// An [Outlook] is one site with what is known of it: its daily [Temperatures], if it has any, and the [Sightings] of whoever
// looks at its trees. It dates the [Phase]s of a [Species] in one [Season]: each date is a [Distribution] with the [Basis] on
// which it rests, or the reason why there is none.
//
// Conventions: degrees Celsius; metres; decimal degrees, north and east positive. A date is a [civil.Date], which has no
// clock and no zone. A [SeasonDay] is a whole day of a season: 1 is 1 January in the north and 2 July in the south, and days
// below 1 lie in the months before. A moment of a season is a float64 in the same count.
//
// A [Model] turns a season's temperatures into a day; what it takes as given, and its source, stands at each. A
// [PhaseModel] averages several and carries the spread that they left on years to which they were not fitted. The package reads no file,
// asks no clock and plans no work.
package phenology
