package words

import (
	"fmt"
	"math"
	"strconv"

	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
)

// BringHome says what is to be brought home for the seedlings that are wanted.
func BringHome(n *seed.Need) string {
	text := wanted(n)
	switch in := n.InHand; {
	case in == nil && !n.Seeds.Known():
		return text + "; how much seed that takes is not known: its profile has no germination."
	case in == nil && !n.CleanKG.Known():
		return fmt.Sprintf("%s: %s clean seeds.", text, run(n.Seeds, ""))
	case in == nil:
		return fmt.Sprintf("%s: %s clean seeds, %s (eight lots in ten; if %s of what comes up lives).", text,
			run(n.Seeds, ""), run(n.CleanKG, "kg")+ofFruit(n), phrase.Percent(n.Survive))
	case !in.InAll.CleanKG.Known():
		return text + ". In hand: " + lotsInHand(in) + "."
	case n.CleanKG.Mid > 0:
		return fmt.Sprintf("%s: %s of clean seed. In hand: %s. Still to bring home: %s.", text,
			run(in.InAll.CleanKG, "kg"), lotsInHand(in), run(n.CleanKG, "kg")+ofFruit(n))
	case n.CleanKG.High > 0:
		return fmt.Sprintf("%s: %s of clean seed. In hand: %s: enough, unless it germinates badly.", text,
			run(in.InAll.CleanKG, "kg"), lotsInHand(in))
	}
	return fmt.Sprintf("%s: %s of clean seed. In hand: %s: enough.", text, run(n.InHand.InAll.CleanKG, "kg"),
		lotsInHand(n.InHand))
}

func wanted(n *seed.Need) string {
	text := phrase.Thousands(float64(n.Seedlings), float64(n.Seedlings)) + " seedlings are wanted"
	if n.SeedZone != "" {
		text += " of seed " + zone(n.SeedZone)
	}
	return text
}

// ofFruit says of how much fruit, "" where that is not known.
func ofFruit(n *seed.Need) string {
	switch {
	case n.FruitKG.Known():
		return ", of " + run(n.FruitKG, "kg") + " of fruit"
	case n.FruitL.Known():
		return ", of " + run(n.FruitL, "l") + " of fruit"
	}
	return ""
}

// lotsInHand names the lots in hand and says what they are worth.
func lotsInHand(in *seed.InHand) string {
	names := "lot " + in.Lots[0]
	if len(in.Lots) > 1 {
		names = "lots " + phrase.Join(in.Lots)
	}
	switch {
	case in.CleanKG == 0:
		return names + ", not weighed"
	case in.Unknown > 0:
		return fmt.Sprintf("%s kg (%s, %d of them not weighed)", Figure(in.CleanKG), names, in.Unknown)
	}
	return fmt.Sprintf("%s kg (%s)", Figure(in.CleanKG), names)
}

// short says that too little was collected.
func short(n *seed.Need) string {
	return fmt.Sprintf("%s: %s: %s kg of clean seed, and %s are in hand. %s kg short, and no collection is left here",
		n.Of.Name(), wanted(n), Figure(n.InHand.InAll.CleanKG.Mid), lotsInHand(n.InHand), Figure(n.CleanKG.Mid))
}

// run writes an amount with its spread.
func run(a seed.Amount, unit string) string {
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Sprintf("%s%s (%s to %s)", Figure(a.Mid), unit, Figure(a.Low), Figure(a.High))
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
