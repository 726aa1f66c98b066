package words

import (
	"fmt"
	"math"
	"strconv"

	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
)

// BringHome says what is to be brought home for the seedlings that are wanted.
func BringHome(n *seed.Need, as phrase.Speech) string {
	text := fmt.Sprintf("%s seedlings are wanted", phrase.Thousands(float64(n.Seedlings), float64(n.Seedlings)))
	if n.SeedZone != "" {
		text += " of seed " + zone(n.SeedZone)
	}
	switch {
	case !n.Seeds.Known():
		return text + "; how much seed that takes is not known: its profile has no germination."
	case !n.CleanKG.Known():
		return fmt.Sprintf("%s: %s clean seeds.", text, run(n.Seeds, "", 1))
	}
	weight, kg := as.Weight()
	text += fmt.Sprintf(": %s clean seeds, %s", run(n.Seeds, "", 1), run(n.CleanKG, weight, kg))
	switch {
	case n.FruitKG.Known():
		text += ", of " + run(n.FruitKG, weight, kg) + " of fruit"
	case n.FruitL.Known():
		measure, litres := as.Fruit(n.FruitL.Mid)
		text += ", of " + run(n.FruitL, measure, litres) + " of fruit"
	}
	return text + fmt.Sprintf(" (eight lots in ten; if %s of what comes up lives).", phrase.Percent(n.Survive))
}

// run writes an amount with its spread, in a unit that has so much of what it is counted in.
func run(a seed.Amount, unit string, has float64) string {
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Sprintf("%s%s (%s to %s)", Figure(a.Mid/has), unit, Figure(a.Low/has), Figure(a.High/has))
}

// Figure writes a quantity to two figures, which is as well as any is known here.
func Figure(x float64) string {
	if x <= 0 {
		return "0"
	}
	unit := math.Pow(10, math.Floor(math.Log10(x))-1)
	x = math.Round(x/unit) * unit
	if x >= 10 {
		return phrase.Thousands(x, x)
	}
	return strconv.FormatFloat(x, 'f', max(0, int(1-math.Floor(math.Log10(x)))), 64)
}
