package profiles

import (
	"testing"

	"treewhen/phenology"
)

// What the built-in species cost at the start of a run, by how many it names; all of them as people write them, too.
func BenchmarkSpecies(b *testing.B) {
	start := func() *Library {
		packed := unpack(packedLibrary)
		l := &Library{entries: packed.entries(), notes: packed.Notes}
		l.index()
		return l
	}
	find := func(b *testing.B, names ...string) {
		b.ReportAllocs()
		for b.Loop() {
			l := start()
			for _, name := range names {
				if _, ok := l.Lookup(name); !ok {
					b.Fatal("no " + name)
				}
			}
		}
	}
	b.Run("none", func(b *testing.B) { find(b) })
	b.Run("one", func(b *testing.B) { find(b, "sugar maple") })
	b.Run("two", func(b *testing.B) { find(b, "sugar maple", "acer-rubrum") })
	b.Run("all", func(b *testing.B) {
		b.ReportAllocs()
		var all []*phenology.Species
		for b.Loop() {
			all = start().All()
		}
		if len(all) < 60 {
			b.Fatal(len(all))
		}
	})
	b.Run("all from YAML", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, _, err := fromYAML(); err != nil {
				b.Fatal(err)
			}
		}
	})
}
