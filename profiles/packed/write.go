package packed

import (
	"encoding/binary"
	"fmt"
	"math"
	"math/bits"
	"reflect"
	"strings"
)

// Types are those that interface values may hold. Their order is part of the form: add new ones behind the others.
type Types []reflect.Type

// NewTypes returns the types of some values.
func NewTypes(values ...any) Types {
	types := make(Types, len(values))
	for i, v := range values {
		types[i] = reflect.TypeOf(v)
	}
	return types
}

// Writer writes values that share their texts. The same values in the same order give the same bytes.
type Writer struct {
	types Types
	texts strings.Builder
	begin map[string]int // of the texts there are
}

// NewWriter returns a writer of values whose interfaces hold the types given.
func NewWriter(types Types) *Writer { return &Writer{types: types, begin: map[string]int{}} }

// Texts returns the texts of all that was written; who reads must have them.
func (w *Writer) Texts() string { return w.texts.String() }

// Append appends a value to b. It panics on what cannot be written: see the package's documentation.
func (w *Writer) Append(b []byte, value any) []byte { return w.append(b, reflect.ValueOf(value)) }

func (w *Writer) append(b []byte, v reflect.Value) []byte {
	switch v.Kind() {
	case reflect.Bool:
		if v.Bool() {
			return append(b, 1)
		}
		return append(b, 0)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return binary.AppendVarint(b, v.Int())
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return binary.AppendUvarint(b, v.Uint())
	case reflect.Float64:
		return binary.AppendUvarint(b, bits.ReverseBytes64(math.Float64bits(v.Float())))
	case reflect.String:
		return w.text(b, v.String())
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).Kind() == reflect.Func {
				continue
			}
			if f := v.Type().Field(i); !f.IsExported() {
				panic(fmt.Sprintf("packed: found field %s of %s, which is not exported", f.Name, v.Type()))
			}
			b = w.append(b, v.Field(i))
		}
		return b
	case reflect.Slice:
		if v.IsNil() {
			return append(b, 0)
		}
		b = binary.AppendUvarint(b, uint64(v.Len())+1)
		for i := range v.Len() {
			b = w.append(b, v.Index(i))
		}
		return b
	case reflect.Pointer:
		if v.IsNil() {
			return append(b, 0)
		}
		return w.append(append(b, 1), v.Elem())
	case reflect.Interface:
		if v.IsNil() {
			return append(b, 0)
		}
		for i, t := range w.types {
			if t == v.Elem().Type() {
				return w.append(binary.AppendUvarint(b, uint64(i)+1), v.Elem())
			}
		}
		panic(fmt.Sprintf("packed: found an interface that holds %s, which is not among the types", v.Elem().Type()))
	}
	panic(fmt.Sprintf("packed: found a value of type %s, which has no packed form", v.Type()))
}

// text appends where a text is, and keeps it if it is new.
func (w *Writer) text(b []byte, s string) []byte {
	b = binary.AppendUvarint(b, uint64(len(s)))
	if s == "" {
		return b
	}
	at, known := w.begin[s]
	if !known {
		at = w.texts.Len()
		w.begin[s] = at
		w.texts.WriteString(s)
	}
	return binary.AppendUvarint(b, uint64(at))
}
