// Package awayfromhome has tests alone. They measure what dates are worth away from where their models were fitted: at
// places without temperatures against what volunteers of the USA National Phenology Network saw (doi:10.5066/F78S4N1V),
// by the bioclimatic law alone, by built-in monthly normals alone, and by both, as package phenology weighs them; and
// at three forests with a thermometer against what a camera saw (PhenoCam and AmeriFlux, CC BY 4.0).
//
// The open data are in ../shared/data/transfer: npn-siteyears.csv and npn-more-phases.csv, the day of the year on which
// a phase was first seen, and camera-dates.csv with the temperatures there. The whole table is kept in
// testdata/awayfromhome.txt, and written anew by
//
//	go test ./phenology/awayfromhome -update
package awayfromhome
