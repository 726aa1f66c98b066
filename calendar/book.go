package calendar

import "treewhen/phenology/civil"

// LitresPerGallon is the US liquid gallon of 231 cubic inches. NIST Handbook 44, appendix C (from memory; exact).
const LitresPerGallon = 3.785411784

// Gathered is what was gathered or boiled at a place on a day, by its owner's book.
type Gathered struct {
	Date  civil.Date
	Sap   float64 // litres
	Sugar float64 // of the sap, percent by weight; 0: not said
	Syrup float64 // litres
	Note  string
}
