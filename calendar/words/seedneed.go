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
	weigh := func(a seed.Amount) string { return weight(a, as) }
	text := wanted(n)
	switch in := n.InHand; {
	case in == nil && !n.Seeds.Known():
		return text + "; how much seed that takes is not known: its profile has no germination."
	case in == nil && !n.CleanKG.Known():
		return fmt.Sprintf("%s: %s clean seeds.", text, run(n.Seeds, "", 1))
	case in == nil:
		return fmt.Sprintf("%s: %s clean seeds, %s (eight lots in ten; if %s of what comes up lives).", text,
			run(n.Seeds, "", 1), weigh(n.CleanKG)+ofFruit(n, as), phrase.Percent(n.Survive))
	case !in.InAll.CleanKG.Known():
		return text + ". In hand: " + lotsInHand(in, as) + "."
	case n.CleanKG.Mid > 0:
		return fmt.Sprintf("%s: %s of clean seed. In hand: %s. Still to bring home: %s.", text,
			weigh(in.InAll.CleanKG), lotsInHand(in, as), weigh(n.CleanKG)+ofFruit(n, as))
	case n.CleanKG.High > 0:
		return fmt.Sprintf("%s: %s of clean seed. In hand: %s: enough, unless it germinates badly.", text,
			weigh(in.InAll.CleanKG), lotsInHand(in, as))
	}
	return fmt.Sprintf("%s: %s of clean seed. In hand: %s: enough.", text, weigh(n.InHand.InAll.CleanKG),
		lotsInHand(n.InHand, as))
}

func wanted(n *seed.Need) string {
	text := phrase.Thousands(float64(n.Seedlings), float64(n.Seedlings)) + " seedlings are wanted"
	if n.SeedZone != "" {
		text += " of seed " + zone(n.SeedZone)
	}
	return text
}

// ofFruit says of how much fruit, "" where that is not known.
func ofFruit(n *seed.Need, as phrase.Speech) string {
	switch {
	case n.FruitKG.Known():
		return ", of " + weight(n.FruitKG, as) + " of fruit"
	case n.FruitL.Known():
		measure, litres := as.Fruit(n.FruitL.Mid)
		return ", of " + run(n.FruitL, measure, litres) + " of fruit"
	}
	return ""
}

// lotsInHand names the lots in hand and says what they are worth.
func lotsInHand(in *seed.InHand, as phrase.Speech) string {
	names := "lot " + in.Lots[0]
	if len(in.Lots) > 1 {
		names = "lots " + phrase.Join(in.Lots)
	}
	switch {
	case in.CleanKG == 0:
		return names + ", not weighed"
	case in.Unknown > 0:
		return fmt.Sprintf("%s (%s, %d of them not weighed)", weighed(in.CleanKG, as), names, in.Unknown)
	}
	return fmt.Sprintf("%s (%s)", weighed(in.CleanKG, as), names)
}

// short says that too little was collected.
func short(n *seed.Need, as phrase.Speech) string {
	return fmt.Sprintf("%s: %s: %s of clean seed, and %s are in hand. %s short, and no collection is left here",
		n.Of.Name(), wanted(n), weighed(n.InHand.InAll.CleanKG.Mid, as), lotsInHand(n.InHand, as),
		weighed(n.CleanKG.Mid, as))
}

// weighed writes a weight, and weight one with its spread, both of kilograms.
func weighed(kg float64, as phrase.Speech) string {
	unit, has := as.Weight()
	return Figure(kg/has) + " " + unit
}

func weight(kg seed.Amount, as phrase.Speech) string {
	unit, has := as.Weight()
	return run(kg, unit, has)
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
