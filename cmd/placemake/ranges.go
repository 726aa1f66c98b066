package main

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"

	"treewhen/profiles/ranges"
)

// rangesTable packs the rasters of a folder: ranges.csv names a species a line, and ranges-quarter-degree.bin.gz
// has theirs in that order, a bit a cell.
func rangesTable(from string) ([]byte, error) {
	list, err := os.Open(filepath.Join(from, "ranges.csv"))
	if err != nil {
		return nil, err
	}
	defer list.Close()
	rows, err := csv.NewReader(list).ReadAll()
	if err != nil {
		return nil, err
	}
	bits, err := unzipped(filepath.Join(from, "ranges-quarter-degree.bin.gz"))
	if err != nil {
		return nil, err
	}
	if want := len(rows) * ranges.RasterBytes; len(bits) != want {
		return nil, fmt.Errorf("found %d bytes of rasters, want %d", len(bits), want)
	}
	var of []ranges.Raster
	for _, row := range rows {
		of = append(of, ranges.Raster{Species: row[0], Bits: bits[:ranges.RasterBytes]})
		bits = bits[ranges.RasterBytes:]
	}
	return ranges.Pack(of)
}
