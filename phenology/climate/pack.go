package climate

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"math"
	"slices"

	"treewhen/phenology/rangecode"
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
		if list := append(r.Tenths[:], r.Elevation); slices.Min(list) < least || slices.Max(list) > most {
			return nil, fmt.Errorf("the cell at %v, %v: found %v, want values from %d to %d", r.Latitude,
				r.Longitude, list, least, most)
		}
		blocks[at][i] = r
	}
	order := make([]place, 0, len(blocks))
	for at := range blocks {
		order = append(order, at)
	}
	slices.SortFunc(order, func(a, b place) int {
		return cmp.Or(cmp.Compare(a.row, b.row), cmp.Compare(a.column, b.column))
	})

	list := make([]*packing, len(order))
	for n, at := range order {
		list[n] = newPacking(blocks[at])
	}
	m := modelOf(list)
	data := m.append(nil)
	data = binary.AppendUvarint(data, uint64(len(order)))
	var body []byte
	for n, at := range order {
		e := rangecode.NewPacker()
		m.block(e, list[n].has, &list[n].values)
		packed := e.Bytes()
		data = binary.AppendVarint(data, int64(at.row))
		data = binary.AppendVarint(data, int64(at.column))
		data = binary.AppendUvarint(data, uint64(len(packed)))
		body = append(body, packed...)
	}
	return append(data, body...), nil
}

// packing is a block that is to be packed.
type packing struct {
	rows   map[int]*Row
	land   *land
	values values
}

func newPacking(rows map[int]*Row) *packing {
	p := &packing{rows: rows}
	p.land = new(chances).walk(rangecode.NewPacker(), p.has)
	for _, i := range p.land.list {
		p.values[0] = append(p.values[0], int32(rows[i].Elevation))
		for month, t := range rows[i].Tenths {
			p.values[1+month] = append(p.values[1+month], int32(t))
		}
	}
	return p
}

func (p *packing) has(cell int) bool { return p.rows[cell] != nil }

// modelOf finds the weights with which the values of all blocks are least off, and the chances that fit them.
func modelOf(list []*packing) *model {
	m := &model{}
	for layer := range layers {
		kin := siblings(layer)
		n := signsOf(kin)
		sums, sides := make([][]float64, n), make([]float64, n)
		for i := range sums {
			sums[i] = make([]float64, n)
			sums[i][i] = 1 // keeps weights small where nothing tells
		}
		signs := make([]float64, n)
		for _, p := range list {
			for k, near := range p.land.near {
				if near[0] < 0 {
					continue
				}
				p.land.signs(&p.values, k, layer, kin, func(i int, sign int32) { signs[i] = float64(sign) })
				off := float64(p.values[layer][k] - p.values[layer][near[0]])
				for i, a := range signs {
					for j, b := range signs {
						sums[i][j] += a * b
					}
					sides[i] += a * off
				}
			}
		}
		m.weights[layer] = make([]int32, n)
		for i, w := range solve(sums, sides) {
			m.weights[layer][i] = int32(max(-32000, min(32000, math.Round(256*w))))
		}
	}
	m.start.each(func(c *rangecode.Chance) { *c = rangecode.Start(128, 0) })
	learning := *m
	for _, p := range list { // each goes on with what the one before it taught
		_, taught := learning.block(rangecode.NewPacker(), p.has, &p.values)
		learning.start = *taught
	}
	learning.start.each(func(c *rangecode.Chance) { *c = rangecode.Start(c.Share(), learnt) })
	return &learning
}

// solve solves a system of linear equations that is symmetric and positive definite, by elimination.
func solve(a [][]float64, b []float64) []float64 {
	n := len(b)
	for i := range n {
		for r := i + 1; r < n; r++ {
			by := a[r][i] / a[i][i]
			for c := i; c < n; c++ {
				a[r][c] -= by * a[i][c]
			}
			b[r] -= by * b[i]
		}
	}
	for i := n - 1; i >= 0; i-- {
		for c := i + 1; c < n; c++ {
			b[i] -= a[i][c] * b[c]
		}
		b[i] /= a[i][i]
	}
	return b
}

// append writes the model as it stands at the head of a table.
func (m *model) append(data []byte) []byte {
	for _, weights := range m.weights {
		for _, w := range weights {
			data = binary.AppendVarint(data, int64(w))
		}
	}
	m.start.each(func(c *rangecode.Chance) { data = append(data, c.Share()) })
	return data
}
