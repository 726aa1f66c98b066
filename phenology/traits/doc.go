// Package traits answers: by what can these species be told apart on this day, and how surely can it be seen?
//
// A [Watch] follows one species at one site and says how likely a trait of it can be seen on a day, from the estimates
// of the two phases between which it shows: a [Spell]. A [Separator] compares every pair of a list of species and gives
// the [Split]s between them, day by day.
package traits
