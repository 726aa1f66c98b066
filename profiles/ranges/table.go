package ranges

import (
	"bytes"
	"compress/flate"
	_ "embed"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
)

// packed is the table: the number of species, then for each the length of its id, the id and the length of its
// packed raster, then the rasters one after another, each packed by itself so that asking after one species unpacks
// one. Lengths are unsigned varints of package encoding/binary. A raster is a bit a cell, row by row from the
// south, the high bit first.
//
//go:embed ranges.bin
var packed []byte

// RasterBytes is the size of an unpacked raster.
const RasterBytes = rows * columns / 8

// Raster is where a species is native, as [Pack] takes it.
type Raster struct {
	Species string // its id
	Bits    []byte // RasterBytes of them: a bit a cell, row by row from 24 N, each from 170 W, the high bit first
}

// raster is one species' range, unpacked when it is first asked for.
type raster struct {
	packed []byte
	once   sync.Once
	bits   []byte
}

type index struct {
	species []string
	rasters map[string]*raster
}

// table reads the index once. It is part of the program, so that an error in it is the program's own.
var table = sync.OnceValue(func() *index {
	t, err := read(packed)
	if err != nil {
		panic("ranges: " + err.Error())
	}
	return t
})

var errShort = errors.New("the table ends before its last species")

func read(data []byte) (*index, error) {
	r := bytes.NewReader(data)
	n, err := binary.ReadUvarint(r)
	if err != nil || n > uint64(len(data)) {
		return nil, errShort
	}
	t := &index{rasters: map[string]*raster{}}
	var lengths []int
	for range n {
		size, err := binary.ReadUvarint(r)
		if err != nil || size > uint64(r.Len()) {
			return nil, errShort
		}
		id := make([]byte, size)
		if _, err := io.ReadFull(r, id); err != nil {
			return nil, errShort
		}
		length, err := binary.ReadUvarint(r)
		if err != nil || length > uint64(len(data)) {
			return nil, errShort
		}
		t.species = append(t.species, string(id))
		lengths = append(lengths, int(length))
	}
	rest := data[len(data)-r.Len():]
	for i, id := range t.species {
		if lengths[i] > len(rest) {
			return nil, errShort
		}
		t.rasters[id] = &raster{packed: rest[:lengths[i]]}
		rest = rest[lengths[i]:]
	}
	if len(rest) > 0 {
		return nil, fmt.Errorf("the table has %d bytes after its last species", len(rest))
	}
	return t, nil
}

// of returns a species' range, nil where it is not known.
func of(species string) *raster {
	r := table().rasters[species]
	if r == nil {
		return nil
	}
	r.once.Do(func() {
		bits, err := r.unpack()
		if err != nil {
			panic(fmt.Sprintf("ranges: %s: %v", species, err))
		}
		r.bits = bits
	})
	return r
}

func (r *raster) unpack() ([]byte, error) {
	bits := make([]byte, RasterBytes)
	z := flate.NewReader(bytes.NewReader(r.packed))
	if _, err := io.ReadFull(z, bits); err != nil {
		return nil, err
	}
	if n, err := z.Read(make([]byte, 1)); n > 0 || err != io.EOF {
		return nil, fmt.Errorf("it is longer than %d bytes (%v)", RasterBytes, err)
	}
	return bits, nil
}

// Pack returns the table of some rasters in the form in which the package carries it; cmd/placemake makes it so.
func Pack(of []Raster) ([]byte, error) {
	of = slices.SortedFunc(slices.Values(of), func(a, b Raster) int { return strings.Compare(a.Species, b.Species) })
	head := binary.AppendUvarint(nil, uint64(len(of)))
	var body []byte
	for i, r := range of {
		if len(r.Bits) != RasterBytes {
			return nil, fmt.Errorf("%s: found %d bytes, want %d", r.Species, len(r.Bits), RasterBytes)
		}
		if i > 0 && of[i-1].Species == r.Species {
			return nil, fmt.Errorf("found %s twice", r.Species)
		}
		var b bytes.Buffer
		z, err := flate.NewWriter(&b, flate.BestCompression)
		if err != nil {
			return nil, err
		}
		if _, err := z.Write(r.Bits); err != nil {
			return nil, err
		}
		if err := z.Close(); err != nil {
			return nil, err
		}
		head = binary.AppendUvarint(head, uint64(len(r.Species)))
		head = append(head, r.Species...)
		head = binary.AppendUvarint(head, uint64(b.Len()))
		body = append(body, b.Bytes()...)
	}
	return append(head, body...), nil
}
