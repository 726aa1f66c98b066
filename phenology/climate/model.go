package climate

import "treewhen/phenology/rangecode"

// layers are the values of a cell: its elevation, then monthly minima, then maxima.
const layers = 25

// values are those of a block's cells of land, layer by layer.
type values [layers][]int32

// siblings are the layers that tell of another, all before it: the month before, the one before that, of maxima the
// minima of the same month and of the months about it, and the elevation.
func siblings(layer int) (list []int) {
	month := (layer - 1) % 12
	if layer > 0 && month > 0 {
		list = append(list, layer-1)
	}
	if layer > 0 && month > 1 {
		list = append(list, layer-2)
	}
	if layer > 12 {
		list = append(list, layer-12)
		if month > 0 {
			list = append(list, layer-13)
		}
		if month < 11 {
			list = append(list, layer-11)
		}
	}
	if month == 11 {
		list = append(list, layer-11) // a year is a circle
	}
	if layer > 0 {
		list = append(list, 0)
	}
	return list
}

// model is what is known of the whole table before a block is read: how a value follows from those about it, and how
// likely it is to be so far off.
type model struct {
	weights [layers][]int32 // of [land.signs], of 256
	start   chances
}

// The classes of what is expected to be off, and the places of a number's bits.
const (
	kinds    = 4 // elevation, January, other minima, other maxima
	contexts = 14
	lengths  = 13 // the most bits that a number may have
)

// What a value may be at least and at most, be it metres or tenths of a degree: so far apart that none is off by more
// than a number of [lengths] bits.
const least, most = -1000, 7000

// chances are those of every bit of a block.
type chances struct {
	land    [4]rangecode.Chance // by whether there is some to the west and to the south
	numbers [kinds][contexts]number
	even    rangecode.Chance // of bits of which nothing is known
}

// number has the chances of the bits of a number: for each length whether it is longer, the sign, and for each length
// the bit behind the highest.
type number struct {
	length [lengths]rangecode.Chance
	sign   rangecode.Chance
	second [lengths + 1]rangecode.Chance
}

func kindOf(layer int) int {
	switch {
	case layer == 0:
		return 0
	case layer == 1 || layer == 13:
		return 1
	case layer < 13:
		return 2
	}
	return 3
}

// block walks the values of a block: it packs those that has and of give, or reads them, as its coder does. It returns
// the chances as the block leaves them.
func (m *model) block(c *rangecode.Coder, has func(cell int) bool, of *values) (*land, *chances) {
	chances := m.start
	l := chances.walk(c, has)
	n := len(l.list)
	if of[0] == nil {
		all := make([]int32, layers*n)
		for layer := range of {
			of[layer] = all[layer*n : (layer+1)*n]
		}
	}
	var offs values
	all := make([]int32, layers*n)
	for layer := range layers {
		offs[layer] = all[layer*n : (layer+1)*n]
		kin := siblings(layer)
		for k := range n {
			expected := l.expected(of, k, layer, kin, m.weights[layer])
			context := contextOf(&offs, &l.near[k], k, layer)
			off := chances.number(c, kindOf(layer), context, int(of[layer][k])-expected)
			offs[layer][k] = int32(abs(off))
			of[layer][k] = int32(expected + off)
		}
	}
	return l, &chances
}

// contextOf is how far off a value may be, by how far those about it were.
func contextOf(offs *values, near *neighbours, k, layer int) int {
	sum := int32(0)
	for _, n := range near[:2] {
		if n < 0 {
			sum += 2
		} else {
			sum += offs[layer][n]
		}
	}
	if layer > 1 {
		sum += offs[layer-1][k]
	}
	if layer > 12 {
		sum += offs[layer-12][k]
	}
	if int(sum) < len(contextBySum) {
		return int(contextBySum[sum])
	}
	return contexts - 1
}

// contextBySum grows by one as a sum grows by half.
var contextBySum = func() (list [256]uint8) {
	for sum := range list {
		for rest := 2 * sum; rest > 0 && list[sum] < contexts-1; rest = rest * 2 / 3 {
			list[sum]++
		}
	}
	return list
}()

