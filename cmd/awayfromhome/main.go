// Command awayfromhome measures what dates are worth away from where their models were fitted, against what
// volunteers of the USA National Phenology Network saw (doi:10.5066/F78S4N1V), for places without temperatures: by
// the bioclimatic law alone, by built-in monthly normals alone, and by both, as package phenology weighs them.
//
//	go run ./cmd/awayfromhome ../shared/data/transfer
//
// The folder holds npn-siteyears.csv and npn-more-phases.csv: the day of the year on which a phase was first seen.
package main

import (
	"fmt"
	"os"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: awayfromhome FOLDER")
		os.Exit(2)
	}
	seen, err := readSeen(os.DirFS(os.Args[1]))
	if err == nil {
		var rows []row
		if rows, err = foresee(seen); err == nil {
			report(os.Stdout, rows)
		}
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "awayfromhome:", err)
		os.Exit(1)
	}
}
