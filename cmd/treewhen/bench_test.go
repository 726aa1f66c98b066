package main

import (
	"context"
	"io"
	"strings"
	"testing"

	"treewhen/phenology/civil"
)

// BenchmarkSchedule is the demonstration's schedule, from reading its files to the last line.
func BenchmarkSchedule(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		p := &program{stdin: strings.NewReader(""), stdout: io.Discard, stderr: io.Discard, today: civil.Of(2027, 3, 12)}
		if code := p.run(context.Background(), []string{"schedule"}); code != exitDone {
			b.Fatal(code)
		}
	}
}
