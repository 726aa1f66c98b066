package weather

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"treewhen/phenology/civil"
)

// BenchmarkRead reads a century of days in each format.
func BenchmarkRead(b *testing.B) {
	first, last := civil.Of(1920, time.January, 1), civil.Of(2019, time.December, 31)
	temperatures := func(d civil.Date) (low, high int) { // tenths of a degree Celsius
		wave := int(d) * 7919 % 211
		return wave - 160, wave - 20
	}
	decimal := func(tenths int) string { return fmt.Sprintf("%.1f", float64(tenths)/10) }
	build := func(header string, row func(b *strings.Builder, d civil.Date, low, high int)) []byte {
		var s strings.Builder
		s.WriteString(header)
		for d := first; d <= last; d++ {
			low, high := temperatures(d)
			row(&s, d, low, high)
		}
		return []byte(s.String())
	}
	var fixed strings.Builder
	for year := 1920; year < 2020; year++ {
		for month := 1; month <= 12; month++ {
			for _, element := range []string{"TMAX", "TMIN"} {
				days := map[int]string{}
				for day := 1; day <= daysIn(year, time.Month(month)); day++ {
					v, high := temperatures(civil.Of(year, time.Month(month), day))
					if element == "TMAX" {
						v = high
					}
					days[day] = fmt.Sprintf("%5d  S", v)
				}
				fixed.WriteString(dly(hill, year, month, element, days))
			}
		}
	}
	plain := build("date,tmin_c,tmax_c\n", func(b *strings.Builder, d civil.Date, low, high int) {
		fmt.Fprintf(b, "%s,%s,%s\n", d, decimal(low), decimal(high))
	})
	for _, c := range []struct {
		name string
		text []byte
	}{
		{"plain", plain},
		{"plain-gzip", []byte(gz(string(plain)))},
		{"ghcn-dly", []byte(fixed.String())},
		{"ghcn-csv-long", build("", func(b *strings.Builder, d civil.Date, low, high int) {
			day := d.Format("20060102")
			fmt.Fprintf(b, "%s,%s,TMAX,%d,,,S,0700\n%s,%s,TMIN,%d,,,S,0700\n", hill, day, high, hill, day, low)
		})},
		{"ghcn-csv-wide", build(wideHeader, func(b *strings.Builder, d civil.Date, low, high int) {
			fmt.Fprintf(b, "\"%s\",\"%s\",\"44.62\",\"-89.61\",\"350.5\",\"HILL, XX\",\"%5d\",\",,S,0700\",\"%5d\",\",,S,0700\"\n", hill, d, high, low)
		})},
		{"canada-csv", build(canadaHeader, func(b *strings.Builder, d civil.Date, low, high int) {
			b.WriteString(canadaRow(d.String(), decimal(high), "", decimal(low), ""))
		})},
		{"grid-cell-csv", build(gridHeader, func(b *strings.Builder, d civil.Date, low, high int) {
			if d.YearDay() < 366 {
				fmt.Fprintf(b, "%d,%d,40000.00,0.00,300.00,80.00,%s,%s,120.00\n", d.Year(), d.YearDay(), decimal(high), decimal(low))
			}
		})},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.SetBytes(int64(len(c.text)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Read(bytes.NewReader(c.text), "a.csv", Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
