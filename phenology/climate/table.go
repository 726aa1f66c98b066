package climate

import (
	"bytes"
	"compress/flate"
	_ "embed"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"sync"
)

// The table's grid: cells of a quarter of a degree, numbered from the equator and from Greenwich, in blocks of 16
// by 16. A block is packed by itself, so that looking one place up unpacks a few hundred cells and not the
// continent.
const (
	step  = 0.25 // degrees
	block = 16   // cells on a side
)

// normals is the packed table, to a tenth of a degree, 0.42 MB: as exact as its source. A mean and two harmonics a
// cell would be half of that and 0.6 K off (1.0 in the worst month), nearly as much again as the table's own error.
//
// It begins with the number of blocks, then for each its row and column and the length of its packed bytes, then
// these one after another. Unpacked, a block is a bit a cell, row by row from the south-west, set where there is
// land; then one list for the elevations of these cells (metres) and one for each month's minima and then maxima
// (tenths of a degree). Each value is the difference from what its neighbours let expect (see land.expected);
// temperatures after January are first made differences from the month before. Numbers are varints of package
// encoding/binary, signed but for counts and lengths.
//
//go:embed normals.bin
var normals []byte

// record is a cell of the table.
type record struct {
	elevation int16     // metres
	tenths    [24]int16 // monthly minima, then maxima, tenths of a degree Celsius
}

// cells is the whole table, its blocks unpacked as they are asked for.
type cells struct {
	blocks map[[2]int]*lazyBlock
}

type lazyBlock struct {
	packed []byte
	once   sync.Once
	cells  [block * block]*record // nil where there is no land
}

// table reads the index of the blocks once. The table is part of the program, so that an error in it is the
// program's own.
var table = sync.OnceValue(func() *cells {
	t, err := index(normals)
	if err != nil {
		panic("climate: " + err.Error())
	}
	return t
})

var errShort = errors.New("the table ends before its blocks do")

func index(data []byte) (*cells, error) {
	r := bytes.NewReader(data)
	n, err := binary.ReadUvarint(r)
	if err != nil || n > uint64(len(data)) {
		return nil, errShort
	}
	type entry struct {
		at     [2]int
		length int
	}
	list := make([]entry, n)
	for i := range list {
		row, err1 := binary.ReadVarint(r)
		column, err2 := binary.ReadVarint(r)
		length, err3 := binary.ReadUvarint(r)
		if err := errors.Join(err1, err2, err3); err != nil || length > uint64(len(data)) {
			return nil, errShort
		}
		list[i] = entry{[2]int{int(row), int(column)}, int(length)}
	}
	t := &cells{blocks: make(map[[2]int]*lazyBlock, n)}
	rest := data[len(data)-r.Len():]
	for _, e := range list {
		if e.length > len(rest) {
			return nil, errShort
		}
		t.blocks[e.at] = &lazyBlock{packed: rest[:e.length]}
		rest = rest[e.length:]
	}
	if len(rest) > 0 {
		return nil, fmt.Errorf("the table has %d bytes after its last block", len(rest))
	}
	return t, nil
}

// at returns the cell of a row and column, nil where there is no land.
func (t *cells) at(row, column int) *record {
	down, left := floorDiv(row), floorDiv(column)
	b := t.blocks[[2]int{down, left}]
	if b == nil {
		return nil
	}
	b.once.Do(func() {
		if err := b.unpack(); err != nil {
			panic(fmt.Sprintf("climate: block %d, %d: %v", down, left, err))
		}
	})
	return b.cells[(row-down*block)*block+column-left*block]
}

func floorDiv(n int) int {
	if n < 0 {
		return -((block - 1 - n) / block)
	}
	return n / block
}

func (b *lazyBlock) unpack() error {
	data, err := io.ReadAll(flate.NewReader(bytes.NewReader(b.packed)))
	if err != nil {
		return err
	}
	const bits = block * block / 8
	if len(data) < bits {
		return errShort
	}
	land := landOf(data)
	records := make([]record, len(land.list))
	for k, i := range land.list {
		b.cells[i] = &records[k]
	}
	data = data[bits:]
	var got [block * block]int
	read := func(take func(k, v int)) error {
		for k, i := range land.list {
			v, size := binary.Varint(data)
			if size <= 0 {
				return errShort
			}
			data = data[size:]
			got[i] = int(v) + land.expected(k, func(i int) int { return got[i] })
			take(k, got[i])
		}
		return nil
	}
	err = read(func(k, v int) { records[k].elevation = int16(v) })
	for m := 0; m < 24 && err == nil; m++ {
		err = read(func(k, v int) {
			if m%12 > 0 {
				v += int(records[k].tenths[m-1])
			}
			records[k].tenths[m] = int16(v)
		})
	}
	if err == nil && len(data) > 0 {
		err = fmt.Errorf("it has %d bytes too many", len(data))
	}
	return err
}

// land is which cells of a block have values, numbered row by row from the south-west.
type land struct {
	list []int
	has  [block * block]bool
}

// landOf reads the bits of a block.
func landOf(bits []byte) *land {
	l := &land{}
	for i := range l.has {
		if bits[i/8]&(1<<(i%8)) != 0 {
			l.list = append(l.list, i)
			l.has[i] = true
		}
	}
	return l
}

// expected returns what a block's neighbours let expect of its k-th cell of land: that the surface goes on from the
// cells to the west and south as it did there, as far as there are any.
func (l *land) expected(k int, value func(cell int) int) int {
	i := l.list[k]
	west, south := i%block > 0 && l.has[i-1], i >= block && l.has[i-block]
	switch {
	case west && south && l.has[i-block-1]:
		return value(i-1) + value(i-block) - value(i-block-1)
	case west:
		return value(i - 1)
	case south:
		return value(i - block)
	case k > 0:
		return value(l.list[k-1])
	}
	return 0
}
