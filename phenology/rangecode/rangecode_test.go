package rangecode

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

func TestBitsComeBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		bits := rapid.SliceOf(rapid.SampledFrom([]int{0, 0, 0, 0, 0, 1})).Draw(rt, "bits")
		e := NewPacker()
		chances := []Chance{Start(128, 0), Start(0, 60), Start(255, 3)}
		for i, b := range bits {
			e.Bit(&chances[i%3], b)
		}
		data := e.Bytes()
		d := NewReader(data)
		chances = []Chance{Start(128, 0), Start(0, 60), Start(255, 3)}
		for i, want := range bits {
			if got := d.Bit(&chances[i%3], 1-want); got != want {
				rt.Fatalf("bit %d of %v comes back as %d", i, bits, got)
			}
		}
		if !d.Whole() {
			rt.Fatalf("%v: not all of %v was read, or more than that", bits, data)
		}
	})
}

// A bit that is 1 one time in twenty takes hardly more than its entropy, 0.286 bits (Shannon 1948).
func TestBitsTakeWhatTheySurprise(t *testing.T) {
	r, e, c := rand.New(rand.NewPCG(1, 2)), NewPacker(), Start(128, 0)
	const n, share = 100_000, 0.05
	for range n {
		bit := 0
		if r.Float64() < share {
			bit = 1
		}
		e.Bit(&c, bit)
	}
	entropy := -share*math.Log2(share) - (1-share)*math.Log2(1-share)
	if got := float64(len(e.Bytes())*8) / n; got > entropy*1.05 || got < entropy*0.9 {
		t.Errorf("found %.4f bits each, want %.4f and a little", got, entropy)
	}
}

func BenchmarkBit(b *testing.B) {
	r, e, c := rand.New(rand.NewPCG(1, 2)), NewPacker(), Start(128, 0)
	for range 10_000 {
		e.Bit(&c, r.IntN(2)&r.IntN(2))
	}
	data := e.Bytes()
	for b.Loop() {
		d, c := NewReader(data), Start(128, 0)
		for range 10_000 {
			d.Bit(&c, 0)
		}
	}
}
