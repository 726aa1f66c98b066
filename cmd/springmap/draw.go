package main

import (
	"encoding/csv"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"

	"treewhen/phenology/civil"
	"treewhen/profiles/ranges"
)

// The map: an Albers equal-area conic (Snyder 1987, Map Projections, USGS Professional Paper 1395, equations 14-3 to
// 14-6, on a sphere; from memory), in pixels of so many to a radius of the Earth.
const (
	width, height      = 640, 520
	scale              = 1080.0
	north1, north2     = 32.0, 56.0 // the parallels that are true
	middleLat, middleE = 46.5, -86.0
	legend             = 44 // pixels at the foot
)

// The days that the colours run between, one band for each ten.
const firstDay, lastDay, band = 70, 170, 10

// Index of the palette: the paper, land without the tree, then the bands.
var palette = color.Palette{
	color.RGBA{255, 255, 255, 255}, color.RGBA{226, 226, 222, 255}, color.RGBA{60, 60, 60, 255},
	color.RGBA{84, 39, 136, 255}, color.RGBA{69, 89, 173, 255}, color.RGBA{53, 132, 187, 255},
	color.RGBA{72, 168, 160, 255}, color.RGBA{112, 190, 110, 255}, color.RGBA{178, 210, 80, 255},
	color.RGBA{238, 214, 70, 255}, color.RGBA{246, 170, 60, 255}, color.RGBA{228, 112, 50, 255},
	color.RGBA{176, 58, 46, 255},
}

const paper, land, ink, bands = 0, 1, 2, 3

// project returns a point's place on the map, in pixels from the upper left.
func project(latitude, longitude float64) (x, y float64) {
	rad := func(d float64) float64 { return d * math.Pi / 180 }
	n := (math.Sin(rad(north1)) + math.Sin(rad(north2))) / 2
	c := math.Pow(math.Cos(rad(north1)), 2) + 2*n*math.Sin(rad(north1))
	rho := func(lat float64) float64 { return math.Sqrt(c-2*n*math.Sin(rad(lat))) / n }
	theta := n * rad(longitude-middleE)
	return width/2 + scale*rho(latitude)*math.Sin(theta),
		(height-legend)/2 - scale*(rho(middleLat)-rho(latitude)*math.Cos(theta))
}

// unproject is project the other way.
func unproject(x, y float64) (latitude, longitude float64) {
	rad := math.Pi / 180
	n := (math.Sin(north1*rad) + math.Sin(north2*rad)) / 2
	c := math.Pow(math.Cos(north1*rad), 2) + 2*n*math.Sin(north1*rad)
	rho0 := math.Sqrt(c-2*n*math.Sin(middleLat*rad)) / n
	x, y = (x-width/2)/scale, ((height-legend)/2-y)/scale
	rho := math.Hypot(x, rho0-y)
	return math.Asin((c-rho*rho*n*n)/(2*n)) / rad, middleE + math.Atan2(x, rho0-y)/n/rad
}

type cell struct{ row, column int }

// cellAt is the quarter of a degree that a point lies in.
func cellAt(latitude, longitude float64) cell {
	return cell{int(math.Floor(latitude * 4)), int(math.Floor(longitude * 4))}
}

// draw draws the middle dates of a phase where the species is native; where it is not, land is grey.
func draw(dir, species, phase, file string) error {
	cells, err := readCells(filepath.Join(dir, "grid.csv"))
	if err != nil {
		return err
	}
	days, err := readDays(filepath.Join(dir, "phases.csv"), species, phase, cells)
	if err != nil {
		return err
	}
	onLand := map[cell]bool{}
	for _, c := range cells {
		onLand[c] = true
	}
	img := image.NewPaletted(image.Rect(0, 0, width, height), palette)
	for y := range height - legend {
		for x := range width {
			latitude, longitude := unproject(float64(x)+0.5, float64(y)+0.5)
			c := cellAt(latitude, longitude)
			if !onLand[c] {
				continue
			}
			img.SetColorIndex(x, y, land)
			day, dated := days[c]
			if native, _ := ranges.At(species, latitude, longitude); dated && native {
				img.SetColorIndex(x, y, bandOf(day))
			}
		}
	}
	drawLegend(img)
	f, err := os.Create(file)
	if err != nil {
		return err
	}
	encoder := png.Encoder{CompressionLevel: png.BestCompression}
	if err := encoder.Encode(f, img); err != nil {
		return err
	}
	fmt.Fprintf(os.Stderr, "springmap: %d cells dated, %d drawn in %s\n", len(days), len(cells), file)
	return f.Close()
}

func bandOf(day int) uint8 {
	return uint8(bands + max(0, min((lastDay-firstDay)/band-1, (day-firstDay)/band)))
}

// drawLegend draws a box for each band, with its first day as the day of the month and the month's number below: such
// as 3/11. Digits are drawn as they are, for there is no font in the standard library.
func drawLegend(img *image.Paletted) {
	n := (lastDay - firstDay) / band
	box := (width - 40) / n
	for i := range n {
		left := 20 + i*box
		for x := left; x < left+box-2; x++ {
			for y := height - legend + 8; y < height-legend+22; y++ {
				img.SetColorIndex(x, y, uint8(bands+i))
			}
		}
		d := civil.Of(2027, 1, 1) + civil.Date(firstDay+i*band-1)
		write(img, left, height-16, fmt.Sprintf("%d/%d", d.Month(), d.Day()))
	}
}

// digits are 3 by 5 pixels each, row by row.
var digits = map[rune]string{
	'0': "111101101101111", '1': "010110010010111", '2': "111001111100111", '3': "111001111001111",
	'4': "101101111001001", '5': "111100111001111", '6': "111100111101111", '7': "111001010010010",
	'8': "111101111101111", '9': "111101111001111", '/': "001001010100100",
}

func write(img *image.Paletted, x, y int, text string) {
	const size = 2
	for _, r := range text {
		for i, bit := range digits[r] {
			if bit == '0' {
				continue
			}
			for dy := range size {
				for dx := range size {
					img.SetColorIndex(x+i%3*size+dx, y+i/3*size+dy, ink)
				}
			}
		}
		x += 4 * size
	}
}

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
