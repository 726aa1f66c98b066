package phenology_test

import (
	"reflect"
	"sync"
	"testing"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/profiles"
)

// Sites that share one record are dated, to the last bit, as if each had it to itself, whoever asks first and at once.
func TestSharedTemperatures(t *testing.T) {
	series := madeUp(civil.Of(1996, 1, 1), civil.Of(2026, 4, 2), 7)
	shared := phenology.NewTemperatures(here, series)
	east, north := here, here
	east.Longitude++
	north.Latitude += 2
	if shared.At(here) != shared {
		t.Error("the same place has temperatures of its own")
	}
	estimates := func(site phenology.Site, temps *phenology.Temperatures) (list []phenology.Estimates) {
		o := &phenology.Outlook{Site: site, Temps: temps}
		for _, sp := range profiles.Builtin().All() {
			list = append(list, o.Estimate(sp, 2026), o.Estimate(sp, 2027))
		}
		return list
	}
	var wait sync.WaitGroup
	for _, site := range []phenology.Site{north, here, east} {
		temps := shared.At(east).At(site) // of one that shares already
		wait.Go(func() {
			want := estimates(site, phenology.NewTemperatures(site, series))
			for range 2 {
				if !reflect.DeepEqual(estimates(site, temps), want) {
					t.Errorf("latitude %g, longitude %g: dated otherwise", site.Latitude, site.Longitude)
				}
				temps.Forget() // while others are at it
			}
		})
	}
	wait.Wait()
	defer func() {
		if recover() == nil {
			t.Error("the other hemisphere is accepted")
		}
	}()
	shared.At(phenology.Site{Latitude: -43})
}
