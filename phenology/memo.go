package phenology

import (
	"sync"

	"treewhen/phenology/civil"
)

// memo is what an outlook has worked out from its sightings, and of its site. It is safe for use by several goroutines.
type memo struct {
	spring sync.Once
	warmth float64 // of spring at the site, degrees Celsius; NaN where it is not known

	normals sync.Once
	drawn   *Outlook // see [Outlook.onNormals]

	whole  sync.Once
	record *Outlook // see [Outlook.KnownOn]

	mu      sync.Mutex
	indexed bool
	seen    map[seenKey][]seenDate // at this site
	doubts  []DoubtfulSighting
	plain   sync.Once
	alone   *Outlook // see [Outlook.withoutSightings]

	errors   kept[seenKey, []yearError]  // see [Outlook.modelErrors]
	expected kept[localKey, expectation] // see [Outlook.expects]
	local    kept[localKey, shrinkage]   // see [Outlook.local]
	seasons  kept[Season, *anomalies]    // see [Outlook.anomalies]
	outside  kept[*Species, float64]     // kilometres outside a species' range
	past     kept[civil.Date, *Outlook]  // see [Outlook.asKnownOn]
}

type seenKey struct {
	species string
	phase   Phase
}

type localKey struct {
	seenKey
	season Season
}

// kept is what was worked out by key. Several goroutines may ask. Two that ask for the same at once both work it out,
// to the same: what is worked out may ask for more of its kind, so that nobody else is kept waiting for it.
type kept[K comparable, V any] struct {
	mu   sync.Mutex
	list map[K]V
}

// of returns what is kept by a key, or works it out and keeps it.
func (k *kept[K, V]) of(key K, work func() V) V {
	k.mu.Lock()
	got, ok := k.list[key]
	k.mu.Unlock()
	if ok {
		return got
	}
	got = work()
	k.mu.Lock()
	defer k.mu.Unlock()
	if first, ok := k.list[key]; ok {
		return first
	}
	if k.list == nil {
		k.list = map[K]V{}
	}
	k.list[key] = got
	return got
}
