package main

import (
	"compress/gzip"
	"encoding/csv"
	"fmt"
	"io"
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
	f, err := os.Open(filepath.Join(from, "ranges-quarter-degree.bin.gz"))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		return nil, err
	}
	var of []ranges.Raster
	for _, row := range rows {
		r := ranges.Raster{Species: row[0], Bits: make([]byte, ranges.RasterBytes)}
		if _, err := io.ReadFull(z, r.Bits); err != nil {
			return nil, fmt.Errorf("%s: %w", row[0], err)
		}
		of = append(of, r)
	}
	if n, err := io.Copy(io.Discard, z); err != nil || n > 0 {
		return nil, fmt.Errorf("found %d bytes after the last species, want none (%v)", n, err)
	}
	return ranges.Pack(of)
}
