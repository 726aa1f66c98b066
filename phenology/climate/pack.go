package climate

import (
	"bytes"
	"cmp"
	"compress/flate"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
)

// Row is a cell of the table as its source has it.
type Row struct {
	Latitude, Longitude float64 // of its middle: an eighth of a degree beside a multiple of a quarter
	Elevation           int     // metres
	Tenths              [24]int // monthly minima, then maxima, tenths of a degree Celsius
}

// Pack returns the table of some rows in the form in which the package carries it; cmd/placemake makes it so.
func Pack(rows []Row) ([]byte, error) {
	type place struct{ row, column int }
	blocks := map[place]map[int]*Row{}
	for i := range rows {
		r := &rows[i]
		y, x := r.Latitude/step-0.5, r.Longitude/step-0.5
		row, column := int(math.Round(y)), int(math.Round(x))
		if math.Abs(y-float64(row)) > 1e-6 || math.Abs(x-float64(column)) > 1e-6 {
			return nil, fmt.Errorf("found a cell at %v, %v, want the middle of a quarter of a degree", r.Latitude,
				r.Longitude)
		}
		at := place{floorDiv(row), floorDiv(column)}
		if blocks[at] == nil {
			blocks[at] = map[int]*Row{}
		}
		i := (row-at.row*block)*block + column - at.column*block
		if blocks[at][i] != nil {
			return nil, fmt.Errorf("found the cell at %v, %v twice", r.Latitude, r.Longitude)
		}
		blocks[at][i] = r
	}
	order := make([]place, 0, len(blocks))
	for at := range blocks {
		order = append(order, at)
	}
	slices.SortFunc(order, func(a, b place) int {
		return cmp.Or(cmp.Compare(a.row, b.row), cmp.Compare(a.column,
			b.column))
	})

	head := binary.AppendUvarint(nil, uint64(len(order)))
	var body []byte
	for _, at := range order {
		packed, err := packBlock(blocks[at])
		if err != nil {
			return nil, err
		}
		head = binary.AppendVarint(head, int64(at.row))
		head = binary.AppendVarint(head, int64(at.column))
		head = binary.AppendUvarint(head, uint64(len(packed)))
		body = append(body, packed...)
	}
	return append(head, body...), nil
}

func packBlock(of map[int]*Row) ([]byte, error) {
	data := make([]byte, block*block/8)
	for i := range of {
		data[i/8] |= 1 << (i % 8)
	}
	land := landOf(data)
	list := func(value func(r *Row) int) {
		at := func(i int) int { return value(of[i]) }
		for k, i := range land.list {
			data = binary.AppendVarint(data, int64(at(i)-land.expected(k, at)))
		}
	}
	list(func(r *Row) int { return r.Elevation })
	for m := range 24 {
		list(func(r *Row) int {
			if m%12 > 0 {
				return r.Tenths[m] - r.Tenths[m-1]
			}
			return r.Tenths[m]
		})
	}
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
