package main

import (
	"bytes"
	"compress/gzip"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"

	"treewhen/phenology/climate"
)

// climateTable packs a CSV of normals: lat,lon,elevation_m,tmin01..12,tmax01..12, degrees Celsius to a tenth.
func climateTable(from string) ([]byte, error) {
	text, err := unzipped(from)
	if err != nil {
		return nil, err
	}
	lines := csv.NewReader(bytes.NewReader(text))
	lines.FieldsPerRecord = 27
	head, err := lines.Read()
	if err != nil {
		return nil, fmt.Errorf("%s:1: %w", from, err)
	}
	if head[0] != "lat" || head[2] != "elevation_m" || head[3] != "tmin01" || head[26] != "tmax12" {
		return nil, fmt.Errorf("%s:1: found columns %v, want lat, lon, elevation_m, tmin01 to 12, tmax01 to 12",
			from, head)
	}
	var rows []climate.Row
	for n := 2; ; n++ {
		f, err := lines.Read()
		if err == io.EOF {
			return climate.Pack(rows)
		}
		var v [27]float64
		for i := 0; i < len(f) && err == nil; i++ {
			v[i], err = strconv.ParseFloat(f[i], 64)
		}
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %w", from, n, err)
		}
		row := climate.Row{Latitude: v[0], Longitude: v[1], Elevation: int(v[2])}
		for i := range row.Tenths {
			row.Tenths[i] = int(math.Round(v[3+i] * 10))
		}
		rows = append(rows, row)
	}
}

// unzipped returns what a gzipped file holds.
func unzipped(file string) ([]byte, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	return io.ReadAll(z)
}
