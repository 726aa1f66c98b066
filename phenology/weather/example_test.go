package weather_test

import (
	"fmt"
	"os"
	"strings"

	"treewhen/phenology/weather"
)

func ExampleRead() {
	const file = `date,tmax_f,tmin_f
2027-03-09,41,23
2027-03-11,50,30.2
2027-03-10,,28.4
`
	record, err := weather.Read(strings.NewReader(file), "yard.csv", weather.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(record.Format, record.Unit, record.Series.Span())
	for _, note := range record.Notes {
		fmt.Println(note)
	}
	if err := weather.WritePlain(os.Stdout, record.Series); err != nil {
		fmt.Println(err)
	}
	// Output:
	// plain F 2027-03-09/2027-03-11
	// yard.csv:4: 2027-03-10 comes after 2027-03-11; the rows were sorted by date
	// yard.csv:4: 2027-03-10 has no maximum
	// date,tmin_c,tmax_c
	// 2027-03-09,-5,5
	// 2027-03-10,-2,
	// 2027-03-11,-1,10
}
