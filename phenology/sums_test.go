package phenology

import (
	"slices"
	"sync"
	"testing"

	"treewhen/phenology/civil"
)

// Whoever asks for sums while another is summing them gets them whole.
func TestSumsAreSeenWhole(t *testing.T) {
	cut := civil.Of(2020, 3, 1)
	fresh := func() (*Temperatures, *ensemble) {
		temps := warmSpell(civil.Of(2000, 1, 1), cut, civil.Span{First: cut - 60, Last: cut}, 6)
		return temps, temps.ensembleOf(Season{Year: 2020}, cut)
	}
	rule := RunRule{Night: Threshold{Low: -3, High: 0}, Day: Threshold{Low: 2, High: 5}}
	all := []forcing{rule.forcing(), rule.hours(), {method: SineForcing, base: 2}, {method: AverageForcing},
		{method: SineForcing, base: 2, exponent: 2}, {method: meanMethod}}
	temps, ahead := fresh()
	if !slices.ContainsFunc(ahead.sum(all[0]), func(sums []float64) bool { return sums[len(sums)-1] > 0 }) {
		t.Fatal("no sap runs in the days ahead")
	}
	for range 40 {
		shared, sharedAhead := fresh()
		begin := make(chan bool)
		var wait sync.WaitGroup
		for range 4 {
			wait.Go(func() {
				<-begin
				for _, f := range all {
					if !slices.Equal(shared.sum(f), temps.sum(f)) {
						t.Errorf("%v: other sums of the record", f)
					}
					if !slices.EqualFunc(sharedAhead.sum(f), ahead.sum(f), slices.Equal) {
						t.Errorf("%v: other sums of the days ahead", f)
					}
				}
			})
		}
		close(begin)
		wait.Wait()
	}
}
