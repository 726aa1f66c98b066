package climate

import (
	"bytes"
	_ "embed"
	"encoding/binary"
	"errors"
	"fmt"
	"sync"

	"treewhen/phenology/rangecode"
)

// The table's grid: cells of a quarter of a degree, numbered from the equator and from Greenwich, in blocks of 16
// by 16. A block is packed by itself, so that looking one place up unpacks a few hundred cells and not the
// continent.
const (
	step  = 0.25 // degrees
	block = 16   // cells on a side
)

// normals is the packed table, to a tenth of a degree, 0.28 MB: as exact as its source. A mean and two harmonics a
// cell would be less and 0.6 K off (1.0 in the worst month), nearly as much again as the table's own error.
//
// It begins with the model: the weights of each layer, varints, and the chances to begin with, a byte each. Then
// come the number of blocks, for each its row and column and the length of its packed bytes, and these one after
// another. A block is a bit a cell, row by row from the south-west, set where there is land; then the elevations of
// these cells (metres), and month by month the minima and then the maxima (tenths of a degree), each value as its
// difference from what those before it let expect (see [model]). Its bits are those of package rangecode; numbers of
// the index are varints of package encoding/binary.
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
	model  model
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
	t := &cells{}
	r := bytes.NewReader(data)
	if err := t.model.read(r); err != nil {
		return nil, errShort
	}
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
	t.blocks = make(map[[2]int]*lazyBlock, n)
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
		if err := b.unpack(&t.model); err != nil {
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

// errBlock is said of a block that holds other bits than were packed.
var errBlock = errors.New("it is not as it was packed")

func (b *lazyBlock) unpack(m *model) error {
	c := rangecode.NewReader(b.packed)
	var of values
	land, _ := m.block(c, func(int) bool { return false }, &of)
	if !c.Whole() {
		return errBlock
	}
	records := make([]record, len(land.list))
	for k, i := range land.list {
		records[k].elevation = int16(of[0][k])
		for month := range records[k].tenths {
			records[k].tenths[month] = int16(of[1+month][k])
		}
		b.cells[i] = &records[k]
	}
	return nil
}

// read reads the model at the head of a table.
func (m *model) read(r *bytes.Reader) error {
	for layer := range m.weights {
		m.weights[layer] = make([]int32, signsOf(siblings(layer)))
		for i := range m.weights[layer] {
			w, err := binary.ReadVarint(r)
			if err != nil {
				return err
			}
			m.weights[layer][i] = int32(int16(w))
		}
	}
	var err error
	m.start.each(func(c *rangecode.Chance) {
		share, failed := r.ReadByte()
		if failed != nil {
			err = failed
		}
		*c = rangecode.Start(share, learnt)
	})
	return err
}

// learnt is for how many bits what the whole table tells of a chance counts. Our own choice, by trial.
const learnt = 30

// each calls f for every chance.
func (all *chances) each(f func(*rangecode.Chance)) {
	for i := range all.land {
		f(&all.land[i])
	}
	for kind := range all.numbers {
		for context := range all.numbers[kind] {
			of := &all.numbers[kind][context]
			f(&of.sign)
			for i := range of.length {
				f(&of.length[i])
			}
			for i := range of.second {
				f(&of.second[i])
			}
		}
	}
}
