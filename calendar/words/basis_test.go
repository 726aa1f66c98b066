package words

import (
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// What was reached is the first of a chain, not the phase just before: on a day in April nothing is ripe yet.
func TestBasisNamesWhatAChainBeginsWith(t *testing.T) {
	flowering := phenology.Estimate{Phase: phenology.Flowering, Basis: phenology.BasisReached}
	ripe := phenology.Estimate{Phase: phenology.FruitRipe, Basis: phenology.BasisReached, After: &flowering}
	falling := phenology.Estimate{Phase: phenology.SeedFall, Basis: phenology.BasisReached, After: &ripe}
	for _, c := range []struct {
		of   phenology.Estimate
		want string
	}{
		{flowering, "reached this season"},
		{ripe, "counted from flowering, reached this season"},
		{falling, "counted from flowering, reached this season"},
	} {
		if got := Basis(calendar.RestsOn(c.of), phrase.Speech{}); got != c.want {
			t.Errorf("%s: %q, want %q", c.of.Phase, got, c.want)
		}
	}
}
