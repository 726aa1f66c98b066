package gazetteer

import (
	_ "embed"
	"sync"
)

// The villages of the United States that have a post office and are not among the towns, from GeoNames' list of postal
// codes, in the form of the table of towns. They are there to be found by name only. What is near a place, and so its
// law, is asked of the towns, whose middles, heights and zones are better known.
//
//go:embed villages.bin
var packedVillages []byte

// all unpacks towns and villages once.
var all = sync.OnceValue(func() *table {
	list, err := readParts(packedVillages)
	if err != nil {
		panic("gazetteer: villages: " + err.Error())
	}
	for _, p := range list {
		towns := p.towns()
		for i := range towns {
			towns[i].Village = true
		}
	}
	return whole(append(list, parts()...))
})
