package main

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// bush phases that an invented observer has looked for every spring at Kettle Ridge: how much warmth they take there,
// in degree-days above 4 C from 1 March. The trees are invented, and a day or so slower than those of the profiles.
var bushPhases = []struct {
	species, phase string
	warmth         float64
}{
	{"acer-rubrum", "flowering", 86}, {"acer-rubrum", "bud-break", 176}, {"acer-rubrum", "leaf-out", 345},
	{"acer-saccharum", "bud-break", 147}, {"acer-saccharum", "leaf-out", 275},
}

// seenByHand are the sightings of the current season and the last.
const seenByHand = `2026-10-30,weir-street,acer-saccharum,leaf-fall,the big one by the gate is half bare
2027-03-10,osier-bank,acer-saccharinum,flowering,first stigmas out on the flood bank
`

// sightings invents what was seen at Kettle Ridge in past springs: the day on which the warmth was there, put off by
// what all trees of that year share, by the tree, and by the observer, who comes by every third day.
func sightings(days weather.Series, first, last int) []byte {
	r := rand.New(rand.NewPCG(2008, 0))
	var b bytes.Buffer
	b.WriteString("date,site,species,phase,note\n")
	for year := first; year <= last; year++ {
		shared := 1.8 * r.NormFloat64()
		visit := r.IntN(3)
		for _, p := range bushPhases {
			sum, day := 0.0, civil.Of(year, time.March, 1)
			for ; sum < p.warmth; day++ {
				d := days.At(day)
				sum += phenology.SineDegreeDays(d.Min, d.Max, 4)
			}
			day += civil.Date(math.Round(shared + 1.8*r.NormFloat64()))
			for (int(day)+visit)%3 != 0 {
				day++
			}
			fmt.Fprintf(&b, "%s,kettle-ridge,%s,%s,invented\n", day, p.species, p.phase)
		}
	}
	b.WriteString(seenByHand)
	return b.Bytes()
}
