package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"strconv"

	"treewhen/phenology/civil"
)

func readCells(file string) (map[string]cell, error) {
	cells := map[string]cell{}
	err := eachRow(file, func(row []string) error {
		latitude, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			return err
		}
		longitude, err := strconv.ParseFloat(row[2], 64)
		cells[row[0]] = cellAt(latitude, longitude)
		return err
	})
	return cells, err
}

// readDays reads the middle dates, as days of the year.
func readDays(file, species, phase string, cells map[string]cell) (map[cell]int, error) {
	days := map[cell]int{}
	err := eachRow(file, func(row []string) error {
		if row[1] != species || row[2] != phase || row[5] == "" {
			return nil
		}
		d, err := civil.Parse(row[5])
		days[cells[row[0]]] = d.YearDay()
		return err
	})
	return days, err
}

// eachRow calls f for each row of a CSV file but the first.
func eachRow(file string, f func([]string) error) error {
	in, err := os.Open(file)
	if err != nil {
		return err
	}
	defer in.Close()
	rows := csv.NewReader(in)
	rows.ReuseRecord = true
	for n := 1; ; n++ {
		row, err := rows.Read()
		if err == io.EOF {
			return nil
		}
		if err == nil && n > 1 {
			err = f(row)
		}
		if err != nil {
			return fmt.Errorf("%s:%d: %w", file, n, err)
		}
	}
}
