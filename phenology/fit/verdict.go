package fit

import (
	"fmt"
	"math"

	"treewhen/phenology"
)

// Row is one candidate of a search.
type Row struct {
	Name   string
	Shared int               // series over which its choices were shared; 0 for none
	Models []phenology.Model // as it would be used; nil for the mean date, and where none can serve
	Odd    []string          // why what it chose is an odd choice
	RMSE   float64           // days, of years left out, each choice made without the year; NaN where none can serve
	Chosen bool
	Why    string // it was chosen or not
}

// rows says of each candidate how it did and why it was chosen or not.
func (e *Evidence) rows(list []candidate, nested [][]float64, final int) []Row {
	var rows []Row
	for c, one := range list {
		row := Row{Name: one.name, RMSE: math.NaN(), Chosen: c == final}
		if one.pool != nil {
			row.Shared = one.pool.Size()
		}
		if nested[c] == nil {
			row.Why = "cannot serve: it begins too late for the earliest date seen, or the record lacks days that it " +
				"needs in more than one year of ten"
			if e.Phase == phenology.FruitRipe {
				row.Why += ", or flowering is not known"
			}
			rows = append(rows, row)
			continue
		}
		pick := one.pick(e, -1, -1)
		row.Models, row.Odd = pick.models(), pick.odd
		row.RMSE = rms(nested[c])
		gain, chance := better(nested[final], nested[c])
		switch {
		case c > final && gain > enough*chance: // only where what was better came to nothing
			row.Why = fmt.Sprintf("better by %.1f, but with a year left out another is chosen, and that costs as much",
				gain)
		case c == final && one.form < 0:
			row.Why = "chosen: no model is better by more than chance would have it"
		case c == final && one.form == 0 && e.hasPanel():
			row.Why = "chosen: nothing in it was fitted but its requirements, and none is better by more than chance " +
				"would have it"
		case c == final:
			row.Why = "chosen: better than all that is simpler by more than chance would have it"
		case math.Abs(gain) < 0.05 && c > final:
			row.Why = "no better than the one chosen, which leaves less to choose"
		case gain <= 0:
			row.Why = fmt.Sprintf("worse than the one chosen by %.1f", max(-gain, 0.1))
		case c < final:
			row.Why = fmt.Sprintf("better by %.1f, but less surely so than the one chosen", gain)
		default:
			row.Why = fmt.Sprintf("better by %.1f, within the %.1f that chance would have%s", gain, chance,
				yearsToTell(len(e.Years), gain, chance))
		}
		if known := knownOf(nested[c]); known < len(e.Years) {
			row.Why += fmt.Sprintf("; judged by %d of the %d years, where the record has the days it needs", known,
				len(e.Years))
		}
		rows = append(rows, row)
	}
	return rows
}

// yearsToTell says how many years it would take for a gain to stand out, if it stays what it is: its standard error
// falls with the root of their number.
func yearsToTell(n int, gain, chance float64) string {
	years := math.Ceil(float64(n) * sq(enough*chance/gain))
	if years > 100 {
		return "; a century would not tell"
	}
	return fmt.Sprintf("; some %.0f years would tell", years)
}

// enough is by how many standard errors of the difference a candidate must be better than a simpler one.
const enough = 1.0

// better compares the errors of a candidate with those of a simpler one, on the years that both can date: by how many
// days it is better, and how large the standard error of that is.
func better(simple, rival []float64) (gain, chance float64) {
	var n, a, b float64
	var apart []float64
	for i := range simple {
		if x, y := sq(simple[i]), sq(rival[i]); !math.IsNaN(x - y) {
			apart = append(apart, x-y)
			n, a, b = n+1, a+x, b+y
		}
	}
	if n < 2 || a+b == 0 {
		return 0, 0
	}
	mean, square := (a-b)/n, 0.0
	for _, d := range apart {
		square += sq(d - mean)
	}
	// What differs are squares; divided by the sum of the errors, so that a - b = (a² - b²) / (a + b).
	scale := math.Sqrt(a/n) + math.Sqrt(b/n)
	return mean / scale, math.Sqrt(square/(n-1)/n) / scale
}
