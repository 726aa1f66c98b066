package main

import (
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
	f, err := os.Open(from)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", from, err)
	}
	rows, err := readClimate(z)
	if err != nil {
		return nil, fmt.Errorf("%s:%w", from, err)
	}
	return climate.Pack(rows)
}

func readClimate(r io.Reader) (rows []climate.Row, err error) {
	lines := csv.NewReader(r)
	lines.FieldsPerRecord = 27
	lines.ReuseRecord = true
	for n := 1; ; n++ {
		f, err := lines.Read()
		if err == io.EOF {
			return rows, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%d: %w", n, err)
		}
		if n == 1 {
			if f[0] != "lat" || f[2] != "elevation_m" || f[3] != "tmin01" || f[26] != "tmax12" {
				return nil, fmt.Errorf("1: found columns %v, want lat, lon, elevation_m, tmin01 to 12, tmax01 to 12",
					f)
			}
			continue
		}
		var v [27]float64
		for i := range f {
			if v[i], err = strconv.ParseFloat(f[i], 64); err != nil {
				return nil, fmt.Errorf("%d: %w", n, err)
			}
		}
		row := climate.Row{Latitude: v[0], Longitude: v[1], Elevation: int(v[2])}
		for i := range row.Tenths {
			row.Tenths[i] = int(math.Round(v[3+i] * 10))
		}
		rows = append(rows, row)
	}
}
