package main

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"math/rand/v2"
	"time"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// casesFolder has a folder for each of the worked cases.
const casesFolder = "testdata/cases/"

// nursery makes a nursery's own thermometer, twenty years and what the case lives through.
func (f files) nursery() {
	valley := climate{mean: 7.4, swing: 14.0, seed: 20290301}
	days := valley.days(civil.Of(2009, time.January, 1), civil.Of(2030, time.June, 20))
	f[casesFolder+"nursery/valley.csv.gz"] = gzipped(inCelsius(
		"The valley at Three Fords, an invented place; invented weather", days))
}

// sugarbush makes a producer's thermometer in degrees Fahrenheit, and the forecasts as they stood on three mornings.
// Each misses what then came by more the further ahead it looks.
func (f files) sugarbush() {
	house := climate{mean: 4.7, swing: 16.2, seed: 20310305}
	days := house.days(civil.Of(2010, time.January, 1), civil.Of(2031, time.April, 30))
	const place = "the sugarhouse at Pike Hollow, an invented place"
	f[casesFolder+"sugarbush/sugarhouse.csv.gz"] = gzipped(inFahrenheit(
		"The thermometer of "+place+"; invented weather", days.Until(civil.Of(2031, time.April, 20))))
	for i, issued := range []civil.Date{civil.Of(2031, time.February, 27), civil.Of(2031, time.March, 5),
		civil.Of(2031, time.March, 20)} {
		data := inFahrenheit(fmt.Sprintf("An invented forecast of %s for %s", issued, place),
			forecast(days, issued, uint64(i)))
		f[fmt.Sprintf(casesFolder+"sugarbush/forecast-%s.csv", issued)] = data
		if i == 0 { // which the plan names, and the story puts the others over
			f[casesFolder+"sugarbush/forecast.csv"] = data
		}
	}
}

// school makes a weather station near a school, in the form in which Canada's agency publishes its daily data; some
// days are missing, as they are in such files.
func (f files) school() {
	station := climate{mean: 6.1, swing: 15.4, seed: 20290820}
	days := station.days(civil.Of(2011, time.January, 1), civil.Of(2030, time.May, 6))
	r := rand.New(rand.NewPCG(20290820, 1))
	var b bytes.Buffer
	b.WriteString("\ufeff" + `"Longitude (x)","Latitude (y)","Station Name","Climate ID","Date/Time","Year","Month",` +
		`"Day","Max Temp (°C)","Max Temp Flag","Min Temp (°C)","Min Temp Flag"` + "\r\n")
	for i, d := range days.Days {
		date := days.First + civil.Date(i)
		year, month, day := date.Date()
		fmt.Fprintf(&b, `"-76.35","44.88","INVENTED STATION","0000000","%s","%d","%02d","%02d",`, date, year, month,
			day)
		if r.IntN(150) == 0 {
			b.WriteString(`"","M","","M"` + "\r\n")
			continue
		}
		fmt.Fprintf(&b, `"%.1f","","%.1f",""`+"\r\n", d.Max, d.Min)
	}
	f[casesFolder+"school/station.csv.gz"] = gzipped(b.Bytes())
}

// forecastDays is how far a forecast looks ahead.
const forecastDays = 10

// forecast returns the days after issued as somebody could have foreseen them: off by half a degree, and a third of a
// degree more each day ahead.
func forecast(s weather.Series, issued civil.Date, seed uint64) weather.Series {
	r := rand.New(rand.NewPCG(uint64(issued), seed))
	f := weather.Series{First: issued + 1}
	for ahead := range civil.Date(forecastDays) {
		d := s.At(issued + 1 + ahead)
		miss := r.NormFloat64() * (0.5 + 0.3*float64(ahead))
		f.Put(issued+1+ahead, weather.Day{Min: round(d.Min + miss), Max: round(d.Max + miss)})
	}
	return f
}

func gzipped(data []byte) []byte {
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		panic(err)
	}
	w.Write(data) // into memory: it does not fail
	w.Close()
	return b.Bytes()
}
