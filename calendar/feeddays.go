package calendar

// FeedDays says how a piece of work that can be done on any of many days stands in a calendar: long windows can bury a
// month's view.
type FeedDays string

// The ways of standing in a calendar.
const (
	FeedWindows  FeedDays = "windows"   // one event over all the days of the window
	FeedBestDays FeedDays = "best-days" // one event on the best day alone
	FeedBoth     FeedDays = "both"      // the window, and a second event on the best day
)
