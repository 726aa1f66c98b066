package profiles

import (
	_ "embed"
	"encoding/binary"
	"sync"

	"treewhen/phenology"
	"treewhen/phenology/problem"
	"treewhen/profiles/packed"
	"treewhen/profiles/ranges"
)

// The built-in profiles are there twice: packed, since all runs of the program begin with some of them, and reading
// YAML takes many times as long; and as people write and revise them, zipped into a tenth: few runs look at those.
// TestPackedLibrary makes both of the files in species, and fails where they differ.
//
//go:embed library.packed
var packedLibrary string

//go:embed texts.gz
var zippedTexts string

// renewal is how to pack the library anew.
const renewal = "go test ./profiles -run TestPackedLibrary -update"

// contents is what stands at the head of the packed library.
type contents struct {
	Sources []phenology.Source // the shared bibliography, by key
	Notes   problem.List
	Species []listing // by id
}

// listing is what the contents say of a species.
type listing struct {
	ID, Botanical string
	Common        []string
	Bytes         int // of the packed species: they stand one behind the other, in the order of the contents
}

// library is the packed library, unpacked but for the species. It begins with two lengths of four bytes, the least
// significant first: of its contents and of its species; behind these are the texts of both.
type library struct {
	contents
	reader  *packed.Reader
	species string
}

func unpack(data string) *library {
	size := func(at int) int { return int(binary.LittleEndian.Uint32([]byte(data[at : at+4]))) }
	head, body := 8+size(0), 8+size(0)+size(4)
	l := &library{reader: packed.NewReader(modelTypes(), data[body:]), species: data[head:body]}
	if err := l.reader.Read(data[8:head], &l.contents); err != nil {
		panic("profiles: library.packed: " + err.Error() + "; renew it: " + renewal)
	}
	return l
}

// entries returns the species by id. Each is unpacked when it is first asked for.
func (l *library) entries() []*entry {
	list := make([]*entry, len(l.Species))
	rest := l.species
	for i, s := range l.Species {
		data := rest[:s.Bytes]
		rest = rest[s.Bytes:]
		list[i] = &entry{s.ID, s.Botanical, s.Common, "built-in " + s.ID, sync.OnceValue(func() *phenology.Species {
			species := &phenology.Species{}
			if err := l.reader.Read(data, species); err != nil {
				panic("profiles: library.packed: " + s.ID + ": " + err.Error() + "; renew it: " + renewal)
			}
			if ranges.Knows(s.ID) {
				species.SetRangeMap(func(latitude, longitude float64) float64 {
					km, _ := ranges.Kilometres(s.ID, latitude, longitude)
					return km
				})
			}
			return species
		})}
	}
	return list
}

func (l *library) bibliography() Sources {
	all := make(Sources, len(l.Sources))
	for _, s := range l.Sources {
		all[s.Key] = s
	}
	return all
}

// Builtin returns the species that come with the program.
func Builtin() *Library { return builtin() }

var builtin = sync.OnceValue(func() *Library {
	packed := unpacked()
	l := &Library{entries: packed.entries(), notes: packed.Notes}
	l.index() // names that two species have are found before they are packed
	return l
})

var unpacked = sync.OnceValue(func() *library { return unpack(packedLibrary) })

// sharedSources is the bibliography that every profile may cite.
var sharedSources = sync.OnceValue(func() Sources { return unpacked().bibliography() })
