package packed_test

import (
	"encoding/binary"
	"flag"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"treewhen/profiles/packed"
)

type shape interface{ Sides() int }

type square struct{ Side float64 }
type triangle struct{ A, B, C float64 }

func (square) Sides() int   { return 4 }
func (triangle) Sides() int { return 3 }

var shapes = packed.NewTypes(square{}, triangle{})

type node struct {
	Name    string
	Yes     bool
	Count   int
	Small   int8
	Size    uint16
	Figure  float64
	Words   []string
	Shape   shape
	Shapes  []shape
	Next    *node
	Several []node
}

// nodes draws trees of values, with all that a value can be made of.
func nodes(depth int) *rapid.Generator[node] {
	return rapid.Custom(func(t *rapid.T) node {
		word := rapid.SampledFrom([]string{"", "oak", "red oak", "chêne", strings.Repeat("long ", 60)})
		figure := rapid.Float64().Filter(func(x float64) bool { return !math.IsNaN(x) })
		one := rapid.OneOf(rapid.Just[shape](nil),
			rapid.Custom(func(t *rapid.T) shape { return square{figure.Draw(t, "side")} }),
			rapid.Custom(func(t *rapid.T) shape { return triangle{1, figure.Draw(t, "b"), -0.5} }))
		n := node{
			Name: word.Draw(t, "name"), Yes: rapid.Bool().Draw(t, "yes"),
			Count: rapid.Int().Draw(t, "count"), Small: rapid.Int8().Draw(t, "small"),
			Size: rapid.Uint16().Draw(t, "size"), Figure: figure.Draw(t, "figure"), Shape: one.Draw(t, "shape"),
		}
		if rapid.Bool().Draw(t, "lists") { // else they are nil, which is not the same as empty
			n.Words = rapid.SliceOfN(word, 0, 3).Draw(t, "words")
			n.Shapes = rapid.SliceOfN(one, 0, 3).Draw(t, "shapes")
			n.Several = []node{}
		}
		if depth > 0 && rapid.Bool().Draw(t, "deeper") {
			next := nodes(depth-1).Draw(t, "next")
			n.Next = &next
			n.Several = rapid.SliceOfN(nodes(depth-1), 0, 2).Draw(t, "several")
		}
		return n
	})
}

func TestWhatIsWrittenIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := packed.NewWriter(shapes)
		want := rapid.SliceOfN(nodes(2), 1, 3).Draw(t, "nodes")
		var parts [][]byte
		for _, n := range want {
			parts = append(parts, w.Append(nil, n))
		}
		r := packed.NewReader(shapes, w.Texts())
		for i, p := range parts {
			var got node
			if err := r.Read(string(p), &got); err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(want[i], got); diff != "" {
				t.Fatal(diff)
			}
		}
	})
}

// The form is kept on disk, so it is pinned here byte by byte.
func TestForm(t *testing.T) {
	w := packed.NewWriter(shapes)
	for _, tt := range []struct {
		name  string
		value any
		want  string
	}{
		{"true", true, "\x01"},
		{"a negative number", -2, "\x03"},
		{"a number of two bytes", 100, "\xc8\x01"},
		{"an unsigned number", uint16(300), "\xac\x02"},
		{"half: its bits are 3F E0 and zeros", 0.5, "\xbf\xc0\x03"},
		{"no text", "", "\x00"},
		{"a text", "oak", "\x03\x00"},
		{"another, behind it", "elm", "\x03\x03"},
		{"the first again", "oak", "\x03\x00"},
		{"no list", []string(nil), "\x00"},
		{"an empty list", []string{}, "\x01"},
		{"a list", []int{1, 2}, "\x03\x02\x04"},
		{"a pointer to nothing", (*square)(nil), "\x00"},
		{"a pointer", &square{}, "\x01\x00"},
		{"interfaces", []shape{nil, triangle{}}, "\x03\x00\x02\x00\x00\x00"},
	} {
		if got := string(w.Append(nil, tt.value)); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
	if got := w.Texts(); got != "oakelm" {
		t.Errorf("texts %q, want each once", got)
	}
}

func TestWhatDoesNotFit(t *testing.T) {
	for _, tt := range []struct {
		name, data string
		into       any
		want       string
	}{
		{"nothing", "", new(int), "byte 0 of 0 does not fit int: a number has no end"},
		{"too much", "\x02\x02", new(int), "byte 1 of 2 does not fit int: bytes are left over"},
		{"a bool of 2", "\x02", new(bool), "byte 1 of 1 does not fit bool: a bool is out of range"},
		{"a number that is cut off", "\x80", new(int), "byte 1 of 1 does not fit int: a number has no end"},
		{"a number of eleven bytes", strings.Repeat("\x80", 11), new(int), "a number has no end"},
		{"a number that is too large", "\x80\x04", new(int8), "a number is too large"},
		{"an unsigned number that is too large", "\xff\xff\x7f", new(uint16), "a number is too large"},
		{"a text longer than all", "\x07\x00", new(string), "the length of a text is out of range"},
		{"a text that begins too late", "\x03\x04", new(string), "the place of a text is out of range"},
		{"a list longer than the rest", "\x7f", new([]int), "a slice is out of range"},
		{"a type that is not there", "\x03", new(shape), "a type is out of range"},
		{"a type that does not go there", "\x01\x00", new(interface{ Corners() int }),
			"a type is not one that the interface can hold"},
		{"a struct of other fields", "\x03\x00", new(node), "a number has no end"},
	} {
		err := packed.NewReader(shapes, "oakelm").Read(tt.data, tt.into)
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v, want %q in it", tt.name, err, tt.want)
		}
	}
}

func TestWhatHasNoForm(t *testing.T) {
	for name, tt := range map[string]struct {
		value any
		want  string
	}{
		"a map":              {map[string]int{}, "map[string]int, which has no packed form"},
		"a hidden field":     {struct{ hidden int }{1}, "found field hidden"},
		"a type not told of": {[]any{1}, "int, which is not among the types"},
	} {
		func() {
			defer func() {
				if got, _ := recover().(string); !strings.Contains(got, tt.want) {
					t.Errorf("%s: %q, want %q in it", name, got, tt.want)
				}
			}()
			packed.NewWriter(shapes).Append(nil, tt.value)
		}()
	}
}

// Whatever the bytes are, reading them ends, and gives a value that can be written or an error.
func FuzzRead(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	w := packed.NewWriter(shapes)
	next := &node{Figure: 21.5, Count: -3}
	one := node{Name: "oak", Words: []string{"elm"}, Shapes: []shape{square{0.5}, nil}, Next: next}
	f.Add(w.Append(nil, one), w.Texts())
	f.Add(binary.AppendUvarint(nil, math.MaxUint64), "")
	f.Fuzz(func(t *testing.T, data []byte, texts string) {
		var n node
		if err := packed.NewReader(shapes, texts).Read(string(data), &n); err == nil {
			packed.NewWriter(shapes).Append(nil, n)
		}
	})
}
