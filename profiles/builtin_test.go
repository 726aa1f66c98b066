package profiles

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"flag"
	"maps"
	"os"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"treewhen/phenology"
	"treewhen/profiles/packed"
)

var update = flag.Bool("update", false, "pack the library anew")

// fromYAML reads the built-in profiles and their bibliography as people write them. The error of a profile that is
// wrong has everything that is.
func fromYAML() (*Library, Sources, error) {
	f, err := os.Open(sourcesFile)
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	shared, err := readSources(f, sourcesFile, nil)
	if err != nil {
		return nil, nil, err
	}
	l := &Library{}
	return l, shared, l.read(os.DirFS("species"), "species", shared)
}

// pack returns a library as [unpack] wants it.
func pack(l *Library, shared Sources) string {
	w := packed.NewWriter(modelTypes())
	head := contents{Notes: l.notes}
	for _, key := range slices.Sorted(maps.Keys(shared)) {
		head.Sources = append(head.Sources, shared[key])
	}
	var body []byte
	for _, e := range l.entries {
		before := len(body)
		body = w.Append(body, *e.species())
		head.Species = append(head.Species, listing{e.id, e.botanical, e.common, len(body) - before})
	}
	packedHead := w.Append(nil, head)
	data := binary.LittleEndian.AppendUint32(nil, uint32(len(packedHead)))
	data = binary.LittleEndian.AppendUint32(data, uint32(len(body)))
	return string(data) + string(packedHead) + string(body) + w.Texts()
}

// zip returns the profiles' texts as [builtinText] wants them.
func zip(t *testing.T, l *Library) string {
	var all bytes.Buffer
	z, _ := gzip.NewWriterLevel(&all, gzip.BestCompression)
	for _, e := range l.entries {
		text, err := os.ReadFile("species/" + e.id + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		_, _ = z.Write([]byte(textHead + e.id + "\n" + string(text)))
	}
	_ = z.Close()
	return all.String()
}

// The packed library is what the profiles say: the program reads the one, people the other. The profiles are judged on
// the way as a user's are, see [Check].
func TestPackedLibrary(t *testing.T) {
	want, shared, err := fromYAML()
	if err != nil {
		t.Fatal(err)
	}
	data := pack(want, shared)
	if *update {
		if err := os.WriteFile("library.packed", []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
		packedLibrary, zippedTexts = data, zip(t, want)
		if err := os.WriteFile("texts.gz", []byte(zippedTexts), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if packedLibrary != data {
		t.Errorf("library.packed is not of the profiles as they are, want it renewed: %s", renewal)
	}
	got := unpack(packedLibrary)
	if diff := cmp.Diff(shared, got.bibliography()); diff != "" {
		t.Errorf("sources.yaml, less, and library.packed, more:\n%s", diff)
	}
	if diff := cmp.Diff(want.notes, got.Notes); diff != "" {
		t.Errorf("notes of the profiles, less, and of library.packed, more:\n%s", diff)
	}
	have := map[string]*entry{}
	for _, e := range got.entries() {
		have[e.id] = e
	}
	for _, e := range want.entries {
		p := have[e.id]
		delete(have, e.id)
		switch {
		case p == nil:
			t.Errorf("%s: library.packed has no %s", e.file, e.id)
		case p.botanical != e.botanical || !slices.Equal(p.common, e.common):
			t.Errorf("%s: names %s, %v; library.packed has %s, %v", e.file, e.botanical, e.common, p.botanical,
				p.common)
		}
		if p != nil {
			if diff := cmp.Diff(e.species(), p.species(), cmpopts.IgnoreUnexported(phenology.Species{})); diff != "" {
				t.Errorf("%s, less, and library.packed, more:\n%s", e.file, diff)
			}
		}
	}
	for _, e := range want.entries {
		text, _ := os.ReadFile("species/" + e.id + ".yaml")
		if zipped, err := builtinText(e.id); err != nil || zipped != string(text) {
			t.Errorf("texts.gz is not of %s.yaml as it is, want it renewed: %s", e.id, renewal)
		}
	}
	for id := range have {
		t.Errorf("library.packed has %s, which has no profile", id)
	}
}

// A species is decoded once, and is the same whoever asks for it.
func TestOneSpeciesOfAName(t *testing.T) {
	l := Builtin()
	one, _ := l.Lookup("red maple")
	two, _ := l.Lookup("acer-rubrum")
	if one == nil || one != two || !slices.Contains(l.All(), one) {
		t.Errorf("%p by one name, %p by another, want the same, and it among all", one, two)
	}
	if got, want := l.Len(), len(l.All()); got != want {
		t.Errorf("%d species counted, %d there", got, want)
	}
}
