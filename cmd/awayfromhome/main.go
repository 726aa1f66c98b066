// Command awayfromhome measures what dates are worth away from where their models were fitted: at places without
// temperatures against what volunteers of the USA National Phenology Network saw (doi:10.5066/F78S4N1V), by the
// bioclimatic law alone, by built-in monthly normals alone, and by both, as package phenology weighs them; and at three
// forests with a thermometer against what a camera saw (PhenoCam and AmeriFlux, CC BY 4.0).
//
//	go run ./cmd/awayfromhome ../shared/data/transfer
//
// The folder holds npn-siteyears.csv and npn-more-phases.csv, the day of the year on which a phase was first seen, and
// camera-dates.csv with the temperatures there. What it prints of the open data is kept in testdata/awayfromhome.txt,
// which its test holds it to.
package main

import (
	"fmt"
	"io"
	"io/fs"
	"os"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: awayfromhome FOLDER")
		os.Exit(2)
	}
	if err := run(os.Stdout, os.DirFS(os.Args[1])); err != nil {
		fmt.Fprintln(os.Stderr, "awayfromhome:", err)
		os.Exit(1)
	}
}

func run(w io.Writer, folder fs.FS) error {
	seen, err := readSeen(folder)
	if err != nil {
		return err
	}
	rows, err := foresee(seen)
	if err != nil {
		return err
	}
	springs, err := watch(folder)
	if err != nil {
		return err
	}
	allow(rows)
	report(w, rows)
	leaveOut(w, rows)
	reportCameras(w, springs)
	return chooseStarts(w, seen)
}
