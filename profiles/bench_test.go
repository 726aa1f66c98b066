package profiles

import (
	"io/fs"
	"testing"
)

// BenchmarkRead reads the whole library, as every run of the program does once.
func BenchmarkRead(b *testing.B) {
	folder, err := fs.Sub(embedded, "species")
	if err != nil {
		b.Fatal(err)
	}
	shared := sharedSources()
	b.ReportAllocs()
	for b.Loop() {
		l := &Library{files: map[string]string{}}
		if err := l.read(folder, "species", shared); err != nil {
			b.Fatal(err)
		}
	}
}
