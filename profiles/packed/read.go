package packed

import (
	"fmt"
	"math"
	"math/bits"
	"reflect"
)

// Reader reads values that a [Writer] wrote. Any number of goroutines may use it.
type Reader struct {
	types Types
	texts string
}

// NewReader returns a reader of values whose interfaces hold the types, and whose texts are those, that the writer had.
func NewReader(types Types, texts string) *Reader { return &Reader{types, texts} }

// Read reads the one value that data holds into what a pointer points to, which is to be zero. The error is that data
// is no value of that type; then part of it may have been read.
func (r *Reader) Read(data string, pointer any) error {
	v := reflect.ValueOf(pointer)
	if v.Kind() != reflect.Pointer || v.IsNil() {
		panic(fmt.Sprintf("packed: found %T to read into, want a pointer", pointer))
	}
	c := &cursor{Reader: r, data: data}
	c.read(v.Elem())
	if c.wrong == "" && c.at < len(data) {
		c.fail("bytes are left over")
	}
	if c.wrong != "" {
		return fmt.Errorf("packed: byte %d of %d does not fit %s: %s", c.at, len(data), v.Type().Elem(), c.wrong)
	}
	return nil
}

// cursor is a value being read.
type cursor struct {
	*Reader
	data  string
	at    int
	wrong string // what did not fit first; nothing is read after that
}

// fail keeps the first thing that is wrong, and ends the reading.
func (c *cursor) fail(what string) {
	if c.wrong == "" {
		c.wrong = what
	}
}

func (c *cursor) read(v reflect.Value) {
	if c.wrong != "" {
		return
	}
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(c.below(2, "a bool") == 1)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		u := c.uvarint()
		x := int64(u>>1) ^ -int64(u&1)
		if v.OverflowInt(x) {
			c.fail("a number is too large")
		}
		v.SetInt(x)
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		x := c.uvarint()
		if v.OverflowUint(x) {
			c.fail("a number is too large")
		}
		v.SetUint(x)
	case reflect.Float64:
		v.SetFloat(math.Float64frombits(bits.ReverseBytes64(c.uvarint())))
	case reflect.String:
		v.SetString(c.text())
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).Kind() == reflect.Func {
				continue // functions have no form
			}
			c.read(v.Field(i))
		}
	case reflect.Slice:
		// No element takes less than a byte, but for those of a struct without fields.
		if n := c.below(uint64(len(c.data)-c.at)+1, "a slice"); n > 0 {
			v.Set(reflect.MakeSlice(v.Type(), n-1, n-1))
			for i := range n - 1 {
				c.read(v.Index(i))
			}
		}
	case reflect.Pointer:
		if c.below(2, "a pointer") == 1 {
			v.Set(reflect.New(v.Type().Elem()))
			c.read(v.Elem())
		}
	case reflect.Interface:
		if n := c.below(uint64(len(c.types))+1, "a type"); n > 0 {
			held := reflect.New(c.types[n-1]).Elem()
			c.read(held)
			if !held.Type().AssignableTo(v.Type()) {
				c.fail("a type is not one that the interface can hold")
				return
			}
			v.Set(held)
		}
	default:
		panic(fmt.Sprintf("packed: found a value of type %s, which has no packed form", v.Type()))
	}
}

// text reads where a text is, and returns it.
func (c *cursor) text() string {
	n := c.below(uint64(len(c.texts))+1, "the length of a text")
	if n == 0 {
		return ""
	}
	at := c.below(uint64(len(c.texts)-n)+1, "the place of a text")
	return c.texts[at : at+n]
}

// below reads a uvarint that is below a limit.
func (c *cursor) below(limit uint64, what string) int {
	x := c.uvarint()
	if x >= limit {
		c.fail(what + " is out of range")
		return 0
	}
	return int(x)
}

// uvarint reads a number as [binary.AppendUvarint] writes it.
func (c *cursor) uvarint() uint64 {
	var x uint64
	for shift := uint(0); shift < 64; shift += 7 {
		if c.at == len(c.data) {
			break
		}
		b := c.data[c.at]
		c.at++
		x |= uint64(b&0x7f) << shift
		if b < 0x80 {
			return x
		}
	}
	c.fail("a number has no end")
	return 0
}
