// Package feed answers: how does a calendar program fetch a calendar, and how does the calendar stay true?
//
// A [Handler] hands out documents that were made beforehand. All of them are one [Snapshot], which is swapped as a
// whole: whoever reads during a swap gets the old or the new document, never a mix. A [Source] makes the snapshots and
// keeps the last good one when the inputs turn bad. Nothing in a request is ever used as the name of a file: the
// package knows no file, no option and no model.
package feed
