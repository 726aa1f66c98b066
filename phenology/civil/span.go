package civil

import "math"

// Span is a closed run of days: both ends are in it. A Span whose Last is before its First is empty.
type Span struct{ First, Last Date }

// Empty reports whether no day is in s.
func (s Span) Empty() bool { return s.Last < s.First }

// Days returns how many days are in s, 0 if it is empty.
func (s Span) Days() int {
	if s.Empty() {
		return 0
	}
	return int(s.Last-s.First) + 1
}

// Contains reports whether d is in s.
func (s Span) Contains(d Date) bool { return s.First <= d && d <= s.Last }

// Intersect returns the days that are in both.
func (s Span) Intersect(t Span) Span {
	return Span{First: max(s.First, t.First), Last: min(s.Last, t.Last)}
}

// Overlaps reports whether a day is in both.
func (s Span) Overlaps(t Span) bool { return !s.Intersect(t).Empty() }

// Clamp returns the day of s nearest to d. It panics if s is empty.
func (s Span) Clamp(d Date) Date {
	if s.Empty() {
		panic("civil: Clamp on an empty span")
	}
	return max(s.First, min(d, s.Last))
}

// String returns "first/last", as ISO 8601 writes an interval.
func (s Span) String() string { return s.First.String() + "/" + s.Last.String() }

// Likeliest returns the earliest of the days of a span on which a probability is highest, and that probability. It
// panics if s is empty.
func (s Span) Likeliest(p func(Date) float64) (Date, float64) {
	if s.Empty() {
		panic("civil: Likeliest on an empty span")
	}
	best, top := s.First, math.Inf(-1)
	for d := s.First; d <= s.Last; d++ {
		if v := p(d); v > top+1e-9 {
			best, top = d, v
		}
	}
	return best, max(0, min(1, top))
}
