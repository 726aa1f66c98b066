// Package phenology answers: when does each thing happen at this site, and how sure is that?
//
// Phenology is the study of what living things do by the season. A [Phase] is one such thing, that happens once a year
// on a tree: its buds break, its leaves turn. In spring the date follows the warmth so far, which is summed day by day
// in degree-days: a day whose mean is 8 °C has 3 of them over a base of 5. Many trees must first have been cold for
// long enough (chilling), and sap runs on days that thaw after a night's frost.
//
// The way to a date, which the example walks:
//
//   - A [Site] is a place. Its daily minima and maxima, a [treewhen/phenology/weather.Series], become [Temperatures].
//   - A [Species] holds for each of its phases a [PhaseRecord]: dates published for other places, and a [PhaseModel]
//     that turns temperatures into a date. Package profiles has a library of species.
//   - An [Outlook] is the site with all that is known of it: its Temperatures, if it has any, and the [Sightings] of
//     whoever looks at its trees. [Outlook.Estimate] dates the phases of a species in one [Season].
//   - An [Estimate] is what came out: a [Distribution], of which [Estimate.P10], [Estimate.P50] and [Estimate.P90] are
//     the early, the middle and the late date, and the [Basis] on which it rests; or no date, and the reason.
//
// A season under way is completed by what came after this day in each past year of the record, one member of an
// ensemble a year. Each member is dated by the models, and the dates, each as uncertain as the models were on years
// that they were not fitted to, are the distribution. It narrows as days arrive. Without temperatures, published dates
// are moved to the site by the bioclimatic law: see [Shift].
//
// Conventions: degrees Celsius; metres; decimal degrees, north and east positive. A date is a [civil.Date], which has
// no clock and no zone. A [SeasonDay] is a whole day of a season: 1 is 1 January in the north and 2 July in the south,
// and days below 1 lie in the months before. A moment of a season is a float64 in the same count.
//
// The package reads no file, asks no clock and plans no work. Input that makes no sense is refused where it is read;
// what is written here of panics is of mistakes in the calling program.
package phenology