func abs(n int) int { return max(n, -n) }

// number packs or reads a number: its length in bits, its sign, and its bits from the second highest on.
func (all *chances) number(c *rangecode.Coder, kind, context, n int) int {
	of := &all.numbers[kind][context]
	length, size := 0, abs(n)
	for length < lengths && c.Bit(&of.length[length], one(size>>length > 0)) == 1 {
		length++
	}
	if length == 0 {
		return 0
	}
	negative := c.Bit(&of.sign, one(n < 0))
	got := 1
	for at := length - 2; at >= 0; at-- {
		chance := &all.even
		all.even = rangecode.Start(128, 0)
		if at == length-2 {
			chance = &of.second[length]
		}
		got = got<<1 | c.Bit(chance, size>>at&1)
	}
	if negative == 1 {
		return -got
	}
	return got
}

func one(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// land is which cells of a block have values, numbered row by row from the south-west.
type land struct {
	list []int
	near []neighbours // of each cell of the list
}

// neighbours are where in the list the cells to the west, south, south-west, south-east, west of the west and south of
// the south are. Where the sea is in the place of one the next best stands for it; -1 where nothing does.
type neighbours [6]int

// walk goes over the cells of a block: it packs where there is land, or reads it.
func (all *chances) walk(c *rangecode.Coder, has func(cell int) bool) *land {
	l := &land{}
	var at [block * block]int
	for i := range at {
		at[i] = -1
		row, column := i/block, i%block
		cell := func(up, right int) int {
			r, c := row+up, column+right
			if r < 0 || c < 0 || c >= block {
				return -1
			}
			return at[r*block+c]
		}
		or := func(a, b int) int {
			if a < 0 {
				return b
			}
			return a
		}
		west, south := cell(0, -1), cell(-1, 0)
		if c.Bit(&all.land[one(west >= 0)+2*one(south >= 0)], one(has(i))) == 0 {
			continue
		}
		at[i] = len(l.list)
		west, south = or(west, or(south, len(l.list)-1)), or(south, or(west, len(l.list)-1))
		l.near = append(l.near, neighbours{west, south, or(cell(-1, -1), west), or(cell(-1, 1), south),
			or(cell(0, -2), west), or(cell(-2, 0), south)})
		l.list = append(l.list, i)
	}
	return l
}

// signs gives what a value is expected by to f, one after the other: by how much its neighbours differ from that to its
// west, and in its sibling layers it and its neighbours from that.
func (l *land) signs(of *values, k, layer int, kin []int, f func(i int, sign int32)) {
	near := &l.near[k]
	own := of[layer]
	i := 0
	for _, n := range near[1:] {
		f(i, own[n]-own[near[0]])
		i++
	}
	for _, other := range kin {
		v := of[other]
		base := v[near[0]]
		f(i, v[k]-base)
		f(i+1, v[near[1]]-base)
		f(i+2, v[near[2]]-base)
		f(i+3, v[near[3]]-base)
		i += 4
	}
}

// signsOf is how many signs a layer has.
func signsOf(kin []int) int { return 5 + 4*len(kin) }

// expected returns what is expected of a value.
func (l *land) expected(of *values, k, layer int, kin []int, weights []int32) int {
	near := &l.near[k]
	if near[0] < 0 {
		if len(kin) > 0 {
			return int(of[kin[0]][k])
		}
		return 0
	}
	own := of[layer]
	base := own[near[0]]
	sum := 128 + (own[near[1]]-base)*weights[0] + (own[near[2]]-base)*weights[1] + (own[near[3]]-base)*weights[2] +
		(own[near[4]]-base)*weights[3] + (own[near[5]]-base)*weights[4]
	weights = weights[5:]
	for _, other := range kin {
		v := of[other]
		west := v[near[0]]
		sum += (v[k]-west)*weights[0] + (v[near[1]]-west)*weights[1] + (v[near[2]]-west)*weights[2] +
			(v[near[3]]-west)*weights[3]
		weights = weights[4:]
	}
	return int(min(max(base+sum>>8, least), most))
}
