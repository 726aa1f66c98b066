// Package rangecode answers: how are yes and no told in hardly more bits than they surprise?
//
// It is arithmetic coding of bits (Rissanen and Langdon 1979, IBM Journal of Research and Development 23:149-162), each
// with a chance of its own that learns from the bits before. A table is walked by the same code when it is packed and
// when it is read, with a [Coder] that does the one or the other.
package rangecode

// Chance is how likely a bit is to be 1, and how much that has learnt.
type Chance struct {
	p    uint16 // of 65536
	seen uint16 // bits, up to mostSeen
}

// mostSeen is from how many bits on an old one counts less than a new one. Our own choice, by trial.
const mostSeen = 120

// Start is a chance to begin with, as one byte keeps it; 128 is even. It counts for as many bits as seen says.
func Start(share byte, seen int) Chance {
	return Chance{uint16(share)<<8 | 0x80, uint16(seen)}
}

// Share returns the chance as one byte.
func (c Chance) Share() byte { return byte(c.p >> 8) }

// shares says by which part of 65536 a chance moves, by how many bits it has seen.
var shares = func() (s [mostSeen + 1]int32) {
	for n := range s {
		s[n] = 2 * 65536 / int32(2*n+3)
	}
	return s
}()

// learn moves a chance towards a bit.
func (c *Chance) learn(bit int) {
	p := int32(c.p)
	p += int32(int64(int32(bit)*65535-p) * int64(shares[c.seen]) >> 16)
	c.p = uint16(min(max(p, 32), 65535-32))
	if c.seen < mostSeen {
		c.seen++
	}
}

// Coder packs bits, or reads them.
type Coder struct {
	low, high uint32 // the range that the bits so far leave
	packing   bool
	data      []byte // what was packed, or is still to be read
	at        uint32 // where in the range the data lie
	beyond    int    // how many bytes behind the end were read
}

// NewPacker returns a coder that packs.
func NewPacker() *Coder { return &Coder{high: 1<<32 - 1, packing: true} }

// NewReader returns a coder that reads what another packed.
func NewReader(data []byte) *Coder {
	c := &Coder{high: 1<<32 - 1, data: data}
	for range 4 {
		c.next()
	}
	return c
}

// next reads a byte; from behind the end, a nought.
func (c *Coder) next() {
	c.at <<= 8
	if len(c.data) > 0 {
		c.at |= uint32(c.data[0])
		c.data = c.data[1:]
	} else {
		c.beyond++
	}
}

// Bit packs a bit and returns it, or reads one and returns that.
func (c *Coder) Bit(chance *Chance, bit int) int {
	middle := c.low + uint32(uint64(c.high-c.low)*uint64(chance.p)>>16)
	if !c.packing {
		bit = 0
		if c.at <= middle {
			bit = 1
		}
	}
	if bit == 1 {
		c.high = middle
	} else {
		c.low = middle + 1
	}
	chance.learn(bit)
	for (c.low^c.high)>>24 == 0 {
		if c.packing {
			c.data = append(c.data, byte(c.high>>24))
		} else {
			c.next()
		}
		c.low, c.high = c.low<<8, c.high<<8|0xff
	}
	return bit
}

// Bytes returns what was packed. Nothing can be packed after it.
func (c *Coder) Bytes() []byte {
	// The fewest bytes that lie in the range whatever follows them.
	for n := 1; n <= 4; n++ {
		mask := uint32(1)<<(32-8*n) - 1
		if v := (c.low + mask) &^ mask; v >= c.low && v <= c.high {
			for i := range n {
				c.data = append(c.data, byte(v>>(24-8*i)))
			}
			break
		}
	}
	return c.data
}

// Whole reports whether what was read is all that was packed, and no more than that.
func (c *Coder) Whole() bool { return len(c.data) == 0 && c.beyond <= 4 }
