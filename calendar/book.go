package calendar

import "treewhen/phenology/civil"

// Gathered is what was gathered or boiled at a place on a day, by its owner's book.
type Gathered struct {
	Date  civil.Date
	Sap   float64 // litres
	Sugar float64 // of the sap, percent by weight; 0: not said
	Syrup float64 // litres
	Note  string
}
