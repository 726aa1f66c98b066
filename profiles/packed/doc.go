// Package packed writes plain Go values in few bytes and reads them back in little time.
//
// It is for values that are made once and read at every start of a program: [Writer] makes them into bytes and texts,
// which the program carries, and [Reader] reads one of them without looking at the others. A text is kept once however
// often it comes, and is not copied when it is read.
//
// A value is a bool, a whole number, a float64, a string, a struct, slice or pointer of these, or an interface that
// holds one of the types that [NewTypes] was given. Structs have exported fields alone, but for functions, which are
// left out, and nothing points in a circle. The bytes say nothing of types: who reads must ask for the type that was
// written. So a field may be renamed, but where one is added, removed or moved, the bytes must be written anew. Of
// bytes that do not fit, [Reader.Read] gives an error where it can tell; a test that reads everything back and compares
// it with its source is the way to be sure.
//
// # The form
//
//	bool           a byte, 0 or 1
//	whole number   a varint (signed) or uvarint (unsigned) of package encoding/binary
//	float64        its IEEE 754 bits in reverse order of bytes, as a uvarint: plain figures end in zeros, which cost
//	               nothing at the front
//	string         its length as a uvarint, and unless that is 0, where it begins among the texts
//	struct         its fields in order
//	slice          0 for nil, else its length + 1 as a uvarint, then its elements
//	pointer        0 for nil, else 1 and what it points to
//	interface      0 for nil, else 1 + the place of its type among the types, then what it holds
package packed
